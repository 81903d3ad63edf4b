"""The catalogue is whole, and the examples of held-back rules hold in reader and contracts."""

from pathlib import Path

import pytest

from pipelines.feeds import FEEDS
from validation.catalogue import (
    CatalogueError,
    Effect,
    Rule,
    catalogue,
    needs_frame,
    rules_frame,
)
from validation.catalogue.read import read_family
from validation.contracts.after_export import RULE as AFTER_EXPORT
from validation.contracts.chain.walk import CHAIN_RULES
from validation.contracts.known import reference_rule
from validation.contracts.records import rules_for

HELD_BACK = [rule for rule in catalogue().values() if rule.effect is Effect.HELD_BACK]
NOTED = [rule for rule in catalogue().values() if rule.effect is Effect.NOTED]
REPORTED = [rule for rule in catalogue().values() if rule.effect is Effect.REPORTED]

#: An entry that is whole; the tests below break one field at a time.
WHOLE = """
[some_rule]
severity = "minor"
effect = "reported"
says = "Something is so."
mend = "Make it otherwise."
mended_by = "somebody"
act_within = "the week"
source = "common practice, no source"
needs = ["cases.case_number"]
twin = "Something is otherwise."
"""


@pytest.mark.parametrize("rule", HELD_BACK, ids=lambda rule: rule.code)
def test_accepting_example_is_accepted(court, rule: Rule) -> None:
    assert court.judge_example(rule.accepts) == []


@pytest.mark.parametrize("rule", HELD_BACK, ids=lambda rule: rule.code)
def test_rejecting_example_is_held_back_by_its_rule_alone(court, rule: Rule) -> None:
    rejects = court.judge_example(rule.rejects)
    own = [r for r in rejects if r.rule == rule.code]
    assert own
    assert rule.rejects.column in {None, *(r.column for r in own)}
    if rule.rejects.step is not None:
        assert court.number(rule.rejects.step) in {r.key for r in own}
    # The other records of a broken chain are held with it.
    consequence = {"chain_held"} if rule.rejects.chain is not None else set()
    if rule.code == "chain_held":
        consequence.add("chain_place_break")
    assert {r.rule for r in rejects} - consequence <= {rule.code}


@pytest.mark.parametrize("rule", NOTED, ids=lambda rule: rule.code)
def test_what_is_noted_holds_nothing_back_and_its_twin_is_not_noted(court, rule: Rule) -> None:
    assert rule.code not in {n.rule for n in court.notes_of_example(rule.accepts)}
    notes = court.notes_of_example(rule.rejects)
    assert {n.rule for n in notes} == {rule.code}
    assert rule.rejects.column in {None, *(n.column for n in notes)}
    # What a note is about is held back by nothing; another line of the file may be the reason.
    noted = {n.line for n in notes}
    assert [r for r in court.rejects(rule.rejects.feed) if r.line in noted] == []


def test_every_rule_that_a_contract_can_report_has_an_entry() -> None:
    reportable = {rule.code for feed in FEEDS.values() for rule in rules_for(feed).rules}
    reportable |= {reference_rule(c) for feed in FEEDS.values() for c in feed.columns} - {None}
    reportable |= {*CHAIN_RULES, "chain_held", "missing_value", "not_in_list", AFTER_EXPORT}
    reportable |= {"below_minimum", "too_large"}
    assert reportable <= {rule.code for rule in HELD_BACK}
    families = {"records", "chains"}
    assert {rule.code for rule in HELD_BACK if rule.family in families} <= reportable


def test_every_reported_rule_names_its_model_and_its_twin() -> None:
    assert all(rule.model == f"finding_{rule.code}" and rule.twin for rule in REPORTED)
    assert all(rule.model is None for rule in HELD_BACK + NOTED)


def test_sentences_are_sentences_and_blame_nobody() -> None:
    for rule in catalogue().values():
        for text in (rule.says, rule.mend):
            assert text[0].isupper() and text.endswith("."), rule.code
        assert not {"fault", "careless", "forgot", "failed"} & set(rule.says.lower().split())


def test_every_column_of_the_declarations_that_a_rule_needs_is_named_once() -> None:
    frame = needs_frame()
    assert frame.n_unique() == frame.height
    assert set(frame["rule_code"]) <= set(catalogue())


def test_rules_table_has_one_row_per_rule() -> None:
    frame = rules_frame()
    assert frame["rule_code"].to_list() == list(catalogue())
    required = frame.drop("citation", "twin", "model")
    assert required.null_count().sum_horizontal().item() == 0


def _read(folder: Path, text: str) -> list[Rule]:
    path = folder / "family.toml"
    path.write_text(text, encoding="utf-8")
    return read_family(path)


def test_whole_entry_is_read(tmp_path: Path) -> None:
    (rule,) = _read(tmp_path, WHOLE)
    assert (rule.code, rule.family, rule.needs) == (
        "some_rule", "family", (("cases", "case_number"),),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("whole", "broken", "message"),
    [
        ('says = "Something is so."', "", "says is missing"),
        ('says = "Something is so."', 'says = " "', "says is missing"),
        ('severity = "minor"', 'severity = "huge"', "severity is one of"),
        ('act_within = "the week"', 'act_within = "now"', "act_within = 'the week'"),
        ('mended_by = "somebody"', 'mended_by = "somebody"\nhue = "red"', "unknown field hue"),
        ("cases.case_number", "cases.case_no", "no column of cases: 'cases.case_no'"),
        ("cases.case_number", "boxes.case_number", "names no feed: 'boxes.case_number'"),
        ('twin = "Something is otherwise."', "", "lawful twin"),
        ('effect = "reported"', 'effect = "held_back"', "accepts and a rejects example"),
        ("[some_rule]", "[SomeRule]", "snake_case"),
        ('twin = "Some', 'dated = "hour"\ntwin = "Some', "dated is \"day\""),
        (
            'twin = "Something is otherwise."',
            'twin = "So."\naccepts = { feed = "cases", record = { hue = "red" } }',
            "cases has no column hue",
        ),
    ],
)
def test_broken_entry_is_refused_with_its_reason(
    tmp_path: Path, whole: str, broken: str, message: str
) -> None:
    assert whole in WHOLE
    with pytest.raises(CatalogueError) as error:
        _read(tmp_path, WHOLE.replace(whole, broken))
    assert message in str(error.value)
    assert str(error.value).startswith("family.toml [")
