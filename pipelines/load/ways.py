"""The ways in which the files of a feed are written: files that write alike are read together."""

from collections.abc import Sequence

import duckdb

from pipelines.feeds import Feed
from pipelines.sources import DECLARED, Reading, Settings, reading_of
from pipelines.sources.words import in_our_words
from pipelines.sources.written import as_iso
from pipelines.sqltext import identifier, literal, trimmed

#: A way of writing and the files (file ids) that are written so; None stands for all of the feed.
Way = tuple[Reading, list[str] | None]


def ways_of_writing(
    con: duckdb.DuckDBPyConnection, feed: Feed, settings: Settings
) -> list[Way]:
    """Each way that the feed's files are written, in order of arrival."""
    ways: dict[str, tuple[Reading, list[str]]] = {}
    for file_id, name in con.execute(
        "select file_id, coalesce(source, '') from raw.files "
        "where feed = ? and set_aside is null order by arrival",
        [feed.name],
    ).fetchall():
        how = reading_of(settings, name, feed.name, feed.column_names)
        ways.setdefault(repr(how), (how, []))[1].append(file_id)
    if len(ways) <= 1:
        return [(next(iter(ways.values()))[0] if ways else DECLARED, None)]
    return [(how, files) for how, files in ways.values()]


def our_text(name: str, ways: Sequence[Way], record: str = "r") -> str:
    """SQL over a raw record of a column's trimmed text in our words, whoever wrote it."""
    plain = f"({trimmed(f'{record}.{identifier(name)}')})"
    return _by_way([(in_our_words(name, plain, how), files) for how, files in ways], record)


def iso_text(name: str, ways: Sequence[Way], record: str = "r") -> str:
    """SQL over a raw record of a column's date text, year first, whoever wrote it."""
    plain = f"({trimmed(f'{record}.{identifier(name)}')})"
    return _by_way(
        [(as_iso(in_our_words(name, plain, how), how.dates), files) for how, files in ways], record
    )


def _by_way(texts: Sequence[tuple[str, list[str] | None]], record: str) -> str:
    if len({sql for sql, _ in texts}) == 1:
        return texts[0][0]
    whens = " ".join(
        f"when {record}.file_id in ({', '.join(map(literal, files or []))}) then {sql}"
        for sql, files in texts
    )
    return f"case {whens} end"
