"""Whole cases of custody events out of the warehouse, each case in the order of its chain."""

from collections.abc import Iterator

import duckdb
import polars as pl

from pipelines.feeds import Feed
from pipelines.sqltext import identifier
from validation.contracts.chain.actions import (
    ACTIONS,
    BAND_IS_READABLE,
    BAND_IS_REPLACED,
    PLACE_IS_CREMATORY,
    PLACE_IS_VEHICLE,
    REMAINS_ARE_BROUGHT,
)
from validation.contracts.schema import Contract

_SUPERSEDED = "chain_superseded"
_UNSOUND = "chain_unsound_corrections"
_SORTED = "chain_sorted"
_OTHER_BANDS = "chain_other_bands"
_ORDER_BY = "case_key nulls first, occurred_at nulls last, recorded_at nulls last"
_ORDER = ("case_key", "occurred_at", "recorded_at")


def find_corrections(con: duckdb.DuckDBPyConnection, feed: Feed) -> None:
    """Make temporary tables of the events that a correction takes the place of, and of the
    corrections that name no other event of their case or run in a circle."""
    con.execute(
        f"""
        create or replace temp table chain_corrections as
        select rowid as row_id, case_number, event_id, corrects_event_id
        from accepted.{feed.name}
        where corrects_event_id is not null or action = 'voided';
        create or replace temp table chain_targets as
        select c.row_id, c.case_number, c.event_id, t.rowid as target_row_id
        from accepted.{feed.name} t
        join chain_corrections c
            on t.case_number = c.case_number and t.event_id = c.corrects_event_id
        where t.rowid <> c.row_id;
        create or replace temp table chain_sound as
        with recursive sound as (
            select c.row_id, c.case_number, c.event_id
            from chain_targets c
            where not exists (select 1 from chain_targets t where t.row_id = c.target_row_id)
            union
            select c.row_id, c.case_number, c.event_id
            from chain_corrections c
            join sound s on s.case_number = c.case_number and s.event_id = c.corrects_event_id
        )
        select distinct row_id from sound;
        create or replace temp table {_SUPERSEDED} as
        select distinct target_row_id as row_id
        from chain_targets semi join chain_sound using (row_id);
        create or replace temp table {_UNSOUND} as
        select row_id from chain_corrections anti join chain_sound using (row_id)
        """
    )


def find_other_bands(con: duckdb.DuckDBPyConnection, feed: Feed) -> None:
    """Make a temporary table of the cases with a read of another band than the case's: few, so
    that the bands of all others need not be carried along."""
    con.execute(
        f"""
        create or replace temp table {_OTHER_BANDS} as
        select distinct r.case_number
        from accepted.{feed.name} r
        join known_cases k on k.case_number = r.case_number
        where r.band_number <> k.case_band and {BAND_IS_READABLE}
        """
    )


def drop_found(con: duckdb.DuckDBPyConnection) -> None:
    for name in ("chain_corrections", "chain_targets", "chain_sound", _SUPERSEDED, _UNSOUND,
                 _OTHER_BANDS):  # fmt: skip
        con.execute(f"drop table if exists {name}")


def case_batches(
    con: duckdb.DuckDBPyConnection, feed: Feed, contract: Contract, batch_rows: int
) -> Iterator[pl.DataFrame]:
    """Frames of whole cases in chain order: occurred_at, recorded_at, event_id.

    Columns: row_id, case_key (null: no such case), is_closed, what the contract needs, parties,
    place, unit, what was read of the band, is_superseded, is_unsound, step (the action, encoded).
    """
    rows = int(con.execute(f"select count(*) from accepted.{feed.name}").fetchall()[0][0])
    ordered = f"{_events(feed, contract)} order by {_ORDER_BY}"
    if rows <= batch_rows:
        yield _encoded(con.sql(ordered).pl())
        return
    # Sorted once for all batches: a filter per batch would read the whole table each time.
    con.execute(f"create or replace temp table {_SORTED} as {ordered}")
    for condition in _ranges(con, rows, batch_rows):
        yield _encoded(con.sql(f"select * from {_SORTED} where {condition}").pl())
    con.execute(f"drop table {_SORTED}")


def _events(feed: Feed, contract: Contract) -> str:
    helpers = dict(contract.helpers)
    helpers["is_known_case_number"] = "r.case_number is null or k.case_key is not null"
    columns = [f"r.{identifier(name)}" for name in contract.columns]
    columns += [f"{sql} as {identifier(name)}" for name, sql in helpers.items()]
    return f"""
        select r.rowid as row_id, cast(k.case_key as integer) as case_key, k.is_closed,
            {", ".join(columns)}, r.from_party, r.to_party, r.place_id, r.storage_unit,
            r.band_number is not null as is_band_read,
            k.case_band is null or {BAND_IS_READABLE} is not true or r.band_number = k.case_band
                as is_band_of_case,
            k.case_band is not null as has_case_band,
            case when {BAND_IS_READABLE} and (k.case_band is null
                or r.case_number in (select case_number from {_OTHER_BANDS}))
                then r.band_number end as loose_band,
            coalesce({BAND_IS_REPLACED}, false) as is_band_put_on,
            coalesce({PLACE_IS_VEHICLE}, false) as is_vehicle,
            coalesce({PLACE_IS_CREMATORY}, false) as is_crematory,
            r.disc_number is not null as has_disc,
            coalesce({REMAINS_ARE_BROUGHT}, false) as is_brought,
            r.rowid in (select row_id from {_SUPERSEDED}) as is_superseded,
            r.rowid in (select row_id from {_UNSOUND}) as is_unsound,
            r.recorded_at
        from accepted.{feed.name} r
        left join known_cases k on k.case_number = r.case_number
        """


def _ranges(con: duckdb.DuckDBPyConnection, rows: int, batch_rows: int) -> Iterator[str]:
    """Conditions that split the sorted events into ranges of whole cases, about ``batch_rows``
    each; events of no known case are split by row."""
    cases, last_row = con.execute(
        f"select coalesce(max(case_key), 0), max(row_id) from {_SORTED}"
    ).fetchall()[0]
    for start in range(0, last_row + 1, batch_rows):
        yield f"case_key is null and row_id between {start} and {start + batch_rows - 1}"
    step = max(1, cases * batch_rows // rows)
    for start in range(1, cases + 1, step):
        yield f"case_key between {start} and {start + step - 1}"


def _encoded(frame: pl.DataFrame) -> pl.DataFrame:
    step = pl.col("action").cast(pl.Enum(ACTIONS), strict=False)
    return _ties_by_number(frame).with_columns(step=step)


def _ties_by_number(frame: pl.DataFrame) -> pl.DataFrame:
    """Put events of one case that share both instants in the order of their numbers.

    Text as a sort key doubles the time of the whole sort; ties are few, so only cases that have one
    are sorted again. Cases stay whole; their order among each other means nothing.
    """
    if not frame["case_key"].is_sorted():
        return frame.sort(*_ORDER, "event_id", nulls_last=True)
    same = pl.all_horizontal(pl.col(name).eq_missing(pl.col(name).shift(1)) for name in _ORDER)
    tied = frame.filter(same & pl.col("case_key").is_not_null())["case_key"].unique()
    if not tied.len():
        return frame
    is_tied = pl.col("case_key").is_in(tied.implode()).fill_null(False)
    return pl.concat([
        frame.filter(~is_tied),
        frame.filter(is_tied).sort(*_ORDER, "event_id", nulls_last=True),
    ])  # fmt: skip
