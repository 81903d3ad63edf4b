"""ledgerstone publish."""

from pathlib import Path

import click

from pipelines.command.options import SITE, WAREHOUSE
from pipelines.counted import counted
from pipelines.room import room_in
from pipelines.run.database import of_this_version, reading
from pipelines.run.run_log import newest_as_of


@click.command("publish")
@WAREHOUSE
@SITE
def command(warehouse: Path, site: Path) -> None:
    """Make the pages again from a warehouse, as of its last run."""
    from datetime import UTC  # noqa: PLC0415

    import reports  # noqa: PLC0415  (plotly and templates)

    with reading(warehouse) as con:
        as_of = newest_as_of(con)
    elsewhere = "make the pages elsewhere with --site"
    with room_in(site.resolve().parent, elsewhere), of_this_version(warehouse):
        pages = reports.publish(warehouse, site, as_of=as_of.replace(tzinfo=UTC))
    click.echo(f"{counted(len(pages), 'page')}: {site / 'index.html'}")
