"""Blanks about a text: the quick look at its ends takes off what trimming takes off."""

from itertools import product

import duckdb

from pipelines.sources import DECLARED
from pipelines.sqltext import trimmed
from validation.parse.forms import Hygiene, cleaned

#: Space, tab, no-break space, line ends, a control character; letters of one and of two bytes; a
#: blank that is none of ours (em space).
PIECES = ["", " ", "  ", "\t", "\u00a0", "\n", "\x01", "a", "a b", "é", "!", "\u2003", " \t\u00a0 "]
TEXTS = ["".join(pieces) for pieces in product(PIECES, repeat=3)]


def _wrong(quick: str, trim: str, texts: list[str]) -> list[tuple[object, ...]]:
    with duckdb.connect(":memory:") as con:
        con.execute("create table r as select unnest(?) as x", [texts])
        found = con.execute(f"select x, {quick}, nullif({trim}, '') from r").fetchall()
    assert len(found) == len(texts) and len({row[2] for row in found}) > 100
    return [row for row in found if row[1] != row[2]]


def test_spaces_at_the_ends_are_taken_off() -> None:
    assert _wrong(trimmed("x"), "trim(x)", TEXTS) == []


def test_spaces_of_a_plain_file_are_taken_off() -> None:
    plain = [text for text in TEXTS if text.isascii()]
    assert _wrong(cleaned("x", Hygiene(True, True), DECLARED), "trim(x)", plain) == []


def test_tabs_and_no_break_spaces_too_in_files_that_may_hold_them() -> None:
    blanks = "chr(32) || chr(9) || chr(160)"
    assert _wrong(cleaned("x", Hygiene(False, False), DECLARED), f"trim(x, {blanks})", TEXTS) == []
