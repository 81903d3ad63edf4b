"""Custody events whose local time came twice: before a chain is called broken, the later is tried.

Clocks go back once, so in the order in which the events were recorded the earlier reading comes
first: only the last one, the last two and so on can be of the second hour. That order is told by
``recorded_at``; where it came twice itself, by the place in the file. An event that was written
down before the later instant did not happen then.
"""

from collections.abc import Callable

import duckdb
import polars as pl

from validation.contracts.records.rule import CLOCK_SKEW

_DOUBLED = "chain_doubled"
_ORDER = ("case_key", "occurred_at", "recorded_at", "event_id")
#: What tells in which order events were recorded.
_RECORDED = (("recorded_at", "event_id"), ("row_id",))
_NONE = pl.DataFrame(schema={"row_id": pl.Int64, "later_at": pl.Datetime("us")})


class LaterReadings:
    """The later instants of the events, and which of them a chain holds with."""

    def __init__(self, con: duckdb.DuckDBPyConnection) -> None:
        self._con = con
        self._doubled: pl.DataFrame = con.sql(
            f"""
            select a.rowid as row_id, d.later_at
            from quality.doubled_times d
            join accepted.custody_events a on a.file_id = d.file_id and a.line = d.line
            left join quality.doubled_times w on w.feed = d.feed and w.file_id = d.file_id
                and w.line = d.line and w.column_name = 'recorded_at'
            where d.feed = 'custody_events' and d.column_name = 'occurred_at'
                and coalesce(w.later_at, a.recorded_at, d.later_at) >= d.later_at - {CLOCK_SKEW}
            """
        ).pl()
        self._taken = [_NONE]

    def mended(
        self,
        frame: pl.DataFrame,
        breaks: pl.DataFrame,
        judge: Callable[[pl.DataFrame], pl.DataFrame],
    ) -> pl.DataFrame:
        """The breaks that stand whichever instants are tried; ``judge`` gives those of a frame."""
        is_broken = pl.col("case_key").is_in(breaks["case_key"].implode())
        events = frame.lazy().filter(is_broken).collect()
        doubled = self._doubled.join(events, on="row_id")
        if doubled.is_empty():
            return breaks
        waiting = doubled["case_key"].unique()
        for order in _RECORDED:
            if waiting.is_empty():
                break
            waiting = self._still_broken(events, doubled, waiting, order, judge)
        mended = doubled["case_key"].filter(~doubled["case_key"].is_in(waiting.implode()))
        return breaks.filter(~pl.col("case_key").is_in(mended.implode()))

    def _still_broken(
        self,
        events: pl.DataFrame,
        doubled: pl.DataFrame,
        waiting: pl.Series,
        order: tuple[str, ...],
        judge: Callable[[pl.DataFrame], pl.DataFrame],
    ) -> pl.Series:
        """The cases of ``waiting`` that no number of last events in ``order`` mends."""
        from_last = (
            doubled.sort(*order, descending=True, nulls_last=False)
            .select("row_id", "case_key", "later_at")
            .with_columns(place=pl.int_range(pl.len()).over("case_key"))
        )
        for many in range(1, from_last.select(pl.col("place").max()).item() + 2):
            later = from_last.filter(
                (pl.col("place") < many) & pl.col("case_key").is_in(waiting.implode())
            ).select("row_id", "later_at")
            tried = self._tried(events, waiting, later)
            still = judge(tried)["case_key"]
            healed = tried.filter(~pl.col("case_key").is_in(still.implode()))
            self._taken.append(later.join(healed.select("row_id"), on="row_id"))
            waiting = waiting.filter(waiting.is_in(still.implode()))
        return waiting

    @staticmethod
    def _tried(events: pl.DataFrame, cases: pl.Series, later: pl.DataFrame) -> pl.DataFrame:
        return (
            events.filter(pl.col("case_key").is_in(cases.implode()))
            .join(later, on="row_id", how="left")
            .with_columns(occurred_at=pl.coalesce("later_at", "occurred_at"))
            .drop("later_at")
            .sort(*_ORDER, nulls_last=True)
        )

    def write(self) -> None:
        """Take the later instants that mended a chain, and mark that they were taken."""
        taken = pl.concat(self._taken)
        if taken.is_empty():
            return
        self._con.register(_DOUBLED, taken)
        self._con.execute(
            f"""
            update quality.doubled_times d set taken = 'later'
            from accepted.custody_events a join {_DOUBLED} t on t.row_id = a.rowid
            where d.feed = 'custody_events' and d.file_id = a.file_id and d.line = a.line
                and (d.column_name = 'occurred_at'
                    or (d.column_name = 'recorded_at' and d.earlier_at < t.later_at));
            update accepted.custody_events a set occurred_at = t.later_at
            from {_DOUBLED} t where t.row_id = a.rowid;
            update accepted.custody_events a set recorded_at = d.later_at
            from quality.doubled_times d
            where d.feed = 'custody_events' and d.column_name = 'recorded_at'
                and d.taken = 'later' and d.file_id = a.file_id and d.line = a.line
            """
        )
        self._con.unregister(_DOUBLED)
