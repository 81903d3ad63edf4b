"""Text from files shown in a terminal: control and direction characters as codes."""

import unicodedata

_UNSEEN = {"Cc", "Cf", "Co", "Cs", "Zl", "Zp"}


def safe(value: object) -> str:
    """The text with every control, format or private character, and every separator of lines, as
    ⟨U+XXXX⟩."""
    if value is None:
        return ""
    return "".join(
        f"⟨U+{ord(c):04X}⟩" if unicodedata.category(c) in _UNSEEN else c
        for c in str(value)
    )
