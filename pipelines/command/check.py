"""ledgerstone check."""

import sys
from datetime import UTC, datetime
from pathlib import Path

import click

from pipelines.command.show import safe
from pipelines.feeds import FEEDS, Feed
from pipelines.load.drop import DropFile, exported_at, feed_of
from pipelines.load.prove import Proof, prove


@click.command("check")
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option("--feed", "feed_name", type=click.Choice(list(FEEDS)), default=None,
              help="The feed it is, where its name does not say so.")  # fmt: skip
@click.option("--limit", type=click.IntRange(1), default=20, show_default=True)
def command(file: Path, feed_name: str | None, limit: int) -> None:
    """Look at FILE before it is loaded: header, line counts, values that cannot be read.

    Nothing is written. References to other files (does the case exist?) and custody chains are
    judged in a run.
    """
    feed = FEEDS[feed_name or feed_of(file)]
    proof = prove(file, feed)
    click.echo(f"{file.name}: {feed.name}, {proof.size:,} bytes, {proof.total_lines:,} lines")
    if proof.set_aside:
        click.echo(f"It would be set aside whole. {proof.set_aside}")
        sys.exit(1)
    _tell_header(proof, feed)
    problems = _tell_values(file, feed, limit)
    sys.exit(1 if problems else 0)


def _tell_header(proof: Proof, feed: Feed) -> None:
    named = {heading.column for heading in proof.headings}
    extra = [heading.text for heading in proof.headings if heading.column is None]
    missing = [c.name for c in feed.columns if c.name not in named]
    click.echo(f"Delimiter {proof.delimiter!r}; {len(named - {None})} columns known")
    if missing:
        click.echo(f"Not exported (what needs them is not checked): {', '.join(missing)}")
    if extra:
        click.echo(f"Not known (kept, not used): {', '.join(safe(e) for e in extra)}")


def _tell_values(file: Path, feed: Feed, limit: int) -> int:
    import duckdb  # noqa: PLC0415

    from pipelines.load import create_schemas, load_drop  # noqa: PLC0415
    from pipelines.run.database import settings  # noqa: PLC0415
    from validation.account import reject_unreadable  # noqa: PLC0415
    from validation.parse import parse_feed  # noqa: PLC0415

    with duckdb.connect(":memory:") as con:
        for statement in settings():
            con.execute(statement)
        create_schemas(con)
        drop_file = DropFile(file, feed.name, exported_at(file.name))
        summary = load_drop(con, [drop_file], datetime.now(UTC))
        parse_feed(con, feed)
        reject_unreadable(con)
        total = con.execute("select count(*) from quality.rejects").fetchall()[0][0]
        rows = con.execute(
            "select line, rule_code, column_name, value, detail from quality.rejects "
            f"order by line, column_name limit {limit}"
        ).fetchall()
    click.echo(f"{summary.records:,} records; {total:,} values or lines that cannot be read")
    for line, rule, column, value, detail in rows:
        click.echo(f"  line {line}: {rule}: {column or 'the whole line'} = {safe(value)}  {detail}")
    return int(total)
