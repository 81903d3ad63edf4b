"""A group's own exports: how each source writes its files, declared in one TOML file."""

from pipelines.sources.model import FeedSettings, Settings, SourceSettings
from pipelines.sources.read import read_settings
from pipelines.sources.reading import DECLARED, Reading, reading_of

__all__ = [
    "DECLARED",
    "FeedSettings",
    "Reading",
    "Settings",
    "SourceSettings",
    "read_settings",
    "reading_of",
]
