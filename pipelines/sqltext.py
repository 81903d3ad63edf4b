"""Text from outside put into SQL, safely."""


def literal(value: str) -> str:
    """A SQL string literal."""
    return "'" + value.replace("'", "''") + "'"


def trimmed(text: str, is_ascii: bool = False) -> str:
    """SQL of the text without spaces at its ends; NULL when nothing is left.

    Hardly any text has some, and to look at both ends is far cheaper than to trim. A text of more
    bytes than letters may have spaces of other scripts, which are taken off too.
    """
    is_wide = "" if is_ascii else f" or strlen({text}) <> length({text})"
    return (
        f"case when {text} < '!' or suffix({text}, ' '){is_wide} "
        f"then nullif(trim({text}), '') else {text} end"
    )


def identifier(name: str) -> str:
    """A quoted SQL identifier."""
    return '"' + name.replace('"', '""') + '"'
