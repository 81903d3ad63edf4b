"""Tables of pace: those who still wait counted, homes against one another, where the hours went."""

from reports.listings.turnaround import STEPS, WEEKS_SHOWN, WHOLE
from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing, mart


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
left join {STEPS} as s on t.step_code = s.step_code
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
    t.chi_square, t.p_value,
    case when t.p_value < 0.001 then '<0.001' else format('{{:.3f}}', t.p_value) end as p_shown,
    t.homes_compared_count, t.step_code,
    case when t.p_value is null then 'too few to judge'
        when t.p_value >= 0.05 / greatest(t.homes_compared_count, 1) then 'within what chance gives'
        when t.observed_count > t.expected_count then 'more than chance: sooner'
        else 'more than chance: later' end as verdict
from marts.homes_against_the_rest as t
left join {STEPS} as s on t.step_code = s.step_code
where {condition}
order by s.step_number nulls last, t.step_code, t.location_id""",
        (
            Column("location_id", "Home", Kind.PLACE),
            Column("step_name", "Step"),
            Column("started_count", "Begun", Kind.NUMBER),
            Column("finished_count", "Finished", Kind.NUMBER),
            Column("expected_count", "Expected", Kind.NUMBER, 1, empty="[c]"),
            Column("rest_started_count", "Begun elsewhere", Kind.NUMBER),
            Column("p_shown", "p", Kind.PRICE, empty="[c]"),
            Column("verdict", "Against chance"),
        ),
        source=mart("homes_against_the_rest"),
        none=State(Mark.NOT_APPLICABLE, "No step was begun in these weeks."),
        note="Log-rank test, like kinds of case with like. Expected: how many would have finished "
        "at the pace of the others. Several homes are tested, so p must be below 0.05 divided by "
        "their number.",
        shown=40,
    )
