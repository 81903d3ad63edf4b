"""ledgerstone sample."""

import secrets
from pathlib import Path

import click

from pipelines.command.options import WAREHOUSE
from pipelines.command.show import safe
from pipelines.counted import counted
from pipelines.run.database import reading


@click.command("sample")
@WAREHOUSE
@click.option("--cases", type=click.IntRange(1), default=10, show_default=True, help="How many.")
@click.option(
    "--seed",
    type=click.IntRange(0),
    default=None,
    help="The number that draws them. Default: one by chance, which is printed.",
)
@click.option("--location", default=None, help="Only cases that this location arranges.")
def command(warehouse: Path, cases: int, seed: int | None, location: str | None) -> None:
    """Draw cases by chance, for an inspection: anybody can draw the same ones again by the seed.

    Every case has the same chance, held-back ones too; what is known of a case does not change it.
    """
    seed = secrets.randbelow(1_000_000) if seed is None else seed
    with reading(warehouse) as con:
        drawn = con.execute(
            """
            select c.case_number, c.location_id, coalesce(p.certainty, c.custody_status) as custody,
                count(f.finding_number) as findings
            from marts.custody_cases c
            left join marts.census p on p.case_number = c.case_number
            left join marts.finding_people f on f.case_number = c.case_number
            where $location is null or c.location_id = $location
            group by c.case_number, c.location_id, custody
            order by md5($seed || '|' || c.case_number), c.case_number
            limit $cases
            """,
            {"seed": str(seed), "location": location, "cases": cases},
        ).fetchall()
    if not drawn:
        raise click.UsageError(f"No case of {location or 'any location'} is in {warehouse}.")
    of = f" --location {location}" if location else ""
    click.echo(f"Drawn by seed {seed} (again: --cases {cases} --seed {seed}{of})")
    for number, place, custody, findings in drawn:
        click.echo(
            f"  {safe(number)}  {safe(place) or 'no place'}  custody {custody}, "
            f"{counted(findings, 'finding')}"
        )
