"""Names against the normalisation tests of Unicode: one spelling of a name; raw text stays.

The lines are from NormalizationTest.txt of Unicode 18.0.0 (UAX #15, Unicode Normalization Forms),
as the source package of pyunormalize 18.0.0 carries it; the head of the excerpt says which lines.
"""

import sys
from pathlib import Path
from typing import NamedTuple
from unicodedata import category

from pipelines.feeds import FEEDS
from tests.pipelines.conftest import Bench
from validation.account import account_files, move_held

EXCERPT = Path(__file__).parent / "unicode_18_normalisation.txt"


class Line(NamedTuple):
    """One line of the test data; ``since`` is empty where Unicode 15.1 says the same as 18.0."""

    source: str
    nfc: str
    nfd: str
    since: str

    @property
    def spellings(self) -> tuple[str, str, str]:
        return self.source, self.nfc, self.nfd


def _lines() -> list[Line]:
    lines = []
    for text in EXCERPT.read_text(encoding="utf-8").splitlines():
        if not text.startswith(("#", "@")):
            *columns, since = text.split(";")
            source, nfc, nfd = (
                "".join(chr(int(point, 16)) for point in column.split()) for column in columns
            )
            lines.append(Line(source, nfc, nfd, since))
    return lines


LINES = _lines()
OLD = [line for line in LINES if not line.since]
YOUNG = [line for line in LINES if line.since]


def _read_names(bench: Bench, names: list[str]) -> dict[int, str | None]:
    """One file, one record for each name: the accepted names by the place of their records."""
    bench.feed_file("cases", *({"case_number": str(place), "family_name": name}
                               for place, name in enumerate(names)))  # fmt: skip
    bench.parse()
    move_held(bench.con, FEEDS["cases"])
    account_files(bench.con)
    return dict(bench.rows("select cast(case_number as integer), family_name from accepted.cases"))


def _account(bench: Bench) -> tuple[object, ...]:
    return bench.rows(
        "select records_read, accepted, held_back, unreadable from quality.file_accounts"
    )[0]


def test_every_spelling_of_a_name_is_read_as_its_composed_form(bench: Bench) -> None:
    """UAX #15, conformance of the test data: c2 == toNFC(c1) == toNFC(c2) == toNFC(c3)."""
    read = _read_names(bench, [name for line in OLD for name in line.spellings])
    # A no-break space alone (the first line of Part 1) is trimmed: such a name is blank.
    composed = [line.nfc.strip("\u00a0") or None for line in OLD for _ in line.spellings]
    assert [read[place] for place in range(len(composed))] == composed
    assert len(OLD) == 2776 and composed.count(None) == 3
    assert _account(bench) == (len(composed), len(composed), 0, 0)


def test_only_letters_younger_than_the_engine_keep_their_spelling(bench: Bench) -> None:
    """DuckDB 2.0 normalises as Unicode 15.1 does: letters and marks of 16.0 to 18.0 stay as they
    are written. This fails when it learns them: then the fourth column is emptied.
    """
    read = _read_names(bench, [name for line in YOUNG for name in line.spellings])
    others = [line for i, line in enumerate(YOUNG)
              if {read[3 * i + k] for k in range(3)} != {line.nfc}]  # fmt: skip
    assert others == YOUNG
    assert {line.since for line in others} == {"16.0", "17.0", "18.0"}
    assert _account(bench) == (len(read), 3 * len(YOUNG), 0, 0)


def test_raw_keeps_every_name_as_it_was_written(bench: Bench) -> None:
    names = [name for line in LINES for name in line.spellings]
    _read_names(bench, names)
    raw = bench.rows("select family_name from raw.cases order by line")
    assert [name for (name,) in raw] == names


def test_a_name_with_an_unseen_character_is_held_back_and_counted(bench: Bench) -> None:
    """Every control and format character, and the first and last of each private-use range, as
    Python's unicodedata tells them (the second reader).
    """
    kinds = [category(chr(point)) for point in range(sys.maxunicode + 1)]
    unseen = [chr(point) for point, kind in enumerate(kinds) if kind in {"Cc", "Cf"}]
    unseen += [chr(point) for point, kind in enumerate(kinds)
               if kind == "Co" and not kinds[point - 1] == kind == kinds[point + 1]]  # fmt: skip
    lawful = [line.source for line in LINES[:46]]
    read = _read_names(bench, [f"Zoe\u0301{c}Nu\u0308n" for c in unseen] + lawful)
    assert set(read) == set(range(len(unseen), len(unseen) + len(lawful)))

    rules = dict(bench.rows(
        "select cast(case_number as integer), rule_code from quality.rejects "
        "where column_name = 'family_name'"
    ))  # fmt: skip
    breaks = {"\n": "line_break_in_field", "\r": "line_break_in_field"}
    assert [rules.get(place) for place in range(1, len(unseen))] == [
        breaks.get(c, "control_character") for c in unseen[1:]
    ]
    # A record with a NUL byte is not split into fields: its whole text is the reject.
    assert unseen[0] == "\0" and 0 not in rules
    ((whole,),) = bench.rows("select value from quality.rejects where column_name is null")
    assert "Zoe\u0301\0Nu\u0308n" in str(whole)
    held = len(unseen) - 1
    assert _account(bench) == (held + len(lawful) + 1, len(lawful), held, 1)
