"""ledgerstone census."""

from datetime import datetime
from pathlib import Path
from typing import Any

import click

from pipelines.command.options import WAREHOUSE, Instant
from pipelines.command.show import safe
from pipelines.run.database import reading
from pipelines.run.run_log import newest_as_of

#: Who was where at an instant: the leg that had begun and not ended. ``$now`` is the warehouse's
#: as-of instant; of any other one only the records up to it are asked. Whoever has no record with
#: a time that can be true has no leg, and is in care all the same.
_AT = """
with gaps as (
    select case_number, min(occurred_at) as occurred_at from marts.custody_gaps group by case_number
)
select legs.case_number, legs.place_id, legs.party_id, legs.storage_unit, legs.started_at,
    case when $at = $now and people.certainty is not null then people.certainty
        when gaps.occurred_at <= $at then 'contradicted'
        when not legs.is_proven then 'not proven' else 'proven' end as certainty,
    case when $at = $now then people.why end as why, files.file_name, legs.started_line
from marts.custody_legs as legs
left join gaps on legs.case_number = gaps.case_number
left join marts.census as people on legs.case_number = people.case_number
left join raw.files as files on legs.started_file_id = files.file_id
where legs.started_at <= $at and coalesce(legs.ended_at > $at, true)
    and ($place is null or legs.place_id = $place)
union all
select people.case_number, null, null, null, null, people.certainty, people.why, files.file_name,
    people.line
from marts.census as people
left join raw.files as files on people.file_id = files.file_id
where $at = $now and $place is null and people.in_care_since is null
order by place_id nulls first, storage_unit nulls first, case_number
"""

_OURS = "select location_id from accepted.locations order by location_id"
_PLACES = f"({_OURS}) union select distinct place_id from marts.custody_legs"


@click.command("census")
@WAREHOUSE
@click.option(
    "--at",
    type=Instant(),
    default=None,
    help="The instant that is asked about, such as 2026-11-16T12:00Z. Default: the newest that the "
    "warehouse knows.",
)
@click.option("--place", default=None, help="Only people at this place.")
def command(warehouse: Path, at: datetime | None, place: str | None) -> None:
    """Say who was in care at an instant: where, held by whom, how sure, and by which record.

    People whose records are held back are counted. Of an instant in the past it says what the
    records of today say of it; it does not say what was known then.
    """
    with reading(warehouse) as con:
        now = newest_as_of(con)
        asked = at.replace(tzinfo=None) if at else now
        if asked > now:
            raise click.UsageError(
                f"The warehouse knows nothing after {now:%Y-%m-%d %H:%M} UTC. Run a newer drop, or "
                "ask about an earlier instant."
            )
        known = con.execute(_PLACES).fetchall()
        if place is not None and (place,) not in known:
            ours = ", ".join(safe(name) for (name,) in con.execute(_OURS).fetchall())
            raise click.UsageError(
                f"No record names the place {safe(place)}. Places of the group: {ours}."
            )
        found = con.execute(_AT, {"at": asked, "now": now, "place": place})
        names = [column[0] for column in found.description or []]
        people = [dict(zip(names, row, strict=True)) for row in found.fetchall()]
        rooms = dict(
            con.execute("select location_id, capacity from accepted.locations").fetchall()
        )
    sure = sum(person["certainty"] == "proven" for person in people)
    where = f" at {safe(place)}" if place else ""
    click.echo(
        f"{len(people)} in care{where} at {asked:%Y-%m-%d %H:%M} UTC, {sure} of them proven"
    )
    for name in dict.fromkeys(person["place_id"] for person in people):
        here = [person for person in people if person["place_id"] == name]
        room = rooms.get(name)
        of = f" of {room:.0f}" if room is not None else ""
        click.echo(f"\n{safe(name) or 'no place on record'}: {len(here)}{of}")
        for person in here:
            _tell(person)


def _tell(person: dict[str, Any]) -> None:
    why = f": {safe(person['why'])}" if person["why"] else ""
    began = person["started_at"]
    since = f"since {began:%Y-%m-%d %H:%M} UTC" if began else "since a time not on record"
    click.echo(
        f"  {safe(person['case_number']):<16}{safe(person['storage_unit']) or '-':<14}"
        f"held by {safe(person['party_id']) or 'nobody named':<12}  "
        f"{since}  "
        f"[{safe(person['file_name'])}:{person['started_line']}]  {person['certainty']}{why}"
    )
