"""Tables of the turnaround page."""

from datetime import date

from reports import words
from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing, mart
from reports.warehouse import Warehouse, literal

WHOLE = "call_to_disposition"
WEEKS_SHOWN = 13

#: Steps in the order in which a case takes them, an unknown one last.
_NUMBERS = """(select step_code, min(step_number) as step_number
    from marts.case_steps group by step_code)"""


def last_week(warehouse: Warehouse) -> date | None:
    """The Monday of the newest complete week in which anybody reached final disposition."""
    value = warehouse.scalar(
        "select max(week_start) from marts.weekly_turnaround "
        f"where location_id = '(group)' and step_code = '{WHOLE}' and is_complete_week"
    )
    return value if isinstance(value, date) else None


def waiting_sql() -> str:
    """Open steps past their target, hours counted to the as-of instant, most over first."""
    return """select case_number, location_id, step_name, started_at,
    round(hours, 1) as hours_waited, target_hours, round(hours - target_hours, 1) as hours_over,
    owed_by
from marts.case_steps
where step_state = 'open' and hours > target_hours
order by hours_over desc, case_number, step_name"""


def waiting_table(warehouse: Warehouse, late: int) -> Listing:
    open_steps = warehouse.count("select count(*) from marts.case_steps where step_state = 'open'")
    return Listing(
        "waiting",
        f"{words.counted(late, 'open step')} past target",
        waiting_sql(),
        (
            Column("case_number", "Case", Kind.CASE),
            Column("location_id", "Home", Kind.PLACE),
            Column("step_name", "Step"),
            Column("hours_waited", "Waited (h)", Kind.BAR, 1, limit="target_hours"),
            Column("target_hours", "Target (h)", Kind.NUMBER, 1, empty="[z]"),
            Column("hours_over", "Over (h)", Kind.NUMBER, 1),
            Column("owed_by", "Owed by"),
            Column("started_at", "Since", Kind.INSTANT, zone_by="location_id"),
        ),
        source=mart("case_steps"),
        none=State(
            Mark.CHECKED,
            f"{words.counted(open_steps, 'open step')} checked. None is past its target.",
        ),
        note="The longest over first. The tick in a bar is the target. Hours run to the as-of "
        "time.",
        shown=15,
    )


UNTIMED = "from marts.case_steps where step_state = 'no time given'"


def untimed_table(steps: int) -> Listing:
    return Listing(
        "untimed",
        f"{words.counted(steps, 'step')} with no time recorded",
        f"""select case_number, location_id, step_name, started_at, finished_at, step_code,
    target_hours
{UNTIMED}
order by case_number desc, step_code""",
        (
            Column("case_number", "Case", Kind.CASE),
            Column("location_id", "Home", Kind.PLACE),
            Column("step_name", "Step"),
            Column("started_at", "Began", Kind.INSTANT, zone_by="location_id"),
            Column("finished_at", "Ended", Kind.INSTANT, zone_by="location_id"),
        ),
        source=mart("case_steps"),
        none=State(Mark.CHECKED, "Every step that was taken has its times."),
        note="A later step is done and this one has no beginning or no end: it can be late and "
        "nobody would see it here.",
        shown=15,
    )


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
            Column("within_target_share", "Within target", Kind.SHARE, empty="[c]"),
            Column("median_year_before", "A year before (h)", Kind.NUMBER, 1, empty="[x]"),
            Column("is_complete_week", "Complete", Kind.YES_NO),
        ),
        source=mart("weekly_turnaround"),
        none=State(Mark.NOT_APPLICABLE, "No week has a finished case."),
        shown=WEEKS_SHOWN,
    )


def steps_table(week: date) -> Listing:
    return Listing(
        "steps",
        f"Each step, all homes, {words.week(week)} and the week before",
        f"""select t.step_name, t.finished_count, t.median_hours, t.p90_hours,
    t.within_target_share, b.finished_count as finished_before, b.median_hours as median_before,
    t.step_code
from marts.weekly_turnaround as t
left join {_NUMBERS} as s on t.step_code = s.step_code
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
            Column("within_target_share", "Within target", Kind.SHARE, empty="[c]"),
            Column("finished_before", "Done, week before", Kind.NUMBER, empty="0"),
            Column("median_before", "Median, week before (h)", Kind.NUMBER, 1, empty="[c]"),
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
left join {_NUMBERS} as s on t.step_code = s.step_code
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
            Column("not_proven_count", "Of them not proven", Kind.NUMBER),
        ),
        source=mart("weekly_flow"),
        none=State(Mark.NOT_APPLICABLE, "Nobody was in a place of ours in this week."),
        note="People whose custody is not proven are counted. The last column but one should be 0; "
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
where step_code = '{WHOLE}' and step_state = 'finished' and finished_week = {literal(monday)}
order by hours desc, case_number""",
        (
            Column("case_number", "Case", Kind.CASE),
            Column("location_id", "Home", Kind.PLACE),
            Column("disposition_kind", "Disposition", Kind.CODE),
            Column("case_kind", "Kind", Kind.CODE),
            Column("started_at", "First call", Kind.INSTANT, zone_by="location_id"),
            Column("finished_at", "Disposition", Kind.INSTANT, zone_by="location_id"),
            Column("hours", "Hours", Kind.NUMBER, 1),
            Column("is_within_target", "Within target", Kind.YES_NO, empty="[z]"),
        ),
        source=mart("case_steps"),
        none=State(Mark.NOT_APPLICABLE, "Nobody reached final disposition in this week."),
        shown=200,
    )


def stuck_table(shown: int) -> Listing:
    """Open cases, most over first; what has no time recorded stands on top of its kind."""
    return Listing(
        "stuck",
        "Open cases, furthest past their target first",
        """select case_number, location_id, step_name, round(hours_in_step, 1) as hours_in_step,
    target_hours, round(hours_over, 1) as hours_over, round(usual_hours, 1) as usual_hours,
    owed_by, replace(next_limit_kind, '_', ' ') as next_limit,
    round(next_limit_hours_left, 1) as hours_left, next_limit_citation,
    last_action, last_at, place_id, untimed_step_count, open_step_count, started_at,
    round(hours_since_call, 1) as hours_since_call, step_code
from marts.stuck_list
order by hours_over desc nulls last, case_number""",
        (
            Column("case_number", "Case", Kind.CASE),
            Column("location_id", "Home", Kind.PLACE),
            Column("step_name", "Current step"),
            Column("hours_in_step", "In it (h)", Kind.BAR, 1, limit="target_hours"),
            Column("hours_over", "Over target (h)", Kind.NUMBER, 1, empty="[z]"),
            Column("usual_hours", "Usual (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("owed_by", "Owed by"),
            Column("next_limit", "Next limit", Kind.CODE, empty="[z]"),
            Column("hours_left", "Left (h)", Kind.NUMBER, 1, empty="[z]"),
            Column("last_action", "Last event", Kind.CODE),
        ),
        source=mart("stuck_list"),
        none=State(Mark.CHECKED, "No case is open."),
        note="The tick in a bar is the target. Usual is the median of the last 13 weeks, all "
        "homes. Hours left to a limit are negative once it has passed: check with counsel or the "
        "licensing board.",
        shown=shown,
    )


def due_table() -> Listing:
    return Listing(
        "due",
        "Due in the next seven days, and limits that have passed",
        """select due_kind, case_number, location_id, due_at, round(hours_left, 1) as hours_left,
    detail, owed_by
from marts.due_soon
order by due_at, due_kind, case_number, detail""",
        (
            Column("due_at", "When", Kind.INSTANT, zone_by="location_id"),
            Column("hours_left", "Left (h)", Kind.NUMBER, 1),
            Column("due_kind", "What"),
            Column("detail", "Detail", is_whole=True),
            Column("case_number", "Case", Kind.CASE),
            Column("location_id", "Home", Kind.PLACE),
            Column("owed_by", "Owed by"),
        ),
        source=mart("due_soon"),
        none=State(Mark.CHECKED, "No service is planned and no limit ends within seven days."),
        shown=14,
    )


def split_table() -> Listing:
    return Listing(
        "wait-split",
        "Where the hours went, mean of the last 13 weeks",
        """select location_id, disposition_kind, case_count, whole_hours, paperwork_hours,
    transport_hours, preparation_hours, chamber_hours, family_hours
from marts.wait_split
where location_id = '(group)' or disposition_kind = 'all'
order by location_id <> '(group)', location_id, disposition_kind <> 'all', disposition_kind""",
        (
            Column("location_id", "Home", Kind.PLACE),
            Column("disposition_kind", "Disposition", Kind.CODE),
            Column("case_count", "Cases", Kind.NUMBER),
            Column("whole_hours", "First call to disposition (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("paperwork_hours", "Paperwork (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("transport_hours", "Transport (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("preparation_hours", "Preparation (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("chamber_hours", "Chamber (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("family_hours", "Family and rest (h)", Kind.NUMBER, 1, empty="[c]"),
        ),
        source=mart("wait_split"),
        none=State(Mark.NOT_APPLICABLE, "Nobody reached final disposition in these weeks."),
        note="Each hour is in one part only. Paperwork: until the last paper that the act needs; "
        "chamber: at the crematory with every paper there; family and rest: every paper is there, "
        "and nothing else explains the hour.",
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


_SPAN = f"cohort_kind = '{WEEKS_SHOWN} weeks'"


def started_table() -> Listing:
    """Product-limit medians of what began in the last weeks: open cases count for what they are."""
    return Listing(
        "started",
        f"Begun in the last {WEEKS_SHOWN} complete weeks, those still open counted",
        f"""select t.location_id, t.step_name, t.started_count, t.finished_count, t.open_count,
    t.median_hours, t.median_low_hours, t.median_high_hours, t.naive_median_hours, t.step_code,
    t.cohort_start, t.cohort_end
from marts.started_turnaround as t
left join {_NUMBERS} as s on t.step_code = s.step_code
where {_SPAN} and (t.location_id = '(group)' or t.step_code = '{WHOLE}')
order by t.location_id <> '(group)', t.location_id, s.step_number nulls last, t.step_code""",
        (
            Column("location_id", "Home", Kind.PLACE),
            Column("step_name", "Step"),
            Column("started_count", "Begun", Kind.NUMBER),
            Column("open_count", "Still open", Kind.NUMBER),
            Column("median_hours", "Median (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("median_low_hours", "From (h)", Kind.NUMBER, 1, empty="not reached"),
            Column("median_high_hours", "To (h)", Kind.NUMBER, 1, empty="not reached"),
            Column("naive_median_hours", "Finished alone (h)", Kind.NUMBER, 1, empty="[c]"),
        ),
        source=mart("started_turnaround"),
        none=State(Mark.NOT_APPLICABLE, "No step was begun in these weeks."),
        note="Half of those who began were through within the median (product limit, 95% interval "
        "from and to). The median of the finished alone leaves out who still waits, and flatters.",
    )


def chance_table(condition: str = "true") -> Listing:
    """Each home against all others: is its pace more than chance."""
    return Listing(
        "pace",
        f"Each home against the others, begun in the last {WEEKS_SHOWN} complete weeks",
        f"""select t.location_id, t.step_name, t.started_count, t.finished_count,
    t.rest_started_count, t.rest_finished_count, t.observed_count, t.expected_count,
    t.chi_square, t.p_value, t.homes_compared_count, t.step_code,
    case when t.p_value is null then 'too few to judge'
        when t.p_value >= 0.05 / greatest(t.homes_compared_count, 1) then 'within what chance gives'
        when t.observed_count > t.expected_count then 'more than chance: sooner'
        else 'more than chance: later' end as verdict
from marts.homes_against_the_rest as t
left join {_NUMBERS} as s on t.step_code = s.step_code
where {condition}
order by s.step_number nulls last, t.step_code, t.location_id""",
        (
            Column("location_id", "Home", Kind.PLACE),
            Column("step_name", "Step"),
            Column("started_count", "Begun", Kind.NUMBER),
            Column("finished_count", "Finished", Kind.NUMBER),
            Column("expected_count", "Expected", Kind.NUMBER, 1, empty="[c]"),
            Column("rest_started_count", "Begun elsewhere", Kind.NUMBER),
            Column("p_value", "p", Kind.NUMBER, 3, empty="[c]"),
            Column("verdict", "Against chance"),
        ),
        source=mart("homes_against_the_rest"),
        none=State(Mark.NOT_APPLICABLE, "No step was begun in these weeks."),
        note="Log-rank test, like kinds of case with like. Expected: how many would have finished "
        "at the pace of the others. Several homes are tested, so p must be below 0.05 divided by "
        "their number.",
        shown=40,
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
left join (select step_code, min(step_name) as step_name from marts.case_steps group by step_code)
    as n on t.step_code = n.step_code
order by t.location_id <> '(group)', t.step_code <> '{WHOLE}', t.week_start desc, t.location_id,
    t.step_code""",
        (
            Column("week_start", "Week", Kind.WEEK),
            Column("location_id", "Home", Kind.PLACE),
            Column("step_name", "Step"),
            Column("was_finished_count", "Finished, before", Kind.NUMBER),
            Column("finished_count", "Finished, now", Kind.NUMBER),
            Column("was_median_hours", "Median, before (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("median_hours", "Median, now (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("why", "Why"),
        ),
        source=mart("figure_changes"),
        none=State(Mark.CHECKED, "No figure of an earlier week changed since the last print."),
        shown=6,
    )
