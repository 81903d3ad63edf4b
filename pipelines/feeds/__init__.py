"""The feeds, each declared once.

The declaration drives the reader, the parser, the contracts, the blank template and the data
dictionary; ``tests/pipelines/test_feeds.py`` proves that they agree.
"""

from pipelines.feeds.declare import Column, Feed, Form, TypedColumn
from pipelines.feeds.registry import DECISIONS, FEEDS, GROUP_FEEDS, feed

__all__ = ["DECISIONS", "FEEDS", "GROUP_FEEDS", "Column", "Feed", "Form", "TypedColumn", "feed"]
