"""Tables of the turnaround page."""

from datetime import date

from reports import words
from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing, mart
from reports.warehouse import Warehouse, literal

WHOLE = "call_to_disposition"
WEEKS_SHOWN = 13

#: Steps in the order in which a case takes them, an unknown one last.
STEPS = "(from accepted.step_targets where location_id = '(group)')"


def last_week(warehouse: Warehouse) -> date | None:
    """The Monday of the newest complete week in which anybody reached final disposition."""
    value = warehouse.scalar(
        "select max(week_start) from marts.weekly_turnaround "
        f"where location_id = '(group)' and step_code = '{WHOLE}' and is_complete_week"
    )
    return value if isinstance(value, date) else None


def weeks_table() -> Listing:
    return Listing(
        "weeks",
        "The weeks of the picture",
        f"""select t.week_start, t.finished_count, t.median_hours, t.p90_hours,
    t.within_target_share, b.finished_count as finished_year_before,
    b.median_hours as median_year_before, t.is_complete_week
from marts.weekly_turnaround as t
left join marts.weekly_turnaround as b
    on t.location_id = b.location_id and t.step_code = b.step_code
    and b.week_start = t.week_start - interval 364 day
where t.location_id = '(group)' and t.step_code = '{WHOLE}'
order by t.week_start desc""",
        (
            Column("week_start", "Week", Kind.WEEK),
            Column("finished_count", "Finished", Kind.NUMBER),
            Column("median_hours", "Median (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("p90_hours", "9 in 10 within (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("within_target_share", "Within target (%)", Kind.SHARE, empty="[c]"),
            Column("median_year_before", "A year before (h)", Kind.NUMBER, 1, empty="[y]"),
            Column("is_complete_week", "Complete", Kind.YES_NO),
        ),
        source=mart("weekly_turnaround"),
        none=State(Mark.NOT_APPLICABLE, "No week has a finished case."),
        shown=WEEKS_SHOWN,
    )


def steps_table(week: date) -> Listing:
    return Listing(
        "steps",
        f"Each step, all homes, {words.week(week)} and the one before",
        f"""select t.step_name, t.finished_count, t.median_hours, t.p90_hours,
    t.within_target_share, b.finished_count as finished_before, b.median_hours as median_before,
    t.step_code
from marts.weekly_turnaround as t
left join {STEPS} as s on t.step_code = s.step_code
left join marts.weekly_turnaround as b
    on t.location_id = b.location_id and t.step_code = b.step_code
    and b.week_start = t.week_start - interval 7 day
where t.location_id = '(group)' and t.week_start = {literal(week)}
order by s.step_number nulls last, t.step_code""",
        (
            Column("step_name", "Step"),
            Column("finished_count", "Done", Kind.NUMBER),
            Column("median_hours", "Median (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("p90_hours", "9 in 10 within (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("within_target_share", "Within target (%)", Kind.SHARE, empty="[c]"),
            Column("finished_before", "Done before", Kind.NUMBER, empty="0"),
            Column("median_before", "Median before (h)", Kind.NUMBER, 1, empty="[c]"),
        ),
        source=mart("weekly_turnaround"),
        none=State(Mark.NOT_APPLICABLE, "No step was finished in this week, so no figure."),
    )


def homes_table(week: date) -> Listing:
    return Listing(
        "homes",
        f"Each home and step, {words.week(week)}",
        f"""select t.location_id, t.step_name, t.finished_count, t.within_target_count,
    t.median_hours, t.p90_hours, t.step_code, t.week_start
from marts.weekly_turnaround as t
left join {STEPS} as s on t.step_code = s.step_code
where t.location_id <> '(group)' and t.week_start = {literal(week)}
order by t.location_id, s.step_number nulls last, t.step_code""",
        (
            Column("location_id", "Home", Kind.PLACE),
            Column("step_name", "Step"),
            Column("finished_count", "Finished", Kind.NUMBER),
            Column("within_target_count", "Within target", Kind.NUMBER),
            Column("median_hours", "Median (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("p90_hours", "9 in 10 within (h)", Kind.NUMBER, 1, empty="[c]"),
        ),
        source=mart("weekly_turnaround"),
        none=State(Mark.NOT_APPLICABLE, "No home finished a step in this week, so no figure."),
    )


_FLOW = (
    *("opening_count", "in_count", "out_count", "closing_count"),
    *("unexplained_count", "not_proven_count"),
)


def flow_table(warehouse: Warehouse, week: date) -> Listing:
    sql = f"""select location_id, opening_count, in_count, out_count, closing_count,
    opening_count + in_count - out_count - closing_count as unexplained_count, not_proven_count
from marts.weekly_flow where week_start = {literal(week)}
order by location_id"""
    return Listing(
        "flow",
        f"People in each place, {words.week(week)}",
        sql,
        (
            Column("location_id", "Place", Kind.PLACE),
            Column("opening_count", "At the start", Kind.NUMBER),
            Column("in_count", "In", Kind.NUMBER),
            Column("out_count", "Out", Kind.NUMBER),
            Column("closing_count", "At the end", Kind.NUMBER),
            Column("unexplained_count", "Start + in - out - end", Kind.NUMBER),
            Column("not_proven_count", "Of them held back", Kind.NUMBER),
        ),
        source=mart("weekly_flow"),
        none=State(Mark.NOT_APPLICABLE, "Nobody was in a place of ours in this week."),
        note="People with records held back are counted. The last column but one should be 0; "
        "compare the end with a count on the floor.",
        totals=warehouse.totals(sql, dict.fromkeys(_FLOW, 0)),
    )


def finished_table(monday: date) -> Listing:
    """The cases behind one week's point: first call to final disposition."""
    return Listing(
        "cases",
        f"Finished in the {words.week(monday)}, longest first",
        f"""select case_number, location_id, disposition_kind, case_kind, started_at, finished_at,
    round(hours, 1) as hours, target_hours, is_within_target
from marts.case_steps
where step_code = '{WHOLE}' and step_state = 'finished' and not is_trade_call
    and finished_week = {literal(monday)}
order by hours desc, case_number""",
        (
            Column("case_number", "Case", Kind.CASE),
            Column("location_id", "Home", Kind.PLACE),
            Column("disposition_kind", "Disposition", Kind.CODE),
            Column("case_kind", "Kind", Kind.CODE),
            Column("started_at", "First call", Kind.INSTANT, zone_by="location_id"),
            Column("finished_at", "Final disposition", Kind.INSTANT, zone_by="location_id"),
            Column("hours", "Hours", Kind.NUMBER, 1),
            Column("is_within_target", "Within target", Kind.YES_NO, empty="[z]"),
        ),
        source=mart("case_steps"),
        none=State(Mark.NOT_APPLICABLE, "Nobody reached final disposition in this week."),
        shown=200,
    )


def called_table(monday: date) -> Listing:
    """The cases of one week's first calls."""
    return Listing(
        "called",
        f"First call in the {words.week(monday)}",
        f"""select c.case_number, c.location_id, s.disposition_kind, s.case_kind, c.first_call_at,
    coalesce(s.step_state, 'held back') as step_state
from marts.custody_cases as c
left join marts.case_steps as s on c.case_number = s.case_number and s.step_code = '{WHOLE}'
where c.called_week = {literal(monday)}
order by c.location_id, c.first_call_at, c.case_number""",
        (
            Column("case_number", "Case", Kind.CASE),
            Column("location_id", "Home", Kind.PLACE),
            Column("disposition_kind", "Disposition", Kind.CODE, empty="[z]"),
            Column("case_kind", "Kind", Kind.CODE, empty="[z]"),
            Column("first_call_at", "First call", Kind.INSTANT, zone_by="location_id"),
            Column("step_state", "Final disposition", Kind.CODE),
        ),
        source=mart("custody_cases"),
        none=State(Mark.NOT_APPLICABLE, "Nobody called in this week."),
        shown=200,
    )


_ACCOUNTS = (
    ("finished", "Finished"), ("open", "Open"), ("not started", "Not begun"),
    ("no time given", "No time given"), ("negative", "Ends before it begins"),
    ("does not apply", "Does not apply"), ("trade call", "Trade calls"), ("cancelled", "Cancelled"),
    ("case held back", "Held back"), ("called later", "Called later"),
)  # fmt: skip


def accounts_table() -> Listing:
    """Every case in every step, all homes: what its figures count, and what is left out and why."""
    counts = ",\n    ".join(
        f"sum(case when accounted_as = {literal(account)} then case_count else 0 end)::bigint "
        f"as {account.replace(' ', '_')}"
        for account, _ in _ACCOUNTS
    )
    return Listing(
        "accounts",
        "Every case in every step: counted, or left out and why",
        f"""select step_name,
    {counts},
    sum(case_count)::bigint as cases, step_code
from marts.step_accounts
where location_id = '(group)'
group by step_name, step_code, step_number
order by step_number, step_code""",
        (
            Column("step_name", "Step"),
            *(
                Column(account.replace(" ", "_"), heading, Kind.NUMBER)
                for account, heading in _ACCOUNTS
            ),
            Column("cases", "Cases", Kind.NUMBER),
        ),
        source=mart("step_accounts"),
        none=State(Mark.NOT_APPLICABLE, "There is no case."),
        note="The medians of this page are those of finished steps. Each row adds up to all cases.",
    )


def averages_table() -> Listing:
    return Listing(
        "averages",
        "Do the averages agree (Little's law), last 13 weeks",
        """select location_id, stay_count, arrival_count, mean_people, mean_stay_hours,
    mean_people_expected, difference
from marts.flow_checks
order by location_id""",
        (
            Column("location_id", "Place", Kind.PLACE),
            Column("stay_count", "Stays", Kind.NUMBER),
            Column("mean_stay_hours", "Mean stay (h)", Kind.NUMBER, 1),
            Column("mean_people", "People, counted", Kind.NUMBER, 2),
            Column("mean_people_expected", "People, from stays", Kind.NUMBER, 2),
            Column("difference", "Difference", Kind.NUMBER, 2),
        ),
        source=mart("flow_checks"),
        none=State(Mark.NOT_APPLICABLE, "Nobody was in a place of ours in these weeks."),
        note="People there on average are stays an hour times hours a stay.",
    )


def figure_changes_table() -> Listing:
    """What the last print said otherwise of weeks that had ended."""
    return Listing(
        "since-the-last-print",
        "Figures of earlier weeks that changed since the last print, and why",
        f"""select t.week_start, t.location_id, coalesce(n.step_name, t.step_code) as step_name,
    t.was_finished_count, t.finished_count, t.was_median_hours, t.median_hours, t.why,
    t.printed_at, t.step_code
from marts.figure_changes as t
left join {STEPS} as n on t.step_code = n.step_code
order by t.location_id <> '(group)', t.step_code <> '{WHOLE}', t.week_start desc, t.location_id,
    t.step_code""",
        (
            Column("week_start", "Week", Kind.WEEK),
            Column("location_id", "Home", Kind.PLACE),
            Column("step_name", "Step"),
            Column("was_finished_count", "Done before", Kind.NUMBER),
            Column("finished_count", "Done now", Kind.NUMBER),
            Column("was_median_hours", "Median before (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("median_hours", "Median now (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("why", "Why"),
        ),
        source=mart("figure_changes"),
        none=State(Mark.CHECKED, "No figure of an earlier week changed since the last print."),
        shown=6,
    )
