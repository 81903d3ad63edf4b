"""ledgerstone trace."""

from pathlib import Path
from typing import Any

import click
import duckdb

from pipelines.command.options import WAREHOUSE
from pipelines.command.show import safe
from pipelines.counted import counted
from pipelines.room import room_in
from pipelines.run.database import of_this_version, reading
from pipelines.run.run_log import newest_as_of

_PAPERS = {
    "certificate signed": "certificate_signed", "certificate filed": "certificate_filed",
    "permit issued": "permit_issued", "cremation authorised": "cremation_authorised",
    "medical clearance": "medical_clearance", "embalming approved": "embalming_approved",
    "implant removed": "implant_removed", "instruction given": "instruction_given",
}  # fmt: skip


@click.command("trace")
@click.argument("case_number", metavar="CASE")
@WAREHOUSE
@click.option(
    "--sheet",
    type=click.Path(file_okay=False, path_type=Path),
    default=None,
    help="Write the case sheet into this folder, to print; it names the person.",
)
def command(case_number: str, warehouse: Path, sheet: Path | None) -> None:
    """Tell one case: papers, the custody line in time order, what is held back, what was found.

    Every line names the file and the physical line that it is from. Held-back records are shown
    too, marked so. With --sheet the same is written as a page, for any case.
    """
    if sheet is not None:
        _write_sheet(case_number, warehouse, sheet)
        return
    with reading(warehouse) as con:
        people = _rows(con, "cases", case_number)
        events = _rows(con, "custody_events", case_number)
        vanished = _vanished(con, case_number)
        if not people and not events:
            if not vanished:
                raise click.UsageError(f"No record of case {safe(case_number)} in {warehouse}.")
            click.echo(f"Case {safe(case_number)} has vanished: newer exports no longer hold it.")
            _tell_vanished(vanished)
            return
        files = dict(con.execute("select file_id, file_name from raw.files").fetchall())
        rejects = con.execute(
            "select file_name, line, rule_code, detail from quality.rejects_explained "
            "where case_number = ? order by file_name, line, rule_code", [case_number],
        ).fetchall()  # fmt: skip
        findings = con.execute(
            "select finding_number, answer_state, severity, rule_code, detail, file_name_a, line_a "
            "from marts.findings where case_number = $1 or other_case_number = $1 "
            "order by occurred_at, rule_code", [case_number],
        ).fetchall()  # fmt: skip
        standing = con.execute(
            "select clearance_state, certainty, against, outstanding from marts.clearances "
            "where case_number = ?", [case_number],
        ).fetchall()  # fmt: skip
        papers = con.execute(
            "select paper, paper_state, action, occurred_at, minutes_before from marts.case_papers "
            "where case_number = ? order by occurred_at nulls last, paper, action", [case_number],
        ).fetchall()  # fmt: skip
    for person in people:
        _tell_person(person, files)
    for state, certainty, against, outstanding in standing:
        click.echo(f"\nBefore moving: {state}; where and who: {certainty}")
        for reason in filter(None, (against, outstanding)):
            click.echo(f"  {safe(reason)}")
    if papers:
        click.echo(f"\nPapers before acts ({len(papers)})")
    for paper in papers:
        _tell_paper(*paper)
    click.echo(f"\nCustody line ({counted(len(events), 'record')}, times of the place)")
    for event in events:
        _tell_event(event, files)
    if vanished:
        click.echo(f"\nVanished ({len(vanished)}): newer exports no longer hold them")
        _tell_vanished(vanished)
    click.echo(f"\nHeld back ({counted(len(rejects), 'reason')})")
    for name, line, rule, detail in rejects:
        click.echo(f"  {name}:{line}  {rule}: {safe(detail)}")
    click.echo(f"\nFindings ({len(findings)}); a finding is a reason to look, not a verdict")
    for number, state, severity, rule, detail, name, line in findings:
        click.echo(f"  No. {number}, {severity}, {state}: {rule}: {safe(detail)} [{name}:{line}]")


def _write_sheet(case_number: str, warehouse: Path, folder: Path) -> None:
    from datetime import UTC  # noqa: PLC0415

    import reports  # noqa: PLC0415  (plotly and templates)

    with reading(warehouse) as con:
        as_of = newest_as_of(con)
        vanished = _vanished(con, case_number)
    with room_in(folder, "name another folder with --sheet"), of_this_version(warehouse):
        made = reports.publish_sheet(
            warehouse, folder, case_number, as_of=as_of.replace(tzinfo=UTC)
        )
    if made is None and vanished:
        raise click.UsageError(
            f"Case {safe(case_number)} has vanished, so there is no sheet of it. Without --sheet "
            "this says when and by which export."
        )
    if made is None:
        raise click.UsageError(f"No record of case {safe(case_number)} in {warehouse}.")
    click.echo(f"Case sheet: {made}")


def _rows(con: duckdb.DuckDBPyConnection, feed: str, case_number: str) -> list[dict[str, Any]]:
    order = "occurred_at, recorded_at nulls last, event_id" if feed == "custody_events" else "line"
    found = con.execute(
        f"""
        select * from (
            select *, false as is_held from accepted.{feed} where case_number = $1
            union all by name
            select *, true as is_held from held.{feed} where case_number = $1
        ) order by {order}
        """,
        [case_number],
    )
    names = [column[0] for column in found.description or []]
    return [dict(zip(names, row, strict=True)) for row in found.fetchall()]


def _vanished(con: duckdb.DuckDBPyConnection, case_number: str) -> list[tuple[Any, ...]]:
    """What newer exports no longer hold of the case: record, where it stood, since when, by what.

    A time without an export date is that of the run which read the file.
    """
    return con.execute(
        """
        select c.feed, c.record_key, o.file_name, c.older_line, n.file_name, c.changed_at
        from quality.changes c
        left join raw.files o on o.file_id = c.older_file_id
        left join raw.files n on n.file_id = c.newer_file_id
        where c.kind = 'vanished' and c.case_number = ?
        order by c.changed_at, c.feed <> 'cases', c.feed, o.file_name, c.older_line
        """,
        [case_number],
    ).fetchall()


def _tell_vanished(records: list[tuple[Any, ...]]) -> None:
    for feed, key, was_in, line, gone_from, at in records:
        click.echo(
            f"  {feed} {safe(key)} [{was_in}:{line}] no longer in {gone_from} "
            f"({at:%Y-%m-%d %H:%M} UTC)"
        )


def _tell_person(person: dict[str, Any], files: dict[str, str]) -> None:
    held = "  [held back]" if person["is_held"] else ""
    name = f"{safe(person['family_name'])}, {safe(person['given_name'])}"
    click.echo(f"Case {safe(person['case_number'])}  {name}{held}")
    click.echo(f"  from {files[person['file_id']]}:{person['line']}")
    click.echo(
        f"  home {safe(person['location_id'])}, {person['case_status']}, band "
        f"{safe(person['band_number']) or 'none'}, died {person['date_of_death']}"
    )
    click.echo(f"  named to receive      {safe(person['named_receiver']) or 'nobody'}")
    if person["remains_receivers"] or person["disposition_code"] == "C":
        named = safe(person["remains_receivers"]) or "nobody named"
        click.echo(f"  may take the remains  {named}")
    for label, column in _PAPERS.items():
        at, day = person[f"{column}_at"], person[f"{column}_date"]
        if day is not None:
            when = f"{at:%Y-%m-%d %H:%M} UTC" if at else f"{day} (date alone)"
            click.echo(f"  {label:<22}{when}")


def _tell_paper(
    paper: str, state: str, action: str | None, at: Any, minutes: float | None
) -> None:
    act = f"{action.replace('_', ' ')} at {at:%Y-%m-%d %H:%M} UTC" if action else "no act yet"
    apart = ""
    if minutes is not None:
        side = "before" if minutes >= 0 else "after"
        apart = f", {counted(round(abs(minutes)), 'minute')} {side} it"
    click.echo(f"  {paper:<24}{state:<14}{act}{apart}")


def _tell_event(event: dict[str, Any], files: dict[str, str]) -> None:
    local, at = event["occurred_at_local"], event["occurred_at"]
    when = f"{local:%Y-%m-%d %H:%M}" if local else "no readable time"
    offset = f"{_offset(local, at)}" if local and at else ""
    parties = " -> ".join(safe(event[p]) for p in ("from_party", "to_party") if event[p])
    where = " ".join(safe(event[p]) for p in ("place_id", "storage_unit") if event[p])
    held = "  [held back]" if event["is_held"] else ""
    signed = ", ".join(
        f"{word} {safe(event[column])}"
        for word, column in (("given by", "released_by"), ("taken by", "received_by"))
        if event[column]
    )
    click.echo(
        f"  {when}{offset}  {event['action'] or '?':<20}{parties:<26}  {where:<22}  "
        f"band {safe(event['band_number']) or '-'}{f'  {signed}' if signed else ''}"
        f"  [{files[event['file_id']]}:{event['line']}]{held}"
    )


def _offset(local: Any, at: Any) -> str:
    minutes = round((local - at).total_seconds() / 60)
    sign = "-" if minutes < 0 else "+"
    return f"{sign}{abs(minutes) // 60:02d}:{abs(minutes) % 60:02d}"
