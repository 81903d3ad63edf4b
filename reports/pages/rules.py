"""The catalogue: every rule, its state in this run, and where it is from."""

from reports import words
from reports.audiences import COMPLIANCE, Audience
from reports.cautions import FINDINGS
from reports.content import Content, Page, Section
from reports.listings.rules import rules_table
from reports.marks import Mark, State
from reports.titles import say
from reports.warehouse import Warehouse

PAGE = Page(
    slug="rules",
    name="Rules",
    question="Which rules are there, and did each one run?",
    audiences=(COMPLIANCE,),
    marts=("marts.rule_states",),
    feeds=(),
    order=80,
)

_STATES = "select count(*) from marts.rule_states"


def build(warehouse: Warehouse, audience: Audience) -> Content:
    unchecked = warehouse.count(f"{_STATES} where state = 'not checked'")
    none = State(Mark.NOT_APPLICABLE, "There is no rule of this kind.")
    return Content(
        say(
            "{all} rules: {found} found something, {unchecked} could not run",
            all=warehouse.fact(_STATES, words.number),
            found=warehouse.fact(f"{_STATES} where state = 'found'", words.number),
            unchecked=warehouse.fact(f"{_STATES} where state = 'not checked'", words.number),
        ),
        "The catalogue of rules with the state of each in this run. Those that could not run stand "
        "first, the clean ones last.",
        Mark.NOT_CHECKED if unchecked else Mark.INFO,
        (
            Section(
                "Rules that report what the trusted records show",
                (rules_table("s.effect = 'reported'", "reported", "Reported rules", none),),
            ),
            Section(
                "Rules that hold a record back",
                (rules_table("s.effect = 'held_back'", "held-back", "Rules of trust", none),),
            ),
            Section(
                "Rules that note what is worth a look and change nothing",
                (rules_table("s.effect = 'noted'", "noted", "Noted", none),),
            ),
        ),
        definitions=(
            ("Passed", "The rule ran on every record that it speaks of and found nothing."),
            ("Found", "The rule ran and found something; the number is the count of findings or "
             "held-back records."),
            ("Not applicable", "The rule ran and there was nothing it speaks of."),
            ("Not checked", "A file or a column that the rule needs did not arrive. It is never "
             "counted as passed."),
        ),
        cautions=FINDINGS,
    )  # fmt: skip
