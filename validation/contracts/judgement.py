"""Judges the records of feeds: against their contracts, and custody events by their chain too."""

from collections.abc import Iterator

import duckdb
import polars as pl

from pipelines.feeds import Feed
from pipelines.sqltext import identifier
from validation.contracts.after_export import reject_after_export
from validation.contracts.chain import judge_chains
from validation.contracts.known import drop_known_tables, make_known_tables
from validation.contracts.rejects import forget_earlier, remember_earlier, write_rejects
from validation.contracts.schema import Contract, build_contract
from validation.parse.totals import forget_other_rejects

#: Records in one frame: bounds memory to a few hundred megabytes.
BATCH_ROWS = 1_000_000


def judge(con: duckdb.DuckDBPyConnection, *feeds: Feed, batch_rows: int = BATCH_ROWS) -> None:
    """Add to ``quality.rejects`` what is wrong in ``accepted.<feed>`` of each feed; moves and
    deletes nothing. The lists that the feeds refer to are gathered once for all of them.

    ``batch_rows``: about how many records stand in one frame; a frame of custody events holds whole
    cases. Expects every feed parsed: references look at ``accepted`` and ``held`` of the lists.

    Raises:
        ContractFault: the table is not what the declaration says. Our fault.
    """
    make_known_tables(con, feeds)
    for feed in feeds:
        _judge(con, feed, batch_rows)
    drop_known_tables(con, feeds)


def _judge(con: duckdb.DuckDBPyConnection, feed: Feed, batch_rows: int) -> None:
    reject_after_export(con, feed)
    remember_earlier(con, feed)
    contract = build_contract(feed)
    if feed.name == "custody_events":
        judge_chains(con, feed, contract, batch_rows)
    else:
        for frame in _batches(con, feed, contract, batch_rows):
            write_rejects(con, feed, contract.find(frame))
    forget_earlier(con)
    forget_other_rejects(con, feed.name)


def _batches(
    con: duckdb.DuckDBPyConnection, feed: Feed, contract: Contract, batch_rows: int
) -> Iterator[pl.DataFrame]:
    columns = [f"r.{identifier(name)}" for name in contract.columns]
    columns += [f"{sql} as {identifier(name)}" for name, sql in contract.helpers.items()]
    last = con.execute(f"select coalesce(max(rowid), -1) from accepted.{feed.name}").fetchall()
    for start in range(0, int(last[0][0]) + 1, batch_rows):
        yield con.sql(
            f"""
            select r.rowid as row_id, {", ".join(columns)}
            from accepted.{feed.name} r
            where r.rowid between {start} and {start + batch_rows - 1}
            """
        ).pl()
