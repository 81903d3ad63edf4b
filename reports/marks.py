"""A status: always a word, with a shape of its own (templates/shapes.html), colour last."""

from dataclasses import dataclass
from enum import StrEnum


class Mark(StrEnum):
    """Most urgent first. *Not checked* stands above the clean ones and never counts as passed."""

    CRITICAL = "critical"
    MAJOR = "major"
    NOT_CHECKED = "not checked"
    PARTLY = "partly checked"
    MINOR = "minor"
    INFO = "info"
    CHECKED = "checked"
    NOT_APPLICABLE = "not applicable"


RANK: dict[str, int] = {mark.value: place for place, mark in enumerate(Mark)}
#: A page with one of these needs somebody this week.
NEEDS_ACTION = frozenset({Mark.CRITICAL, Mark.MAJOR, Mark.NOT_CHECKED, Mark.PARTLY})


def worst(marks: list[Mark]) -> Mark:
    """The most urgent of several; CHECKED for none."""
    return min(marks, key=lambda mark: RANK[mark], default=Mark.CHECKED)


@dataclass(frozen=True)
class State:
    """One of the five sentences: checked and none, found, not checked, partly, not applicable."""

    mark: Mark
    sentence: str
