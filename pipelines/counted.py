"""A count with its word, as people say it."""


def counted(count: int, singular: str, plural: str | None = None) -> str:
    """``1 record``, ``1,200 records``; ``plural`` where it is not the word with an s."""
    return f"{count:,} {singular if count == 1 else plural or singular + 's'}"
