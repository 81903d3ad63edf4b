"""Text from files shown in a terminal: control and direction characters as codes."""

import unicodedata


def safe(value: object) -> str:
    """The text with every control, format or private character written as ⟨U+XXXX⟩."""
    if value is None:
        return ""
    return "".join(
        f"⟨U+{ord(c):04X}⟩" if unicodedata.category(c) in {"Cc", "Cf", "Co", "Cs"} else c
        for c in str(value)
    )
