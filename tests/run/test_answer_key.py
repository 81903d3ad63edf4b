"""The demo's planted faults are found, their lawful twins stay silent, and nothing else is said."""

import csv
from pathlib import Path

import duckdb
import pytest

from pipelines.command.demo import DROP
from pipelines.feeds import FEEDS
from validation.catalogue import catalogue

KEY = DROP.parent / "answer_key.csv"


def answer_key(path: Path = KEY) -> dict[str, set[tuple[str, str]]]:
    """(rule, subject) pairs expected found and expected silent; the subject is the case, or the
    record where no case is named."""
    pairs: dict[str, set[tuple[str, str]]] = {"found": set(), "silent": set()}
    with path.open(encoding="utf-8", newline="") as stream:
        for row in csv.DictReader(stream):
            subject = row["case_number"] or row["record_key"]
            pairs[row["expected"]].add((row["rule_code"], subject))
    return pairs


def said(con: duckdb.DuckDBPyConnection) -> set[tuple[str, str]]:
    """(rule, subject) of every reject, every note and every finding."""
    records = " union all ".join(
        f"select '{feed.name}' as feed, file_id, line, concat_ws('|', {', '.join(feed.key)}) as "
        f"record_key from {schema}.{feed.name}"
        for feed in FEEDS.values()
        for schema in ("accepted", "held")
    )
    rows = con.execute(
        f"""
        select rule_code, coalesce(nullif(case_number, ''), record_key) from quality.rejects
        union
        select rule_code, coalesce(nullif(case_number, ''), record_key) from quality.notes
        union
        select f.rule_code, coalesce(f.case_number, r.record_key)
        from findings.all_findings f
        left join ({records}) r
            on r.feed = f.feed_a and r.file_id = f.file_id_a and r.line = f.line_a
        """
    ).fetchall()
    return set(rows)


def test_exactly_the_planted_faults_are_said(demo) -> None:
    expected, actual = answer_key()["found"], said(demo)
    assert {"missed": sorted(expected - actual), "too much": sorted(actual - expected)} == {
        "missed": [],
        "too much": [],
    }


def test_every_lawful_twin_stays_silent(demo) -> None:
    assert answer_key()["silent"] & said(demo) == set()


@pytest.mark.parametrize("expected", ["found", "silent"])
def test_every_rule_of_the_catalogue_is_planted(expected: str) -> None:
    planted = {rule for rule, _ in answer_key()[expected]}
    assert set(catalogue()) - planted == set()


def test_what_is_dated_by_a_day_is_what_the_catalogue_says(demo) -> None:
    """A page prints no clock for these: midnight UTC would be the evening before at the place."""
    midnight = demo.execute(
        "select distinct rule_code from marts.findings "
        "where occurred_at = date_trunc('day', occurred_at)"
    ).fetchall()
    assert {code for (code,) in midnight} == {
        code for code, rule in catalogue().items() if rule.is_dated_by_day
    }
