"""ledgerstone rejects."""

import difflib
from pathlib import Path

import click
import duckdb

from pipelines.command.options import WAREHOUSE
from pipelines.command.show import safe
from pipelines.counted import counted
from pipelines.feeds import FEEDS
from pipelines.room import new_file
from pipelines.run.database import reading
from pipelines.sqltext import literal

#: The group may read what names people, the world may not.
_MODE = 0o640
_MOST_NAMED = 40


@click.command("rejects")
@WAREHOUSE
@click.option("--feed", type=click.Choice(list(FEEDS)), default=None, help="One feed only.")
@click.option("--file", "file_name", default=None, help="One file only, by its name.")
@click.option("--limit", type=click.IntRange(1), default=50, show_default=True,
              help="How many records are listed; --csv writes all.")  # fmt: skip
@click.option(
    "--csv",
    "csv_path",
    type=click.Path(dir_okay=False, path_type=Path),
    default=None,
    help="Write all of them to this new CSV file instead; it names people.",
)
def command(
    warehouse: Path, feed: str | None, file_name: str | None, limit: int, csv_path: Path | None
) -> None:
    """List the records that are held back: file, line, value, why, and how to mend them."""
    tests = ["true"]
    tests += [f"feed = {literal(feed)}"] if feed else []
    tests += [f"file_name = {literal(file_name)}"] if file_name else []
    chosen = (
        "select feed, file_name, line, record_key, rule_code, severity, column_name, value, says, "
        f"detail, mend, mended_by from quality.rejects_explained where {' and '.join(tests)} "
        "order by feed, file_name, line, rule_code, column_name"
    )
    with reading(warehouse) as con:
        if file_name:
            _require_known(con, file_name, feed)
        total = con.execute(f"select count(*) from ({chosen})").fetchall()[0][0]
        if csv_path:
            with new_file(csv_path, "name another file with --csv", _MODE):
                con.execute(
                    f"copy ({_harmless(chosen)}) to {literal(str(csv_path))} "
                    "(format csv, header, use_tmp_file false)"
                )
            click.echo(f"{counted(total, 'reason')} written to {csv_path}")
            return
        rows = con.execute(f"{chosen} limit {limit}").fetchall()
    for row in rows:
        _, name, line, key, rule, severity, column, value, says, detail, mend, who = row
        click.echo(f"{name}:{line}  {rule} ({severity})  {safe(key)}")
        click.echo(f"    {says} {safe(detail)}")
        if column:
            click.echo(f"    {column} = {safe(value)}")
        click.echo(f"    How to mend: {mend} Who: {who}.")
    shown = f"{len(rows):,} of {counted(total, 'reason')} shown."
    click.echo(shown if total else "Nothing is held back.")


def _require_known(con: duckdb.DuckDBPyConnection, file_name: str, feed: str | None) -> None:
    """Raise UsageError for a file that the warehouse does not know: nothing is held back of it, and
    that would look as if it were clean."""
    found = con.execute(
        "select distinct file_name from raw.files where coalesce(feed = ?, true) order by 1", [feed]
    ).fetchall()
    known = [str(name) for (name,) in found]
    if file_name not in known:
        of = f" of {feed}" if feed else ""
        near = difflib.get_close_matches(file_name, known, n=1)
        hint = f" Did you mean {safe(near[0])}?" if near else ""
        more = f" and {len(known) - _MOST_NAMED} more" if len(known) > _MOST_NAMED else ""
        raise click.UsageError(
            f"No file{of} is called {safe(file_name)}.{hint} Known files{of}: "
            f"{', '.join(map(safe, known[:_MOST_NAMED])) or 'none'}{more}."
        )


def _harmless(query: str) -> str:
    """Text that a spreadsheet would run as a formula gets an apostrophe in front."""
    text = ("record_key", "value", "detail")
    replaced = ", ".join(
        f"case when regexp_matches({c}, '^[=+@\\t\\r-]') then chr(39) || {c} else {c} end as {c}"
        for c in text
    )
    return f"select * replace ({replaced}) from ({query})"
