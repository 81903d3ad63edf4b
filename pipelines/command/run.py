"""ledgerstone run."""

import sys
from datetime import datetime
from pathlib import Path

import click

from pipelines.command.options import AS_OF, SITE, WAREHOUSE, now_or, settings_option
from pipelines.command.summary import is_clean, tell_result


@click.command("run")
@click.argument("drop", type=click.Path(path_type=Path))
@WAREHOUSE
@SITE
@AS_OF
@settings_option("sources.toml in the drop, else the settings of the last run")
@click.option(
    "--strict",
    is_flag=True,
    help="Exit 1 when a record is held back or a critical finding is open.",
)
@click.option(
    "--confirm",
    is_flag=True,
    help="Let records vanish that the new exports no longer hold, however many they are.",
)
def command(
    drop: Path,
    warehouse: Path,
    site: Path,
    as_of: datetime | None,
    settings: Path | None,
    strict: bool,
    confirm: bool,
) -> None:
    """Take the exports in the folder DROP into the warehouse and publish the pages.

    Exports are CSV (comma, semicolon, tab or pipe; UTF-8 or UTF-16; also .csv.gz or .zip) or .xlsx.
    Files are known by their content: the same bytes again are skipped. The new warehouse and pages
    are built beside the old ones and swapped in when every check has passed.
    """
    code = run_and_tell(drop, warehouse, site, now_or(as_of), settings, confirm)
    if code == 0 and strict and not is_clean(warehouse):
        code = 1
    sys.exit(code)


def run_and_tell(
    drop: Path,
    warehouse: Path,
    site: Path,
    as_of: datetime,
    settings: Path | None = None,
    is_confirmed: bool = False,
) -> int:
    """Run, print progress and the result; returns the exit code."""
    from pipelines.run.pipeline import RunRequest, run_pipeline  # noqa: PLC0415  (seconds of imports)

    request = RunRequest(drop, warehouse, site, as_of, click.echo, settings, is_confirmed)
    result = run_pipeline(request)
    tell_result(result, warehouse, site)
    return result.exit_code
