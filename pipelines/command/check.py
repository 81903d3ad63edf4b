"""ledgerstone check."""

import contextlib
import sys
from datetime import UTC, datetime
from pathlib import Path

import click

from pipelines.command.options import settings_option
from pipelines.command.propose import first_rows, proposed_settings
from pipelines.command.show import safe
from pipelines.counted import counted
from pipelines.errors import LedgerstoneError
from pipelines.feeds import FEEDS, Feed
from pipelines.load.drop import SETTINGS_NAME, DropFile, files_of
from pipelines.load.prove import Proof, proven
from pipelines.sources import Settings, read_settings
from pipelines.sources.match import Match


@click.command("check")
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option("--feed", "feed_name", type=click.Choice(list(FEEDS)), default=None,
              help="The feed it is, where its name does not say so.")  # fmt: skip
@settings_option("sources.toml beside FILE, else none")
@click.option("--limit", type=click.IntRange(1), default=20, show_default=True,
              help="How many values that cannot be read are listed.")  # fmt: skip
def command(file: Path, feed_name: str | None, settings: Path | None, limit: int) -> None:
    """Look at FILE before it is loaded: header, line counts, values that cannot be read.

    Nothing is written. Settings are those named, else sources.toml beside FILE; local times get
    their zone from the locations beside it. References to other files (does the case exist?) and
    custody chains are judged in a run.
    """
    beside = file.parent / SETTINGS_NAME
    path = settings or (beside if beside.is_file() else None)
    known = read_settings(path)[0] if path else Settings()
    outcomes = [_look(drop_file, known, limit) for drop_file in files_of(file, known, feed_name)]
    sys.exit(0 if all(outcomes) else 1)


def _look(file: DropFile, settings: Settings, limit: int) -> bool:
    """Tell what is in one file; true when nothing is wrong with it."""
    feed = FEEDS[file.feed]
    with proven(file) as proof:
        lines = "" if proof.is_workbook else f", {counted(proof.total_lines, 'line')}"
        click.echo(f"{safe(file.name)}: {feed.name}, {counted(proof.size, 'byte')}{lines}")
        if file.match.exported_at is None:
            click.echo(
                f"{safe(file.name)} does not say when it was exported: it counts as of the run "
                "that takes it. Name it with the day, as YYYY-MM-DD."
            )
        if proof.set_aside:
            click.echo(f"It would be set aside whole. {safe(proof.set_aside)}")
            _propose(proof, feed, file)
            return False
        _tell_header(proof, feed, file.layout.filled)
        _propose(proof, feed, file)
    return not _tell_values(file, feed, settings, limit)


def _propose(proof: Proof, feed: Feed, file: DropFile) -> None:
    proposal = proposed_settings(proof, feed, file.member or file.path.name)
    if proposal:
        click.echo("By the nearest headings, the settings could say (look at it before use):")
        click.echo("  " + proposal.replace("\n", "\n  "))


def _tell_header(proof: Proof, feed: Feed, filled: tuple[str, ...]) -> None:
    named = {heading.column for heading in proof.headings}
    extra = [heading.text for heading in proof.headings if heading.column is None]
    missing = [c.name for c in feed.columns if c.name not in {*named, *filled}]
    dialect = "" if proof.is_workbook else f", delimiter {proof.delimiter!r}"
    click.echo(f"{proof.encoding}{dialect}; {counted(len(named - {None}), 'column')} known")
    if missing:
        click.echo(f"Not exported (what needs them is not checked): {', '.join(missing)}")
    if extra:
        click.echo(f"Not known (kept, not used): {', '.join(safe(e) for e in extra)}")


def _needed_to_read(file: DropFile, settings: Settings) -> list[DropFile]:
    """The factors of units, and from the file's folder the places that give local times a zone."""
    from validation.parse.units import UNIT_FACTORS  # noqa: PLC0415

    places = {"locations"} | ({"cases"} if "case_number" in FEEDS[file.feed].zone_from else set())
    found = [DropFile(UNIT_FACTORS, Match("", "unit_factors", None))]
    for path in sorted(file.path.parent.iterdir()):
        with contextlib.suppress(LedgerstoneError):
            found += [f for f in files_of(path, settings) if f.feed in places]
    order = list(FEEDS)
    return sorted((f for f in found if f.feed != file.feed), key=lambda f: order.index(f.feed))


def _tell_values(file: DropFile, feed: Feed, settings: Settings, limit: int) -> int:
    import duckdb  # noqa: PLC0415

    from pipelines.load import create_schemas, load_drop  # noqa: PLC0415
    from pipelines.run.database import settings as connection_settings  # noqa: PLC0415
    from validation.account import reject_unreadable  # noqa: PLC0415
    from validation.parse import parse_feed  # noqa: PLC0415

    with duckdb.connect(":memory:") as con:
        for statement in connection_settings():
            con.execute(statement)
        create_schemas(con)
        now = datetime.now(UTC)
        for helper in _needed_to_read(file, settings):
            load_drop(con, [helper], now)
            parse_feed(con, FEEDS[helper.feed], settings)
        summary = load_drop(con, [file], now)
        parse_feed(con, feed, settings)
        reject_unreadable(con)
        shown = first_rows(con, feed)
        con.execute("delete from quality.rejects where feed <> ?", [feed.name])
        total = con.execute("select count(*) from quality.rejects").fetchall()[0][0]
        rows = con.execute(
            "select line, rule_code, column_name, value, detail from quality.rejects "
            f"order by line, column_name limit {limit}"
        ).fetchall()
    for row in shown:
        click.echo(f"Read as: {row}")
    records = counted(summary.records, "record")
    click.echo(f"{records}; values or lines that cannot be read: {total:,}")
    for line, rule, column, value, detail in rows:
        click.echo(f"  line {line}: {rule}: {column or 'the whole line'} = {safe(value)}  {detail}")
    return int(total)
