"""The custody events of a case as one chain, judged and held back as a whole."""

from functools import partial

import duckdb
import pandera.polars as pa
import polars as pl

from pipelines.feeds import Feed
from validation.contracts.chain.extract import (
    case_batches,
    drop_found,
    find_corrections,
    find_other_bands,
)
from validation.contracts.chain.later import LaterReadings
from validation.contracts.chain.verdicts import Verdicts
from validation.contracts.chain.walk import CHAIN_RULES, WALKED, walk_chains
from validation.contracts.rejects import earlier_rejects
from validation.contracts.schema import Contract, failures, named_check

__all__ = ["judge_chains"]

#: One check per rule of a chain, over what ``walk_chains`` found.
_CHAIN_SCHEMA = pa.DataFrameSchema(
    {
        "break_code": pa.Column(
            pl.Enum(CHAIN_RULES),
            [named_check(code, pl.col("break_code") != code) for code in CHAIN_RULES],
            nullable=True,
        )
    },
    name="custody chains",
)


def judge_chains(
    con: duckdb.DuckDBPyConnection, feed: Feed, contract: Contract, batch_rows: int
) -> None:
    """Judge custody events: each record, then the chain of each case whose records all stand.

    The first break of a case is named on its line; every other record of the case gets
    ``chain_held``, which names that line.
    """
    find_corrections(con, feed)
    find_other_bands(con, feed)
    earlier = earlier_rejects(con).select("row_id", "rule_code")
    verdicts = Verdicts(con, feed, batch_rows)
    later = LaterReadings(con)
    for frame in case_batches(con, feed, contract, batch_rows):
        found = contract.find(frame)
        rejected = pl.concat([earlier, found.select("row_id", "rule_code")])
        blocked = _blocked_cases(frame, rejected)
        breaks = later.mended(
            frame, _chain_breaks(frame, blocked), partial(_chain_breaks, blocked=blocked)
        )
        named = pl.concat([rejected["row_id"], breaks["row_id"]])
        verdicts.add(found, blocked, breaks, _others(frame, blocked, breaks, named))
    verdicts.write()
    later.write()
    drop_found(con)


def _blocked_cases(frame: pl.DataFrame, rejected: pl.DataFrame) -> pl.DataFrame:
    """Cases with a rejected record in their chain, and the first such record: case_key, row_id,
    rule_code. A rejected record that was corrected away, or a count, breaks no chain."""
    in_chain = pl.col("case_key").is_not_null() & ~pl.col("is_superseded")
    return (
        frame.filter(in_chain & (pl.col("action") != "counted").fill_null(True))
        .select("case_key", "row_id")
        .join(rejected.unique("row_id", keep="first", maintain_order=True), on="row_id",
              maintain_order="left")
        .unique("case_key", keep="first", maintain_order=True)
    )  # fmt: skip


def _chain_breaks(frame: pl.DataFrame, blocked: pl.DataFrame) -> pl.DataFrame:
    """The first break of each case whose records all stand, as ``walk_chains`` gives it."""
    is_void = (pl.col("step") == "voided") & ~pl.col("is_unsound")
    in_chain = ~pl.col("is_superseded") & (pl.col("step") != "counted") & ~is_void
    in_chain &= pl.col("case_key").is_not_null()
    if blocked.height:
        in_chain &= ~pl.col("case_key").is_in(blocked["case_key"].implode())
    walked = walk_chains(frame.lazy().filter(in_chain).select(WALKED).collect())
    found = failures(_CHAIN_SCHEMA, walked.select("break_code"))
    return walked[found["row"].sort().to_list()] if found.height else walked.clear()


def _others(
    frame: pl.DataFrame, blocked: pl.DataFrame, breaks: pl.DataFrame, named: pl.Series
) -> pl.DataFrame:
    """The records of cases that cannot stand, but for those named: row_id, case_key."""
    cases = pl.concat([blocked["case_key"], breaks["case_key"]])
    return frame.lazy().select("row_id", "case_key").filter(
        pl.col("case_key").is_in(cases.implode()).fill_null(False)
        & ~pl.col("row_id").is_in(named.implode())
    ).collect()  # fmt: skip
