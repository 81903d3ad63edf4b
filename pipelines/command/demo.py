"""ledgerstone demo."""

import sys
from datetime import UTC, datetime
from pathlib import Path

import click

from pipelines.command.run import run_and_tell

DROP = Path(__file__).resolve().parents[2] / "seed_csv" / "drop"
#: The demo's clock: the Monday morning after its last day.
AS_OF = datetime(2026, 11, 16, 12, tzinfo=UTC)


@click.command("demo")
@click.option(
    "--output",
    type=click.Path(file_okay=False, path_type=Path),
    default=Path("build/demo"),
    show_default=True,
    help="Where the warehouse and the pages go.",
)
def command(output: Path) -> None:
    """Run the demo group: five places, two time zones, six months, with planted faults.

    Everyone and everything in it is invented.
    """
    sys.exit(run_and_tell(DROP, output / "warehouse.duckdb", output / "site", AS_OF))
