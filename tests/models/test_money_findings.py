"""Each rule of chemicals, prices and merchandise finds its fault and is silent on its twin.

The faults and twins stand in ``money_scenario``; the real models run over them.
"""

from collections import defaultdict
from collections.abc import Iterator

import duckdb
import pytest

from tests.models.money_scenario import Group, scenario
from tests.models.money_warehouse import money_warehouse
from validation.catalogue import catalogue

GROUP: Group = scenario()
#: Findings about billed care stand in another family of the catalogue.
BILLED_CARE = {"fluid_without_embalming", "embalming_without_record"}
RULES = sorted(
    code
    for code, rule in catalogue().items()
    if rule.effect == "reported"
    and (rule.family in {"chemicals", "prices", "merchandise"} or code in BILLED_CARE)
)


@pytest.fixture(scope="module")
def con() -> Iterator[duckdb.DuckDBPyConnection]:
    with duckdb.connect(str(money_warehouse()), read_only=True) as connection:
        yield connection


@pytest.fixture(scope="module")
def found(con: duckdb.DuckDBPyConnection) -> dict[str, set[str]]:
    """Cases (else places) that each rule finds something on."""
    subjects: dict[str, set[str]] = defaultdict(set)
    for rule in RULES:
        for (subject,) in con.execute(
            f"select distinct coalesce(case_number, location_id) from findings.finding_{rule}"
        ).fetchall():
            subjects[rule].add(subject)
    return subjects


@pytest.mark.parametrize("rule", RULES)
def test_a_rule_finds_its_faults_and_nothing_else(rule: str, found: dict[str, set[str]]) -> None:
    assert GROUP.faults[rule], "the scenario has no fault for this rule"
    assert GROUP.twins[rule], "the scenario has no lawful twin for this rule"
    assert found[rule] == GROUP.faults[rule]


def test_no_rule_finds_anything_on_a_lawful_case(found: dict[str, set[str]]) -> None:
    cases = {str(row["case_number"]) for row in GROUP.rows["cases"]}
    lawful = cases & set().union(*GROUP.twins.values())
    assert len(lawful) > 30
    assert {rule: subjects & lawful for rule, subjects in found.items() if subjects & lawful} == {}


@pytest.mark.parametrize("rule", RULES)
def test_a_finding_names_the_line_that_shows_the_fault(
    rule: str, con: duckdb.DuckDBPyConnection
) -> None:
    rows = con.execute(
        f"select feed_a, file_id_a, line_a, feed_b, file_id_b, line_b, detail"
        f" from findings.finding_{rule}"
    ).fetchall()
    for feed_a, file_a, line_a, feed_b, file_b, line_b, detail in rows:
        # In the scenario a file bears the name of its feed, and lines count its rows.
        assert feed_a == file_a
        assert 2 <= line_a < len(GROUP.rows[feed_a]) + 2
        assert (feed_b, file_b) == (file_b, feed_b)
        assert feed_b is None or 2 <= line_b < len(GROUP.rows[feed_b]) + 2
        assert detail.endswith(".")


def test_two_homes_that_bill_one_case_are_compared_line_to_line(
    con: duckdb.DuckDBPyConnection,
) -> None:
    rows = con.execute(
        "select measured_value, line_a, line_b from findings.finding_case_billed_twice"
    ).fetchall()
    bills = [r for r in GROUP.rows["statement_lines"] if r["case_number"] == "billed by two homes"]
    assert rows == [(500.0, bills[1]["line"], bills[0]["line"])]


def test_goods_that_came_back_or_were_credited_are_told_as_such(
    con: duckdb.DuckDBPyConnection,
) -> None:
    (returned,) = con.execute(
        "select detail from findings.finding_billed_not_issued "
        "where case_number = 'urn issued and returned'"
    ).fetchone() or ("",)
    assert "was returned" in returned
    (credited,) = con.execute(
        "select detail from findings.finding_issued_not_billed "
        "where case_number = 'urn issued, its line credited'"
    ).fetchone() or ("",)
    assert "was credited" in credited
