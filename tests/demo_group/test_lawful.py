"""Without plants the drop breaks no law; each check is written apart from the rules."""

from collections.abc import Callable

import duckdb
import pytest

Ask = Callable[[str], float]

_LAID = """
    select
        case_number, storage_unit, occurred_at::timestamptz as since,
        lead(occurred_at::timestamptz) over (
            partition by case_number order by occurred_at::timestamptz
        ) as until,
        action
    from custody_events
    where action in ({actions})
"""


def _shared(first: str, last: str) -> str:
    laid = _LAID.format(actions=f"'{first}', '{last}'")
    return f"""
        with laid as ({laid})
        select count(*)
        from laid as a
        inner join laid as b
            on a.storage_unit = b.storage_unit and a.case_number < b.case_number
            and a.action = '{first}' and b.action = '{first}'
            and a.since < coalesce(b.until, 'infinity') and b.since < coalesce(a.until, 'infinity')
    """


def test_no_shelf_holds_two_people(one: Ask) -> None:
    assert one(_shared("stored", "taken_out")) == 0


def test_no_chamber_holds_two_people(one: Ask) -> None:
    assert one(_shared("cremation_started", "cremation_finished")) == 0


def test_no_place_is_over_its_capacity(lawful: duckdb.DuckDBPyConnection) -> None:
    crowded = lawful.execute(
        """
        with moves as (
            select
                place_id, occurred_at::timestamptz as since,
                lead(occurred_at::timestamptz) over (
                    partition by case_number order by occurred_at::timestamptz
                ) as until
            from custody_events
            where action in ('received', 'departed', 'arrived', 'released', 'cremation_finished')
        ),
        steps as (
            select place_id, since as moment, 1 as step from moves
            union all
            select place_id, coalesce(until, 'infinity'), -1 from moves
        ),
        peaks as (
            select place_id, sum(step) over (partition by place_id order by moment) as people
            from steps
        )
        select location_id, capacity, max(people)
        from peaks
        inner join locations on place_id = location_id
        group by location_id, capacity
        having max(people) > capacity::integer
        """
    ).fetchall()
    assert crowded == []


def test_every_event_of_a_case_is_later_than_the_one_before(one: Ask) -> None:
    query = """
        select count(*) from (
            select
                occurred_at::timestamptz as moment,
                lag(occurred_at::timestamptz) over (
                    partition by case_number order by split_part(event_id, '-', 4)::integer
                ) as before
            from custody_events
            -- Reviews, counts, effects go beside the walk.
            where split_part(event_id, '-', 4)::integer not between 100 and 199
                and split_part(event_id, '-', 4)::integer < 280
                and action not in ('effects_listed', 'hold_placed', 'hold_lifted')
        )
        where moment <= before
    """
    assert one(query) == 0


def test_no_custody_of_the_body_follows_final_disposition(one: Ask) -> None:
    assert (
        one(
            """
        with ends as (
            select case_number, occurred_at::timestamptz as ended from custody_events
            where action in ('cremation_finished', 'buried', 'entombed', 'released')
        )
        select count(*)
        from custody_events
        inner join ends using (case_number)
        where occurred_at::timestamptz > ended
            and action not like 'remains%' and action <> 'effects_returned'
        """
        )
        == 0
    )


@pytest.mark.parametrize(
    ("table", "column", "place"),
    [
        ("cases", "first_call_at", "location_id"),
        ("cases", "closed_at", "location_id"),
        ("supply_movements", "occurred_at", "location_id"),
        ("air_samples", "started_at", "location_id"),
    ],
)
def test_offsets_are_those_of_the_time_zone_database(
    one: Ask, table: str, column: str, place: str
) -> None:
    """Against the IANA database of DuckDB's ICU; the clocks went back on 2026-11-01."""
    wrong = one(
        f"""
        select count(*)
        from {table} as records
        inner join locations on records.{place} = locations.location_id
        where strptime(left({column}, 16), '%Y-%m-%dT%H:%M')
            <> timezone(time_zone, {column}::timestamptz)
        """
    )
    both = one(f"select count(distinct right({column}, 6)) from {table}")
    assert (wrong, both) == (0, 3)


def test_totals_are_exact_and_invoices_repeat_their_estimates(one: Ask) -> None:
    assert (
        one(
            "select count(*) from statement_lines where line_total::decimal(18, 2) "
            "<> quantity::decimal(18, 2) * unit_price::decimal(18, 2)"
        )
        == 0
    )
    assert (
        one(
            "select count(*) from (select case_number, "
            "sum(line_total::decimal(18, 2)) filter (document_kind = 'estimate') as quoted, "
            "sum(line_total::decimal(18, 2)) filter (document_kind = 'invoice') as billed "
            "from statement_lines group by case_number) where billed <> quoted"
        )
        == 0
    )


def test_counts_equal_what_the_movements_leave(one: Ask) -> None:
    """1 US fl oz = 29.5735 mL, a 16 fl oz bottle 473.176 mL (rounded to four decimals)."""
    worst = one(
        """
        with measured as (
            select
                location_id, item_code, movement_kind, occurred_at::timestamptz as moment,
                quantity::decimal(18, 4) * case unit
                    when 'fl_oz' then 29.5735
                    when 'each' then coalesce(content_ml::decimal(9, 3), 1) else 1
                end as amount
            from supply_movements
            inner join (select item_code, content_ml from supply_items) using (item_code)
        ),
        signed as (
            select *, case
                when movement_kind in ('issued', 'sent', 'written_off') then -amount
                when movement_kind = 'counted' then 0 else amount end as change
            from measured
        ),
        running as (
            select *, sum(change) over (
                partition by location_id, item_code order by moment
            ) as left_over
            from signed
        )
        select max(abs(left_over - amount)) from running where movement_kind = 'counted'
        """
    )
    assert worst < 0.001


def test_every_lot_that_is_issued_came_in_before(one: Ask) -> None:
    assert (
        one(
            """
        select count(*)
        from supply_movements as used
        where used.movement_kind in ('issued', 'sent') and used.lot_number is not null
            and not exists (
                select 1 from supply_movements as came
                where came.movement_kind in ('opening', 'received', 'arrived')
                    and came.location_id = used.location_id and came.item_code = used.item_code
                    and came.lot_number = used.lot_number
                    and came.occurred_at::timestamptz <= used.occurred_at::timestamptz
                    and came.expires_date::date > left(used.occurred_at, 10)::date
            )
        """
        )
        == 0
    )


@pytest.mark.parametrize(
    "paper",
    ["permit_issued_at", "cremation_authorised_at", "medical_clearance_at", "certificate_filed_at"],
)
def test_papers_come_before_the_cremation(one: Ask, paper: str) -> None:
    """A paper with a date alone is from an earlier day."""
    assert (
        one(
            f"""
        select count(*)
        from cases
        inner join custody_events using (case_number)
        where action = 'cremation_started' and coalesce(
            case
                when length({paper}) = 10 then {paper}::date < left(occurred_at, 10)::date
                else {paper}::timestamptz < occurred_at::timestamptz
            end, false
        ) is false
        """
        )
        == 0
    )


def test_nobody_is_cremated_within_48_hours_of_death(one: Ask) -> None:
    """Tex. Health and Safety Code 716.004: 48 hours; counted from when death was pronounced."""
    assert (
        one(
            "select count(*) from cases inner join custody_events using (case_number) "
            "where action = 'cremation_started' "
            "and occurred_at::timestamptz < pronounced_at::timestamptz + interval 48 hour"
        )
        == 0
    )


def test_nothing_in_the_drop_is_later_than_its_export(one: Ask) -> None:
    for table in ("custody_events", "supply_movements"):
        latest = f"select max(occurred_at::timestamptz) <= '2026-11-16T10:00Z' from {table}"
        assert one(latest) == 1
