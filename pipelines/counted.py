"""A count with its word, as people say it."""


def counted(count: int, word: str) -> str:
    """``1 record``, ``1,200 records``."""
    return f"{count:,} {word}{'' if count == 1 else 's'}"
