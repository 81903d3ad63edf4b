"""What the trusted records show that somebody has to look at."""

from datetime import datetime

from reports import words
from reports.audiences import COMPLIANCE, Audience
from reports.cautions import FINDINGS
from reports.charts.bars import MOST_BARS, Bar, bar_chart
from reports.charts.figure import OPENS, Head
from reports.content import Block, Content, Page, Section, links_to
from reports.listings.findings import (
    age_table,
    answers_table,
    changes_table,
    of_people_at,
    people_table,
    place_table,
    rule_table,
    severity_table,
)
from reports.listings.rules import rules_found_table
from reports.marks import Mark
from reports.names import file_name
from reports.titles import Title, When, say
from reports.warehouse import Place, Warehouse, literal

PAGE = Page(
    slug="findings",
    name="Findings",
    question="Did every irreversible act have its papers first, and what else is wrong?",
    audiences=(COMPLIANCE,),
    marts=("marts.findings", "marts.finding_people", "marts.finding_changes",
           "marts.finding_answers", "marts.rule_states"),
    feeds=("cases", "custody_events", "supply_movements", "air_samples", "price_lists",
           "statement_lines", "supplier_bill_lines"),
    families=("care", "chemicals", "identity", "merchandise", "papers", "place", "prices",
              "remains", "turnaround"),
    order=5,
)  # fmt: skip

_COUNT = "select count(*) from marts.findings where answer_state <> 'answered' and severity = "


def build(warehouse: Warehouse, audience: Audience) -> Content:
    critical = warehouse.count(_COUNT + "'critical'")
    places = _places(warehouse)
    rules = _rules(warehouse)
    major = warehouse.count(_COUNT + "'major'")
    urgency = Mark.CRITICAL if critical else Mark.MAJOR if major else Mark.MINOR
    return Content(
        _title(warehouse, critical),
        "All findings of the reported rules on the records that were accepted; custody records "
        "that are held back are read too, and the finding says so.",
        urgency,
        (
            Section("Open, by severity, age and place", (age_table(warehouse), links_to(places))),
            Section("Critical: act now", (severity_table(warehouse, "critical"),)),
            Section("Major: act the same day", (severity_table(warehouse, "major"),)),
            Section("Since the last run", (changes_table(),)),
            Section("By rule", _by_rule(rules)),
            Section(
                "Minor and informational",
                (severity_table(warehouse, "minor"), severity_table(warehouse, "info")),
            ),
            Section("Answers", (answers_table(),)),
        ),
        definitions=_DEFINITIONS,
        cautions=FINDINGS,
        children={**places, **_rule_sheets(warehouse, rules)},
    )


def _places(warehouse: Warehouse) -> dict[str, Content]:
    """One page a place with its open findings of every severity: a filter that prints."""
    return {
        f"findings/place-{file_name(place.location_id)}.html": Content(
            _place_title(warehouse, place),
            "Findings of this place, most severe first, then the oldest; and those of other places "
            "about people who are here.",
            Mark.INFO,
            (
                Section("Findings", (place_table(place.location_id, place.name),)),
                Section(
                    "About people who are here", (people_table(place.location_id, place.name),)
                ),
            ),
            cautions=FINDINGS,
        )
        for place in warehouse.places.values()
    }


def _place_title(warehouse: Warehouse, place: Place) -> Title:
    """The second count is of other places' findings: none is in both."""
    here = f"location_id = {literal(place.location_id)}"
    others = warehouse.fact(
        f"select count(*) from marts.findings where {of_people_at(place.location_id)}", words.number
    )
    return say(
        "{count} open at {place}, and {others} of other places about people there"
        if others.value
        else "{count} open at {place}",
        count=warehouse.fact(
            f"select count(*) from marts.findings where answer_state <> 'answered' and {here}",
            lambda v: words.counted(v, "finding"),
        ),
        place=When(words.visible(place.name)),
        others=others,
    )


def _title(warehouse: Warehouse, critical: int) -> Title:
    majors = warehouse.fact(_COUNT + "'major'", words.number)
    if not critical:
        return say("No critical finding is open, and {majors} major", majors=majors)
    newest = warehouse.scalar(
        "select max(occurred_at) from marts.findings "
        "where answer_state <> 'answered' and severity = 'critical'"
    )
    found = warehouse.fact(
        _COUNT + "'critical'", lambda v: words.counted(v, "critical finding")
    )
    if not isinstance(newest, datetime):
        return say("{found} and {majors} major", found=found, majors=majors)
    return say(
        "{found} and {majors} major; the newest critical one is of {when}",
        found=found,
        majors=majors,
        when=When(words.day(words.local(newest, warehouse.zone).date())),
    )


def _rules(warehouse: Warehouse) -> list[tuple[str, str, int]]:
    """(rule, severity, how many it found) of every rule that found anything, most severe first."""
    rows = warehouse.rows(
        "select rule_code, severity, found_count from marts.rule_states where effect = 'reported' "
        "and state = 'found' order by case severity when 'critical' then 0 when 'major' then 1 "
        "when 'minor' then 2 else 3 end, found_count desc, rule_code"
    )
    return [(str(code), str(severity), int(str(count))) for code, severity, count in rows]


def _rule_pages(rules: list[tuple[str, str, int]]) -> dict[str, str]:
    """Rule -> page of what it found, for the rules that have a bar."""
    return {code: f"findings/rule-{code}.html" for code, _, _ in rules[:MOST_BARS]}


def _rule_sheets(
    warehouse: Warehouse, rules: list[tuple[str, str, int]]
) -> dict[str, Content]:
    """One page a bar with the findings that it counts."""
    return {
        path: Content(
            say(
                "{count} of the rule: {rule}",
                count=warehouse.fact(
                    f"select count(*) from marts.findings where rule_code = {literal(code)}",
                    lambda v: words.counted(v, "finding"),
                ),
                rule=When(words.plain(code)),
            ),
            "Everything that this rule found, answered or not, the newest first.",
            Mark.INFO,
            (Section("Findings", (rule_table(code),)),),
            cautions=FINDINGS,
        )
        for code, path in _rule_pages(rules).items()
    }


def _by_rule(rules: list[tuple[str, str, int]]) -> tuple[Block, ...]:
    pages = _rule_pages(rules)
    table = rules_found_table(pages)
    if not rules:
        return (table,)
    bars = [
        Bar(f"{words.plain(code)} ({severity})", count, severity == "critical",
            pages.get(code, ""))
        for code, severity, count in rules
    ]  # fmt: skip
    head = Head(
        "by-rule-bars",
        "Findings by rule, most severe first",
        "Count of findings at the as-of time; the word in brackets is the severity.",
        "by-rule",
        OPENS,
    )
    return (bar_chart(head, bars, "findings"), table)


_DEFINITIONS = (
    ("No.", "The number that a finding keeps from run to run, also when it closes and comes back."),
    ("Answered", "A reader decided on it and the answer's last day has not passed; it stands last "
                 "and is not counted in the title."),
    ("Critical, major, minor, info", "Critical: identity, authority or an act that cannot be "
                                     "undone is in doubt; act now. Major: a legal limit or a "
                                     "family's money; the same day. Minor: a record is "
                                     "incomplete; the week. Info: nothing to do."),
    ("Place, and the person's", "The arranging home, or the place that the finding is of; and "
                                "where the census has the person now, if that is elsewhere."),
    ("File and line", "The record that shows the fault, and the one it is compared with. The "
                      "line is the one that an editor shows."),
)  # fmt: skip
