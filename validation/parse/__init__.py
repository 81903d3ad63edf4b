"""Text into types, strictly: what cannot be read is named by a rule, never guessed."""

from validation.parse.parse import parse_feed

__all__ = ["parse_feed"]
