"""The answer key: every rule, each fault on a case of its own, every record really there."""

import csv
from collections import Counter

import pytest

from pipelines.demo_group import Drop
from pipelines.demo_group.plants import PLANTS
from pipelines.feeds import GROUP_FEEDS
from tests.demo_group.conftest import tables_of
from validation.catalogue import catalogue


def rows(drop: Drop) -> list[dict[str, str]]:
    with drop.key.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("expected", ["found", "silent"])
def test_every_rule_of_the_catalogue_has_an_entry(small_drop: Drop, expected: str) -> None:
    planted = {row["rule_code"] for row in rows(small_drop) if row["expected"] == expected}
    assert planted == set(catalogue())


def test_every_reported_rule_has_a_plant_of_its_own_and_a_twin() -> None:
    own = {(plant.rule_code, plant.expected) for plant in PLANTS}
    rules = set(catalogue())
    # The rest of a broken chain is held back with every break: it has no plant but a twin.
    assert {rule for rule, expected in own if expected == "found"} == rules - {"chain_held"}
    assert {rule for rule, expected in own if expected == "silent"} == rules


def test_a_case_bears_one_plant_only(small_drop: Drop) -> None:
    bearers = {
        (row["case_number"], row["plant"], row["note"])
        for row in rows(small_drop)
        if row["case_number"] and row["case_number"] != "AL-26-9999"
    }
    crowded = {case for case, n in Counter(case for case, _, _ in bearers).items() if n > 1}
    assert crowded == set()


def test_a_fault_and_its_twin_are_told_apart_by_their_notes() -> None:
    notes = [(plant.rule_code, plant.note) for plant in PLANTS]
    assert len(notes) == len(set(notes))
    assert all(plant.note for plant in PLANTS)


def test_the_records_that_the_key_names_are_in_the_drop(small_drop: Drop) -> None:
    small_drop_without_raw_lines = {
        name: file.read_bytes() for name, file in small_drop.files.items()
    }
    known: set[str] = set()
    for name, text in small_drop_without_raw_lines.items():
        reader = csv.DictReader(text.decode("utf-8", "replace").splitlines(keepends=True))
        key = GROUP_FEEDS[name].key
        known |= {"|".join(row[column] or "" for column in key) for row in reader}
    for file in small_drop.others:
        text = file.read_bytes().decode("cp1252")
        if file.suffix == ".csv" and file.name.startswith("corrections"):
            known |= {"|".join(row[:2] + row[2:3]) for row in csv.reader(text.splitlines())}
        elif file.suffix == ".csv" and file.name.startswith("jurisdiction_limits"):
            known |= {"|".join(row[:2]) for row in csv.reader(text.splitlines())}
        elif file.suffix == ".csv":
            known |= {line.split(";")[0] for line in text.splitlines()}
    places = {"BIRCH"}
    named = {row["record_key"] for row in rows(small_drop) if row["record_key"]}
    assert named - known - places == set()


def test_a_lawful_drop_has_an_empty_key(lawful_drop: Drop) -> None:
    assert rows(lawful_drop) == []
    with tables_of(lawful_drop) as con:
        assert con.execute("select count(*) from cases").fetchall() == [(4800,)]
