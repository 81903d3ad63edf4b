"""ledgerstone template."""

import csv
from contextlib import ExitStack
from pathlib import Path

import click

from pipelines.feeds import DECISIONS, FEEDS, GROUP_FEEDS, Feed
from pipelines.room import make_folder, new_file

_INSTEAD = "choose another --output"


_NAMES = (
    f"{', '.join(GROUP_FEEDS)}; what the group decides: "
    f"{', '.join(n for n in FEEDS if n in DECISIONS)}; a reference table: "
    f"{', '.join(n for n in FEEDS if n not in {*GROUP_FEEDS, *DECISIONS})}."
)


@click.command(
    "template",
    help="Write FEED.csv (the header alone) and FEED.md (what each column means)."
    f"\n\nFEED is one of: {_NAMES}",
)
@click.argument("feed_name", metavar="FEED", type=click.Choice([*GROUP_FEEDS, *FEEDS]))
@click.option(
    "--output",
    type=click.Path(file_okay=False, path_type=Path),
    default=Path(),
    help="Folder to write into (default: here).",
)
def command(feed_name: str, output: Path) -> None:
    """Write the two files into ``output``, anew."""
    feed = FEEDS[feed_name]
    blank, page = output / f"{feed.name}.csv", output / f"{feed.name}.md"
    make_folder(output, _INSTEAD)
    with ExitStack() as both:
        for path in (blank, page):
            both.enter_context(new_file(path, _INSTEAD))
        with blank.open("w", newline="", encoding="utf-8") as stream:
            csv.writer(stream, lineterminator="\n").writerow(feed.column_names)
        page.write_text(describe(feed), encoding="utf-8")
    click.echo(f"{blank}\n{page}")


def describe(feed: Feed) -> str:
    """The page of a feed: one table row per column."""
    rows = [
        f"| {c.name} | {'yes' if c.is_required else ''} | {_written(c.name, feed)} "
        f"| {c.unit or ''} | {c.meaning} | {c.example} |"
        for c in feed.columns
    ]
    return "\n".join([
        f"# {feed.name}", "", feed.meaning, feed.grain,
        f"A record is known by: {', '.join(feed.key)}.",
        f"Name the file {feed.name}-YYYY-MM-DD.csv, with the day of the export. "
        "Text is UTF-8; the header is the first line; columns may stand in any order.", "",
        "| column | required | written as | unit | meaning | example |",
        "|---|---|---|---|---|---|", *rows, "",
    ])  # fmt: skip


def _written(name: str, feed: Feed) -> str:
    column = feed.column(name)
    return ", ".join(column.allowed) if column.allowed else column.written
