"""ledgerstone status."""

import sys
from pathlib import Path

import click

from pipelines.command.options import WAREHOUSE
from pipelines.counted import counted
from pipelines.run import run_log
from pipelines.run.database import reading


@click.command("status")
@WAREHOUSE
@click.option("--verify", is_flag=True, help="Check that no entry of the run log was altered.")
def command(warehouse: Path, verify: bool) -> None:
    """Say what the warehouse holds: the last run, files, records, rules not checked."""
    with reading(warehouse) as con:
        runs = con.execute(
            "select run_number, as_of, records_read, records_accepted, records_held, findings "
            "from quality.run_log order by run_number desc limit 1"
        ).fetchall()
        files = con.execute(
            "select feed, count(*), sum(accepted), sum(held_back), max(exported_at), "
            "count(set_aside) from quality.file_accounts group by feed order by feed"
        ).fetchall()
        states = con.execute(
            "select state, count(*) from marts.rule_states group by state order by state"
        ).fetchall()
        faults = run_log.verify(con) if verify else []
    for number, as_of, read, accepted, held, findings in runs:
        click.echo(
            f"Run {number}, as of {as_of:%Y-%m-%d %H:%M} UTC: {counted(read, 'record')} read, "
            f"{accepted:,} accepted, {held:,} held back, {counted(findings, 'finding')}"
        )
    for feed, count, accepted, held, exported, set_aside in files:
        aside = f", {set_aside} set aside" if set_aside else ""
        upto = f"up to {exported:%Y-%m-%d}" if exported else "no export date"
        click.echo(
            f"  {feed:<22}{count:>3} {'file ' if count == 1 else 'files'} {accepted:>10,} accepted "
            f"{held:>7,} held  {upto}{aside}"
        )
    click.echo("Rules: " + ", ".join(f"{count} {state}" for state, count in states))
    if verify:
        for fault in faults:
            click.echo(f"Run log: {fault}")
        click.echo("The run log is whole." if not faults else "The run log is NOT whole.")
        sys.exit(1 if faults else 0)
