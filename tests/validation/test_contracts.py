"""Contracts of single records: one reject per cell, lists that are known, frames that fit."""

from datetime import date, datetime
from decimal import Decimal

import polars as pl
import pytest

from pipelines.feeds import FEEDS, GROUP_FEEDS, Column, Form, feed
from validation.catalogue import Example
from validation.contracts import ContractFault, judge
from validation.contracts.schema import build_contract

CASE = {
    "case_number": "K1", "location_id": "ALDER", "case_status": "open", "family_name": "Quillon",
    "date_of_death": "2026-06-01", "date_of_death_earliest": date(2026, 6, 1),
    "place_of_death_code": "4", "first_call_at": datetime(2026, 6, 1, 10),
    "first_call_at_local": datetime(2026, 6, 1, 5),
}  # fmt: skip
LINE = {
    "document_number": "I-1", "line_number": 1, "document_kind": "invoice", "case_number": "K1",
    "location_id": "ALDER", "document_date": date(2026, 6, 8), "category": "embalming",
    "description": "Embalming", "quantity": Decimal(1), "unit_price": Decimal("825.0000"),
    "line_total": Decimal("825.00"),
}  # fmt: skip


@pytest.fixture
def lists(court):
    """A court in which one location and one case are known."""
    court.accept("locations", [{"location_id": "ALDER", "location_kind": "funeral_home"}])
    court.accept("cases", [CASE])
    return court


def rules(rejects: list) -> set[tuple[str, str | None]]:
    return {(r.rule, r.column) for r in rejects}


@pytest.mark.parametrize("name", GROUP_FEEDS)
def test_declared_examples_of_a_feed_are_lawful(court, name: str) -> None:
    assert court.judge_example(Example(name, records=({},))) == []


@pytest.mark.parametrize("name", FEEDS)
def test_every_required_and_coded_column_is_in_the_contract(name: str) -> None:
    contract = build_contract(feed(name))
    reported = {contract.reported.get(column, column) for column in (*contract.columns,
                *contract.helpers)}  # fmt: skip
    declared = FEEDS[name].columns
    assert {c.name for c in declared if c.is_required or c.allowed or c.refers_to} <= reported
    assert {c.name for c in declared if c.form in (Form.PARTY, Form.PLACE)} <= reported


def test_missing_value_is_reported_once_per_cell(lists) -> None:
    lists.accept("cases", [CASE | {"place_of_death_code": None, "first_call_at": None}])
    assert rules(lists.judge_typed("cases")) == {
        ("missing_value", "place_of_death_code"), ("missing_value", "first_call_at"),
    }  # fmt: skip


def test_unreadable_text_is_not_reported_as_missing_too(court) -> None:
    unread = Example("cases", records=({"first_call_at": "yesterday", "closed_at": "soon",
                                        "case_status": "closed"},))  # fmt: skip
    assert rules(court.judge_example(unread)) == {
        ("not_an_instant", "first_call_at"), ("not_an_instant", "closed_at"),
    }  # fmt: skip


def test_one_record_may_break_several_rules(lists) -> None:
    lists.accept("statement_lines", [LINE | {"location_id": "ELM", "category": "gift",
                                             "quantity": Decimal(-1)}])  # fmt: skip
    assert rules(lists.judge_typed("statement_lines")) == {
        ("unknown_location", "location_id"), ("not_in_list", "category"),
        ("quantity_not_positive", "quantity"), ("line_total_wrong", "line_total"),
    }  # fmt: skip


def test_reject_tells_key_value_line_and_what_was_found(lists) -> None:
    lists.accept("statement_lines", [LINE, LINE | {"line_number": 2, "line_total": Decimal(826)}])
    (reject,) = lists.judge_typed("statement_lines")
    assert (reject.line, reject.key, reject.value) == (3, "I-1|2", "826.00")
    assert reject.detail == "1 times 825.00 is 825.00."


def test_held_case_is_known_to_the_feeds_that_refer_to_it(lists) -> None:
    lists.con.execute("insert into held.cases select * from accepted.cases")
    lists.con.execute("delete from accepted.cases")
    lists.accept("statement_lines", [LINE])
    assert lists.judge_typed("statement_lines") == []
    lists.con.execute("delete from held.cases")
    assert rules(lists.judge_typed("statement_lines")) == {("unknown_case", "case_number")}


@pytest.mark.parametrize("code", ["(group)", "(none)", "hospital:RIVER", ":"])
def test_a_code_that_means_no_place_of_the_group_is_known_to_no_feed(lists, code: str) -> None:
    """Held back or not: figures of that code would be taken for those of the whole group."""
    lists.con.execute(
        "insert into held.locations select * replace (? as location_id) from accepted.locations "
        "limit 1",
        [code],
    )
    lists.accept("statement_lines", [LINE | {"location_id": code}])
    found = rules(lists.judge_typed("statement_lines"))
    lists.con.execute("delete from held.locations")
    assert found == {("unknown_location", "location_id")}


@pytest.mark.parametrize(
    ("kind", "category", "quantity", "rule"),
    [
        ("credit", "embalming", -1, None),
        ("credit", "embalming", 1, "credit_not_negative"),
        ("credit", "embalming", 0, "credit_not_negative"),
        ("invoice", "discount", -1, None),
        ("invoice", "discount", 1, "credit_not_negative"),
        ("credit", "discount", 1, None),
        ("credit", "discount", -1, "credit_not_negative"),
        ("invoice", "embalming", 0, "quantity_not_positive"),
        ("estimate", "embalming", -1, "quantity_not_positive"),
    ],
)
def test_sign_of_a_quantity_says_what_the_line_does(
    lists, kind: str, category: str, quantity: int, rule: str | None
) -> None:
    total = Decimal("825.00") * quantity
    line = {"document_kind": kind, "category": category, "quantity": Decimal(quantity)}
    lists.accept("statement_lines", [LINE | line | {"line_total": total}])
    assert {r.rule for r in lists.judge_typed("statement_lines")} == ({rule} if rule else set())


@pytest.mark.parametrize(
    ("quantity", "price", "total", "is_right"),
    [
        # 2.5 x 1.01 = 2.525: half a cent may be rounded up or to the even cent.
        ("2.5", "1.01", "2.53", True),
        ("2.5", "1.01", "2.52", True),
        ("2.5", "1.01", "2.51", False),
        ("-2.5", "1.01", "-2.53", True),
        ("1000", "0.6555", "655.50", True),
        # Exact in decimals: as binary fractions 3 x 0.10 is not 0.30.
        ("3", "0.10", "0.30", True),
        # (10^11 - 10^-4) x (10^4 - 10^-4) = 10^15 - 10^7 - 1 + 10^-8: more than a double holds.
        ("99999999999.9999", "9999.9999", "999999989999999.00", True),
        ("99999999999.9999", "9999.9999", "999999989999999.01", False),
    ],
)
def test_line_total_is_exact_to_the_cent(lists, quantity, price, total, is_right: bool) -> None:
    lists.accept("supplier_bill_lines", [
        {"supplier_code": "S", "bill_number": "B", "line_number": 1, "bill_date": date(2026, 6, 4),
         "location_id": "ALDER", "item_code": "X", "quantity": Decimal(quantity),
         "unit_cost": Decimal(price), "line_total": Decimal(total)}
    ])  # fmt: skip
    judged = [r for r in lists.judge_typed("supplier_bill_lines") if r.rule != "too_large"]
    assert (judged == []) is is_right


@pytest.mark.parametrize(
    "name", ["john doe", "Jane  DOE", "Unknown", "Baby Doe", "Unidentified Male"]
)
def test_placeholder_names_are_no_identity(lists, name: str) -> None:
    given, _, family = name.rpartition(" ")
    lists.accept("cases", [CASE | {"given_name": given.strip() or None, "family_name": family}])
    assert rules(lists.judge_typed("cases")) == {("placeholder_name", "family_name")}


@pytest.mark.parametrize(
    "name", ["Maribel Doe", "Na None", "Jane Roebuck", "Johan Doe", "Baby Quill"]
)
def test_real_names_that_look_like_placeholders_are_accepted(lists, name: str) -> None:
    given, _, family = name.rpartition(" ")
    lists.accept("cases", [CASE | {"given_name": given, "family_name": family}])
    assert lists.judge_typed("cases") == []


LEAST = {
    (f.name, c.name): c.minimum for f in FEEDS.values() for c in f.columns if c.minimum is not None
}
#: Written with a minus and meant so: what was taken off or given back, the cold, and sums of both.
LAWFUL_NEGATIVES = {"quantity", "line_total", "temperature_c"}
#: Judged by a rule of their own, or a number that only names something.
JUDGED_ELSEWHERE = {"identifiers_matched", "line_number", "finding_number", "item_number",
                    "step_number", "minutes"}  # fmt: skip


@pytest.mark.parametrize(("name", "column"), LEAST)
def test_a_figure_below_its_least_is_held_back(court, name: str, column: str) -> None:
    below = str(LEAST[name, column] - 1)
    assert ("below_minimum", column) in rules(
        court.judge_example(Example(name, records=({column: below},)))
    )


FIGURES = [(f.name, c) for f in FEEDS.values() for c in f.columns if c.form in {
    Form.NUMBER, Form.COUNT, Form.QUANTITY, Form.COST, Form.MONEY}]  # fmt: skip


@pytest.mark.parametrize(
    ("name", "column"), FIGURES, ids=lambda part: getattr(part, "name", str(part))
)
def test_a_figure_that_no_home_has_is_held_back(court, name: str, column: Column) -> None:
    assert column.below
    for figure, is_held in ((column.below, True), (column.below - 1, False)):
        judged = court.judge_example(Example(name, records=({column.name: str(figure)},)))
        assert (("too_large", column.name) in rules(judged)) == is_held


def test_every_figure_has_a_least_or_may_be_negative() -> None:
    figures = {(name, column.name) for name, column in FIGURES}
    free = {column for _, column in figures - set(LEAST)}
    assert free <= LAWFUL_NEGATIVES | JUDGED_ELSEWHERE


@pytest.mark.parametrize(
    ("name", "record"),
    [
        ("statement_lines", {"document_kind": "credit", "quantity": "-1", "line_total": "-825.00"}),
        ("statement_lines", {"category": "discount", "quantity": "-1", "line_total": "-825.00"}),
        ("supplier_bill_lines", {"quantity": "-24", "line_total": "-153.60"}),
        ("custody_events", {"temperature_c": "-18"}),
        ("air_samples", {"formaldehyde_ppm": "0"}),
        ("price_lists", {"price": "0"}),
    ],
)
def test_lawful_negatives_and_nothing_are_accepted(court, name: str, record: dict) -> None:
    assert court.judge_example(Example(name, records=(record,))) == []


def test_batches_find_what_one_frame_finds(court) -> None:
    court.judge_example(Example("custody_events", chain=()))
    court.con.execute(
        "update accepted.custody_events set band_number = 'B-7' where action = 'stored'"
    )
    whole = court.judge_typed("custody_events")
    court.con.execute("delete from quality.rejects")
    judge(court.con, feed("custody_events"), batch_rows=3)
    assert court.rejects("custody_events") == whole != []


def test_judging_twice_finds_the_same(lists) -> None:
    lists.accept("statement_lines", [LINE | {"line_total": Decimal(1)}])
    assert lists.judge_typed("statement_lines") == lists.judge_typed("statement_lines")


def test_frame_that_does_not_fit_the_contract_is_our_fault() -> None:
    contract = build_contract(feed("air_samples"))
    frame = pl.DataFrame({name: ["1"] for name in (*contract.columns, *contract.helpers)})
    with pytest.raises(ContractFault, match="air_samples"):
        contract.find(frame.with_columns(row_id=pl.lit(0)))


@pytest.mark.parametrize(
    ("born", "died", "is_lawful"),
    [
        ("1941-02-11", "2026-06-01", True),
        ("2026-06-01", "2026-06-01", True),
        ("2026-06-02", "2026-06-01", False),
        ("2026-06-02", "2026-99-99", True),
        ("9999-99-99", "2026-06-01", True),
        ("1896-06-01", "2026-06-01", True),
        ("1896-05-31", "2026-06-01", False),
        ("1896-99-99", "2026-06-01", True),
        ("1895-99-99", "2026-06-01", False),
    ],
)
def test_nobody_is_born_after_death_or_lives_longer_than_anybody(
    court, born: str, died: str, is_lawful: bool
) -> None:
    record = {"date_of_birth": born, "date_of_death": died, "first_call_at": "2026-12-31T10:00Z"}
    found = {r.rule for r in court.judge_example(Example("cases", records=(record,)))}
    assert ("birth_impossible" not in found) == is_lawful
