"""Title sentences whose numbers can be looked up.

A page's title is its answer. Each number in it is a :class:`Fact` that carries the statement which
gives it from a mart, so that the page can show it and a test can run it.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from string import Formatter


@dataclass(frozen=True)
class Fact:
    """A number of a title: as printed, and the statement that gives it."""

    text: str
    value: object
    sql: str


@dataclass(frozen=True)
class When:
    """A day, week or identifier in a title; not a measured number."""

    text: str


@dataclass(frozen=True)
class Title:
    parts: tuple[str | Fact | When, ...]

    @property
    def text(self) -> str:
        return "".join(part if isinstance(part, str) else part.text for part in self.parts)

    @property
    def facts(self) -> tuple[Fact, ...]:
        """The numbers that a mart gives; a count of pages has no statement."""
        return tuple(part for part in self.parts if isinstance(part, Fact) and part.sql)


def say(pattern: str, **values: str | Fact | When) -> Title:
    """``say("{late} of {all} waited", late=fact, all=fact)`` -> Title."""
    return Title(_parts(pattern, values))


def _parts(pattern: str, values: Mapping[str, str | Fact | When]) -> tuple[str | Fact | When, ...]:
    parts: list[str | Fact | When] = []
    for text, name, _, _ in Formatter().parse(pattern):
        if text:
            parts.append(text)
        if name is not None:
            parts.append(values[name])
    return tuple(parts)
