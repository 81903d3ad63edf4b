"""Tables under the curves of who still waits."""

from reports import words
from reports.listings.turnaround import WEEKS_SHOWN, WHOLE
from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing, mart
from reports.warehouse import Warehouse

_NONE = State(Mark.NOT_APPLICABLE, "No home began enough cases in these weeks for a curve.")
#: Days between the hours that the tables name: as few as leave seven columns.
_DAYS_APART = (1, 2, 3, 4, 5, 7, 10, 14, 21, 28)
_COLUMNS = 7


def named_hours(end: float) -> list[float]:
    """Hours at which the curves are read for tables: whole days up to ``end``, evenly apart."""
    apart = next((d for d in _DAYS_APART if end < 24 * d * (_COLUMNS + 1)), _DAYS_APART[-1])
    return [24.0 * apart * n for n in range(1, _COLUMNS + 1) if 24 * apart * n <= end]


def at_risk_table(hours: list[float]) -> Listing:
    """Cases behind each curve, so that its thin end is not read as its thick one."""
    columns = "".join(
        f",\n    max(case when c.hours = {at:.0f} then c.at_risk_count end) as h_{at:.0f}"
        for at in hours
    )
    return Listing(
        "at-risk",
        "Known to wait after so many hours, cases",
        f"""select b.location_id, b.started_count, b.open_count{columns}
from marts.started_turnaround as b
left join marts.waiting_curves as c
    on b.location_id = c.location_id and b.step_code = c.step_code
where b.cohort_kind = '{WEEKS_SHOWN} weeks' and b.step_code = '{WHOLE}'
group by b.location_id, b.started_count, b.open_count
order by b.location_id <> '(group)', b.location_id""",
        (
            Column("location_id", "Home", Kind.PLACE),
            Column("started_count", "Begun", Kind.NUMBER),
            Column("open_count", "Still open", Kind.NUMBER),
            *(
                Column(f"h_{at:.0f}", f"At {words.number(at)} h", Kind.NUMBER, empty="[c]")
                for at in hours
            ),
        ),
        source=mart("waiting_curves"),
        none=_NONE,
        note="The cases behind the curves. One that is still open counts up to the hours that it "
        "has waited so far.",
    )


def points_table(warehouse: Warehouse, hours: list[float]) -> Listing:
    """The curves in figures: the page has the named hours, the download every point."""
    named = "(" + ", ".join(f"{at:.0f}" for at in hours or [0.0]) + ")"
    return Listing(
        "curves",
        "Share still waiting after so many hours",
        f"""select location_id, hours, at_risk_count, finished_count, still_open_share,
    still_open_low_share, still_open_high_share, step_code
from marts.waiting_curves
order by hours not in {named}, location_id <> '(group)', location_id, hours""",
        (
            Column("location_id", "Home", Kind.PLACE),
            Column("hours", "Hours", Kind.NUMBER),
            Column("at_risk_count", "Known to wait", Kind.NUMBER),
            Column("finished_count", "Finished by then", Kind.NUMBER),
            Column("still_open_share", "Still waiting (%)", Kind.SHARE),
            Column("still_open_low_share", "From (%)", Kind.SHARE, empty="[z]"),
            Column("still_open_high_share", "To (%)", Kind.SHARE, empty="[z]"),
        ),
        source=mart("waiting_curves"),
        none=_NONE,
        note="95% interval from and to. The page has the hours of the table above, the download "
        "every point that is drawn.",
        shown=warehouse.count(f"select count(*) from marts.waiting_curves where hours in {named}"),
    )


def open_table(warehouse: Warehouse) -> Listing:
    """The cases behind what the title says still waits, longest first."""
    begun = warehouse.count(
        "select sum(started_count) from marts.started_turnaround where location_id = '(group)' "
        f"and step_code = '{WHOLE}' and cohort_kind = '{WEEKS_SHOWN} weeks'"
    )
    return Listing(
        "open",
        "Begun in these weeks and still open, longest first",
        f"""select s.case_number, s.location_id, s.disposition_kind, s.case_kind, s.started_at,
    round(s.hours, 1) as hours, s.target_hours
from marts.case_steps as s
inner join marts.started_turnaround as t
    on t.location_id = '(group)' and t.step_code = s.step_code
    and t.cohort_kind = '{WEEKS_SHOWN} weeks'
    and s.started_week between t.cohort_start and t.cohort_end
where s.step_code = '{WHOLE}' and s.step_state = 'open' and s.hours >= 0
    and not s.is_trade_call
order by s.hours desc, s.case_number""",
        (
            Column("case_number", "Case", Kind.CASE),
            Column("location_id", "Home", Kind.PLACE),
            Column("disposition_kind", "Disposition", Kind.CODE),
            Column("case_kind", "Kind", Kind.CODE),
            Column("started_at", "First call", Kind.INSTANT, zone_by="location_id"),
            Column("hours", "Waits (h)", Kind.BAR, 1, limit="target_hours"),
        ),
        source=mart("case_steps"),
        none=State(Mark.CHECKED, f"{words.counted(begun, 'case')} checked. None is open."),
        note="The tick in a bar is the target. Hours run to the as-of time.",
        shown=60,
    )
