"""Gathers what batches found and writes it in few strokes, each of which reads the table."""

import duckdb
import polars as pl

from pipelines.feeds import Feed
from validation.contracts.chain.explain import explain_breaks, held_by_record
from validation.contracts.rejects import write_rejects


class Verdicts:
    """What waits to be written; ``at_most`` bounds how many records that may be."""

    def __init__(self, con: duckdb.DuckDBPyConnection, feed: Feed, at_most: int) -> None:
        self._con, self._feed, self._at_most = con, feed, at_most
        self._waiting: list[tuple[pl.DataFrame, ...]] = []

    def add(
        self,
        found: pl.DataFrame,
        blocked: pl.DataFrame,
        breaks: pl.DataFrame,
        others: pl.DataFrame,
    ) -> None:
        """Add a batch: ``found`` rejects of records, ``blocked`` cases with the record that blocks,
        ``breaks`` of chains, ``others`` the remaining records of those cases."""
        batch = (found, blocked, breaks, others)
        if sum(part.height for part in batch):
            self._waiting.append(batch)
        if sum(part.height for parts in self._waiting for part in parts) >= self._at_most:
            self.write()

    def write(self) -> None:
        """Write everything that waits into ``quality.rejects``."""
        if not self._waiting:
            return
        found, blocked, breaks, others = (
            pl.concat(parts) for parts in zip(*self._waiting, strict=True)
        )
        self._waiting = []
        explained = explain_breaks(self._con, self._feed, breaks)
        told = pl.concat([
            held_by_record(self._con, self._feed, blocked),
            explained.select("case_key", "held_detail"),
        ])  # fmt: skip
        held = others.join(told, on="case_key").select(
            "row_id",
            pl.lit("chain_held").alias("rule_code"),
            pl.lit(None, pl.String).alias("column_name"),
            pl.col("held_detail").alias("detail"),
        )
        for rejects in (found, explained, held):
            write_rejects(self._con, self._feed, rejects)
