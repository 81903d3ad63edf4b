"""``ledgerstone check``: what would be read, and what the settings could say, before a run."""

from pathlib import Path

from click.testing import CliRunner

from pipelines.command.check import command
from pipelines.sources.read import parse_settings

RECORD = "AS-1,CARE,2026-06-10T09:00-05:00,480,0.21,shift\n"
THEIRS = "Sample No,Location,Started,Minutes,Formaldehyde,Kind of sample\n"


def _check(*arguments: object):
    return CliRunner().invoke(command, [*map(str, arguments)])


def test_check_proposes_settings_that_can_be_used(tmp_path: Path) -> None:
    file = tmp_path / "air_samples-2026-11-16.csv"
    file.write_text(THEIRS + RECORD)
    done = _check(file)
    assert done.exit_code == 1
    proposal = "\n".join(
        line.strip() for line in done.output.partition("before use):")[2].splitlines()
    ).replace("NAME", "north")
    headings = parse_settings(proposal, "proposal").sources["north"].feeds["air_samples"].headings
    assert headings["Sample No"] == "sample_id"
    assert headings["Started"] == "started_at"
    assert headings["Formaldehyde"] == "formaldehyde_ppm"


def test_check_shows_the_first_rows_as_they_would_be_read(tmp_path: Path) -> None:
    file = tmp_path / "north.csv"
    record = RECORD.replace(",", ";").replace("0.21", "0,21")
    file.write_text("No;Site;Begun;Min;ppm;Type\n" + record)
    settings = tmp_path / "sources.toml"
    settings.write_text(
        '[sources.north]\ndecimal = "comma"\n[sources.north.feeds.air_samples]\n'
        'files = ["north*"]\n[sources.north.feeds.air_samples.headings]\n'
        'No = "sample_id"\nSite = "location_id"\nBegun = "started_at"\nMin = "minutes"\n'
        'ppm = "formaldehyde_ppm"\nType = "sample_kind"\n'
    )
    done = _check(file, "--settings", settings)
    assert done.exit_code == 0, done.output
    assert "started_at = 2026-06-10 14:00:00" in done.output
    assert "formaldehyde_ppm = 0.2100" in done.output


def test_a_hostile_heading_stays_text_in_the_proposal(tmp_path: Path) -> None:
    file = tmp_path / "air_samples-2026-11-16.csv"
    file.write_text(THEIRS.replace("Sample No", '"sample"" ]\nid"') + RECORD)
    done = _check(file)
    assert done.exit_code == 1
    assert '"sample\\" ]\\u000Aid" = "sample_id"' in done.output


def test_check_reads_local_times_by_the_locations_and_settings_beside_the_file(
    tmp_path: Path,
) -> None:
    (tmp_path / "locations-2026-11-16.csv").write_text(
        "location_id,location_name,location_kind,time_zone,jurisdiction\n"
        "CARE,Care,care_centre,America/Chicago,US-TX\n"
    )
    (tmp_path / "sources.toml").write_text(
        '[sources.north]\ndates = "month/day/year"\n'
        '[sources.north.feeds.air_samples]\nfiles = ["north*"]\nfill = { location_id = "CARE" }\n'
    )
    file = tmp_path / "north.csv"
    file.write_text(
        "sample_id,started_at,minutes,formaldehyde_ppm,sample_kind\n"
        "AS-1,06/10/2026 9:00 AM,480,0.21,shift\n"
    )
    done = _check(file)
    assert done.exit_code == 0, done.output
    assert "started_at = 2026-06-10 14:00:00" in done.output
    assert "location_id" not in done.output.partition("Not exported")[2].splitlines()[0]


def test_check_finds_a_header_under_title_lines_that_shares_no_heading(tmp_path: Path) -> None:
    """What is proposed is enough to be read once its comments are filled in."""
    file = tmp_path / "stock.csv"
    file.write_text(
        "Room log\nPrinted today\nEntry;When;Amount;Initials\n"
        "M-1;01/06/2026;4;A\nM-2;02/06/2026;1;B\n"
    )
    done = _check(file, "--feed", "supply_movements")
    assert done.exit_code == 1
    assert "Line 3 has the most fields (4)" in done.output
    proposal = "\n".join(
        line.strip() for line in done.output.partition("before use):")[2].splitlines()
    ).replace("NAME", "care")
    part = parse_settings(proposal, "proposal").sources["care"].feeds["supply_movements"]
    assert (part.delimiter, part.lines_above_header) == ("semicolon", 2)
    assert '# "When" = a column?' in proposal
    assert "movement_id" in proposal.rpartition("near to:")[2]


def test_check_says_when_a_name_tells_no_export(tmp_path: Path) -> None:
    words = "does not say when it was exported"
    for name, is_told in (("air_samples.csv", True), ("air_samples-20261116.csv", False)):
        file = tmp_path / name
        file.write_text(
            "sample_id,location_id,started_at,minutes,formaldehyde_ppm,sample_kind\n" + RECORD
        )
        assert (words in _check(file).output) == is_told
