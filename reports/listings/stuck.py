"""Tables of what is stuck and what falls due."""

from reports import words
from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing, mart
from reports.warehouse import Warehouse

#: Every case past its target is on the page, up to as many as fit one.
MOST_LATE = 200
#: Case numbers in a sentence.
_NAMED = 8


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
        shown=MOST_LATE,
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


def stuck_table(shown: int, *, is_sheet: bool = False) -> Listing:
    """Every open case, furthest past their target first; on a sheet of paper in fewer columns."""
    last_event = () if is_sheet else (Column("last_action", "Last move or review", Kind.CODE),)
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
            Column("hours_over", "Over (h)", Kind.NUMBER, 1, empty="[z]"),
            Column("usual_hours", "Usual (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("owed_by", "Owed by"),
            Column("next_limit", "Next limit", Kind.CODE, empty="[z]"),
            Column("hours_left", "Left (h)", Kind.NUMBER, 1, empty="[z]"),
            *last_event,
        ),
        source=mart("stuck_list"),
        none=State(Mark.CHECKED, "No case is open."),
        note="The tick in a bar is the target; over it by so many hours. Usual is the median of "
        "the last 13 weeks, all homes. Hours left to a limit are negative once it has passed: "
        "check with counsel or the licensing board.",
        shown=shown,
    )


def closing_states(warehouse: Warehouse) -> tuple[State, ...]:
    """Open cases without an open step: those to be closed, and those whose times are missing."""
    found = warehouse.rows(
        f"""select step_code, count(*), list(case_number order by case_number)[:{_NAMED}]
from marts.stuck_list where step_code in ('to_close', 'times_missing')
group by step_code order by step_code desc"""
    )
    return tuple(
        State(Mark.INFO, _without_step(str(code), int(str(count)), [str(n) for n in named]))
        for code, count, named in found
        if isinstance(named, list)
    )


def _without_step(code: str, count: int, named: list[str]) -> str:
    why = "every step done: close" if code == "to_close" else "no step open, for times are missing:"
    who = ", ".join(named) + (f" and {words.number(count - _NAMED)} more" if count > _NAMED else "")
    return f"{words.counted(count, 'open case')} {words.verb(count, 'has', 'have')} {why} {who}."


def due_table(shown: int) -> Listing:
    return Listing(
        "due",
        "Due in the next seven days, and limits that have passed",
        """select due_kind, case_number, location_id, due_at, round(hours_left, 1) as hours_left,
    detail, owed_by, clearance_state
from marts.due_soon
order by due_at, due_kind, case_number, detail""",
        (
            Column("due_at", "When", Kind.INSTANT, zone_by="location_id"),
            Column("hours_left", "Left (h)", Kind.NUMBER, 1),
            Column("due_kind", "What", Kind.CODE),
            Column("detail", "Detail", is_whole=True),
            Column("case_number", "Case", Kind.CASE),
            Column("location_id", "Home", Kind.PLACE),
            Column("clearance_state", "The person", Kind.CODE, empty="[z]"),
            Column("owed_by", "Owed by"),
        ),
        source=mart("due_soon"),
        none=State(Mark.CHECKED, "No service is planned and no limit ends within seven days."),
        note="The person: whether anything on record stands against moving them (Before moving).",
        shown=shown,
    )
