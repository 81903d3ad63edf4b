"""What a run did, in a few lines."""

from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING

import click

from pipelines.command.show import safe
from pipelines.counted import counted
from pipelines.run.database import reading

if TYPE_CHECKING:
    from pipelines.run.pipeline import RunResult

_MOST_NAMED = 5


def tell_result(result: "RunResult", warehouse: Path, site: Path) -> None:
    """Print what was read, held back and found, and where the pages are."""
    counts = result.counts
    load = result.load
    click.echo("")
    click.echo(
        f"Read       {counted(len(load.read), 'new file')}"
        + (f", {len(load.skipped)} already known" if load.skipped else "")
        + f"; the warehouse accounts for {counted(_given(warehouse), 'record')}"
    )
    if load.undated:
        named = ", ".join(map(safe, load.undated[:_MOST_NAMED]))
        more = len(load.undated) - _MOST_NAMED
        who = f"{named} and {more:,} more" if more > 0 else named
        does, counts_ = ("does", "it counts") if len(load.undated) == 1 else ("do", "they count")
        click.echo(
            f"Undated    {who} {does} not say when exported: {counts_} as of this run"
        )
    for name, why in load.set_aside.items():
        click.echo(f"Set aside  {safe(name)}: {safe(why)}")
    unreadable = _unreadable(warehouse)
    for name, why in result.not_read.items():
        click.echo(f"Not read   {safe(name)}: {why}")
    click.echo(
        f"Held back  {counted(counts['records_held'] + unreadable, 'record')}, {unreadable:,} of "
        f"them unreadable (ledgerstone rejects --warehouse {warehouse})"
    )
    gone = Counter[str]()
    for removal in result.removals:
        gone[removal.feed.name] += removal.gone
    if gone:
        told = ", ".join(f"{count:,} {feed}" for feed, count in gone.items())
        click.echo(f"Vanished   {told}: newer exports no longer hold them")
    corrections = _corrections(warehouse)
    if corrections:
        told = ", ".join(f"{count:,} {state}" for state, count in corrections)
        click.echo(f"Corrected  {told} (corrections)")
    by_severity = ", ".join(f"{count:,} {word}" for word, count in _severities(warehouse))
    click.echo(f"Found      {counted(counts['findings'], 'finding')}: {by_severity or 'none'}")
    answered = counts["findings"] - sum(count for _, count in _severities(warehouse))
    if answered:
        click.echo(f"           {answered:,} of them answered, not counted by severity")
    if _runs(warehouse) > 1:
        changes = ", ".join(f"{count:,} {kind}" for kind, count in _changes(warehouse))
        click.echo(f"           since the last run: {changes or 'nothing changed'}")
    click.echo(f"Pages      {site / 'index.html'}")


def is_clean(warehouse: Path) -> bool:
    """No record is held back or unreadable and no critical finding is open."""
    with reading(warehouse) as con:
        held = con.execute(
            "select sum(held_back + unreadable) from quality.file_accounts"
        ).fetchall()[0][0]
    return not held and not dict(_severities(warehouse)).get("critical")


def _given(warehouse: Path) -> int:
    """Records of the group's own files, as the pages count them: not the tables that came with the
    program."""
    from reports.listings.quality import GIVEN  # noqa: PLC0415  (half a second of imports)

    with reading(warehouse) as con:
        found = con.execute(
            f"select sum(records_read) from quality.file_accounts where {GIVEN}"
        ).fetchall()
    return int(found[0][0] or 0)


def _runs(warehouse: Path) -> int:
    with reading(warehouse) as con:
        return int(con.execute("select count(*) from quality.run_log").fetchall()[0][0])


def _unreadable(warehouse: Path) -> int:
    with reading(warehouse) as con:
        found = con.execute("select sum(unreadable) from quality.file_accounts").fetchall()
    return int(found[0][0] or 0)


def _corrections(warehouse: Path) -> list[tuple[str, int]]:
    with reading(warehouse) as con:
        return con.execute(
            "select state, count(*) from quality.corrections group by state order by 1"
        ).fetchall()


def _changes(warehouse: Path) -> list[tuple[str, int]]:
    with reading(warehouse) as con:
        return con.execute(
            "select change_kind, count(*) from marts.finding_changes group by 1 order by 1"
        ).fetchall()


def _severities(warehouse: Path) -> list[tuple[str, int]]:
    with reading(warehouse) as con:
        return con.execute(
            """
            select severity, count(*) from marts.findings where answer_state <> 'answered'
            group by severity
            order by case severity when 'critical' then 1 when 'major' then 2
                when 'minor' then 3 else 4 end
            """
        ).fetchall()
