"""What locations export: encodings, dialects, archives, workbooks, headings of their own."""

import datetime as dt
import gzip
import io
import zipfile
from pathlib import Path

import openpyxl
import pytest

from pipelines.errors import DropError, LedgerstoneError
from pipelines.load import find_files, load_drop
from pipelines.load import unpack as unpack_module
from pipelines.sources.read import parse_settings

from .conftest import LOADED_AT, Bench

SAMPLES = (
    "sample_id,location_id,started_at,minutes,formaldehyde_ppm,sample_kind,worker_code\n"
    "AS-1,CARE,2026-06-10T09:00-05:00,480,0.21,shift,Zoë\n"
    "AS-2,CARE,2026-06-11T09:00-05:00,15,1.20,short_term,Ørn\n"
)
READ = [(2, "AS-1", "Zoë"), (3, "AS-2", "Ørn")]
QUERY = "select line, sample_id, worker_code from raw.air_samples order by line"
ACCOUNT = (
    "select total_lines, header_lines + blank_lines + record_lines + unreadable_lines "
    "from raw.files"
)


def _load(bench: Bench, settings: str = ""):
    return load_drop(
        bench.con, find_files(bench.drop, parse_settings(settings, "sources.toml")), LOADED_AT
    )


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"]
)
@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_each_encoding_delimiter_and_line_end_gives_the_same_records_and_lines(
    bench: Bench, encoding: str, delimiter: str, end: str
) -> None:
    text = SAMPLES.replace(",", delimiter).replace("\n", end)
    bench.write("air_samples-2026-11-16.csv", text.encode(encoding))
    assert _load(bench).records == 2
    assert bench.rows(QUERY) == READ
    total, parts = bench.rows(ACCOUNT)[0]
    assert total == parts == 3


def test_mixed_line_ends_and_a_missing_last_one_are_read(bench: Bench) -> None:
    text = SAMPLES.replace("\n", "\r\n", 1).removesuffix("\n")
    bench.write("air_samples-2026-11-16.csv", text)
    assert _load(bench).records == 2
    assert bench.rows(QUERY) == READ


def test_windows_1252_is_read_where_it_is_declared_and_refused_where_not(bench: Bench) -> None:
    bench.write("north_air-2026-11-16.csv", SAMPLES.encode("cp1252"))
    settings = '[sources.north]\nencoding = "windows-1252"\n'
    settings += '[sources.north.feeds.air_samples]\nfiles = ["north_air*"]\n'
    assert _load(bench, settings).records == 2
    assert bench.rows(QUERY) == READ
    bench.write("air_samples-2026-11-17.csv", SAMPLES.encode("cp1252") + b"\n")
    summary = _load(bench, settings)
    assert summary.records == 0
    assert [cause for (cause,) in bench.rows("select cause from raw.unreadable order by line")] == [
        "a byte that is not UTF-8 (0xEB)", "a byte that is not UTF-8 (0xD8)",
    ]  # fmt: skip


def test_a_byte_that_the_declared_encoding_does_not_have_makes_its_record_unreadable(
    bench: Bench,
) -> None:
    """Byte 81 has no character in Windows-1252 (Unicode's CP1252 mapping table)."""
    bench.write("north_air-2026-11-16.csv", SAMPLES.encode("cp1252").replace(b"\xd8", b"\x81"))
    settings = '[sources.north]\nencoding = "windows-1252"\n'
    settings += '[sources.north.feeds.air_samples]\nfiles = ["north_air*"]\n'
    assert _load(bench, settings).records == 1
    assert bench.rows("select line, cause from raw.unreadable") == [
        (3, "a byte that is not WINDOWS-1252")
    ]


def test_a_lone_surrogate_in_utf_16_makes_its_record_unreadable(bench: Bench) -> None:
    text = SAMPLES.encode("utf-16-le").replace("Ø".encode("utf-16-le"), b"\x00\xd8")
    bench.write("air_samples-2026-11-16.csv", b"\xff\xfe" + text)
    assert _load(bench).records == 1
    assert bench.rows("select line from raw.unreadable") == [(3,)]


def test_lines_above_the_header_are_skipped_where_settings_say_so(bench: Bench) -> None:
    bench.write("north_air.csv", "Air report, North\n\n" + SAMPLES)
    settings = (
        '[sources.north.feeds.air_samples]\nfiles = ["north_air*"]\nlines_above_header = 2\n'
    )
    assert _load(bench, settings).records == 2
    assert [line for line, *_ in bench.rows(QUERY)] == [4, 5]
    assert bench.rows(ACCOUNT) == [(5, 5)]


def test_a_title_line_that_nobody_declared_is_named_with_where_the_header_stands(
    bench: Bench,
) -> None:
    bench.write("air_samples.csv", "Air report, North\n\n" + SAMPLES)
    reason = _load(bench).set_aside["air_samples.csv"]
    assert "Line 3 looks like the header" in reason
    assert "lines_above_header = 2" in reason


def test_a_file_set_aside_is_read_when_settings_make_it_readable(bench: Bench) -> None:
    bench.write("air_samples.csv", SAMPLES.replace("sample_id", "Probe"))
    assert _load(bench).set_aside
    settings = '[sources.north.feeds.air_samples]\nfiles = ["air*"]\n'
    settings += 'headings = { "Probe" = "sample_id" }\n'
    assert _load(bench, settings).records == 2
    assert bench.rows("select count(*) from raw.files") == [(1,)]
    assert _load(bench, settings).skipped == ["air_samples.csv"]


def test_headings_of_a_source_are_mapped_by_name(bench: Bench) -> None:
    header, *records = SAMPLES.splitlines(keepends=True)
    theirs = "Probe No.,Site,Begun,Min,ppm,Type,Badge\n"
    bench.write("north_air-2026-11-16.csv", theirs + "".join(records))
    pairs = zip(theirs.strip().split(","), header.strip().split(","), strict=True)
    mapped = ", ".join(f'"{theirs}" = "{ours}"' for theirs, ours in pairs)
    settings = '[sources.north.feeds.air_samples]\nfiles = ["north_air*"]\n'
    assert _load(bench, settings + f"headings = {{ {mapped} }}\n").records == 2
    assert bench.rows(QUERY) == READ


def test_a_header_said_again_is_no_record_and_is_noted_with_its_line(bench: Bench) -> None:
    header = SAMPLES.splitlines(keepends=True)[0]
    bench.write("air_samples-2026-11-16.csv", SAMPLES + header + SAMPLES.splitlines()[1])
    assert _load(bench).records == 3
    assert bench.rows("select line, rule_code from raw.file_notes") == [(4, "repeated_header")]
    assert bench.rows(ACCOUNT) == [(5, 5)]


def test_a_quote_inside_an_unquoted_field_swallows_nothing(bench: Bench) -> None:
    """RFC 4180 does not allow it; exports write it all the same (5" urn)."""
    text = SAMPLES.replace("Zoë", 'size 5"') + "broken\n"
    bench.write("air_samples-2026-11-16.csv", text)
    assert _load(bench).records == 2
    assert bench.rows("select line, worker_code from raw.air_samples order by line") == [
        (2, 'size 5"'), (3, "Ørn"),
    ]  # fmt: skip


def test_a_heading_broken_over_two_lines_is_read(bench: Bench) -> None:
    text = SAMPLES.replace("worker_code", '"worker\ncode"', 1)
    bench.write("air_samples-2026-11-16.csv", text)
    assert _load(bench).records == 2
    assert [line for line, *_ in bench.rows(QUERY)] == [3, 4]
    assert bench.rows(ACCOUNT) == [(4, 4)]


def test_five_hundred_unknown_columns_are_kept_and_a_megabyte_field_is_read(bench: Bench) -> None:
    names = [f"x{i}" for i in range(500)]
    header, first, _ = SAMPLES.splitlines()
    bench.write(
        "air_samples-2026-11-16.csv",
        f"{header},{','.join(names)}\n{first},{','.join(names)}\n",
    )
    bench.write("air_samples-2026-11-17.csv", SAMPLES.replace("Zoë", "z" * 1_000_000))
    assert _load(bench).records == 3
    assert bench.rows("select count(*) from raw.file_columns where column_name is null") == [(500,)]
    assert bench.rows("select max(length(worker_code)) from raw.air_samples") == [(1_000_000,)]


# Archives


def test_gzip_and_zip_are_read_and_the_same_bytes_are_known_in_any_packing(bench: Bench) -> None:
    bench.write("air_samples-2026-11-16.csv.gz", gzip.compress(SAMPLES.encode()))
    assert _load(bench).records == 2
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("air_samples-2026-11-16.csv", SAMPLES)
        archive.writestr("air_samples-2026-11-17.csv", SAMPLES.replace("AS-", "AT-"))
    bench.write("week.zip", packed.getvalue())
    summary = _load(bench)
    assert summary.read == ["week.zip/air_samples-2026-11-17.csv"]
    assert len(summary.skipped) == 2


def test_an_archive_made_to_fill_the_disk_is_set_aside(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(unpack_module, "FREE_UNPACKED", 1 << 20)
    bench.write("air_samples.csv.gz", gzip.compress(SAMPLES.encode() + b"\n" * (1 << 22)))
    assert "unpacks to more than" in _load(bench).set_aside["air_samples.csv.gz"]


def test_a_torn_archive_is_set_aside_with_its_name(bench: Bench) -> None:
    bench.write("air_samples.csv.gz", gzip.compress(SAMPLES.encode() * 50)[:-20])
    assert "cannot be unpacked" in _load(bench).set_aside["air_samples.csv.gz"]


@pytest.mark.parametrize(
    ("field", "value", "says"),
    [(0, 1, "password required"), (2, 99, "compression method is not supported")],
)
def test_a_member_that_needs_a_password_or_is_packed_in_an_unknown_way_is_set_aside(
    bench: Bench, field: int, value: int, says: str
) -> None:
    """Bit 0 of the flags is encryption; method 99 is none that zipfile reads (PKWARE APPNOTE 4.4).

    Both words stand in the member's own header (at 6) and in the directory's (at 8).
    """
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("air_samples.csv", SAMPLES)
    damaged = bytearray(packed.getvalue())
    for at in (damaged.index(b"PK\x03\x04") + 6, damaged.index(b"PK\x01\x02") + 8):
        damaged[at + field] = value
    bench.write("week.zip", bytes(damaged))
    (reason,) = _load(bench).set_aside.values()
    assert "cannot be unpacked" in reason
    assert says in reason


def test_an_archive_with_paths_is_refused(bench: Bench) -> None:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("../air_samples.csv", SAMPLES)
    bench.write("week.zip", packed.getvalue())
    with pytest.raises(DropError, match="refused"):
        _load(bench)


# Workbooks


def _workbook(path: Path, rows: list[list[object]]) -> None:
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    book.save(path)


def test_a_workbook_gives_its_cells_as_text_with_the_row_as_line(bench: Bench) -> None:
    header = SAMPLES.splitlines()[0].split(",")
    begun = dt.datetime(2026, 6, 10, 9, 0)
    _workbook(
        bench.drop / "air_samples-2026-11-16.xlsx",
        [header, ["AS-1", "CARE", begun, 480, 0.1 + 0.2, "shift", True], [],
         ["AS-2", "CARE", begun, 15.0, 1.2, "short_term", None],
         ["AS-3", "CARE", begun, "=60*8", 1.2, "shift", None]],
    )  # fmt: skip
    assert _load(bench).records == 2
    assert bench.rows(
        "select line, sample_id, started_at, minutes, formaldehyde_ppm, worker_code "
        "from raw.air_samples order by line"
    ) == [
        (2, "AS-1", "2026-06-10T09:00:00", "480", "0.3", "Y"),
        (4, "AS-2", "2026-06-10T09:00:00", "15", "1.2", None),
    ]
    assert bench.rows("select line, cause from raw.unreadable") == [
        (5, "a formula without a stored result (=60*8)")
    ]
    assert bench.rows(ACCOUNT) == [(5, 5)]


def test_a_day_in_a_workbook_is_a_date(bench: Bench) -> None:
    names = ["supplier_code", "bill_number", "line_number", "bill_date", "location_id",
             "item_code", "quantity", "unit_cost", "line_total"]  # fmt: skip
    _workbook(
        bench.drop / "supplier_bill_lines.xlsx",
        [names, ["S", "B-1", 1, dt.date(2026, 6, 1), "CARE", "X", 1, 2.5, 2.5]],
    )
    assert _load(bench).records == 1
    assert bench.rows("select bill_date from raw.supplier_bill_lines") == [("2026-06-01",)]


def test_a_file_that_only_calls_itself_a_workbook_is_set_aside(bench: Bench) -> None:
    bench.write("air_samples.xlsx", SAMPLES)
    assert "cannot be opened" in _load(bench).set_aside["air_samples.xlsx"]


# Settings


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[sources.north]\ndelimeter = 'tab'", "Did you mean delimiter?"),
        ("[sources.north]\nzone = 'America/Nowhere'", "IANA zone database"),
        ("[sources.north]\nencoding = 'ansi'", "'utf-8', 'utf-16' or 'windows-1252'"),
        ("[sources.north.feeds.casses]\nfiles = ['c*']", "is no feed"),
        ("[sources.north.feeds.cases]\nfiles = ['c*']\nheadings = { 'No' = 'case_no' }", "case_no"),
        ("[sources.north.feeds.cases]\nfiles = ['c*']\ncodes.sex = { 'W' = 'Z' }",
         "feeds.cases.codes.sex.\"W\" = 'Z' is no value of sex. It can be: M, F, U"),
        ("[sources.north.feeds.cases]\nfiles = ['c*']\ncodes.is_autopsied = { 'J' = 'yes' }",
         'feeds.cases.codes.is_autopsied."J"'),
        ("[sources.north.feeds.cases]\nfiles = ['c*']\nfill = { case_status = 'opened' }",
         "feeds.cases.fill.case_status = 'opened' is no value of case_status. Did you mean open?"),
        ("[sources.north]\nexported = 'yymmdd'", "%Y"),
        ("[sources.north.feeds.cases]\nzone = 'UTC'", "files: Field required"),
        ("[sources.North]\n", "small letters"),
        ("[sources.north\n", "is not TOML"),
    ],
)
def test_a_wrong_setting_is_named_with_its_place(text: str, says: str) -> None:
    with pytest.raises(LedgerstoneError) as caught:
        parse_settings(text, "sources.toml")
    assert says in str(caught.value)
    assert "sources.toml" in str(caught.value)


def test_a_source_dates_its_files_as_it_declares(bench: Bench) -> None:
    bench.write("north_air_20261109_1830.csv", SAMPLES)
    settings = '[sources.north]\nexported = "%Y%m%d_%H%M"\n'
    settings += '[sources.north.feeds.air_samples]\nfiles = ["north_air*"]\n'
    _load(bench, settings)
    assert bench.rows("select source, exported_at from raw.files") == [
        ("north", dt.datetime(2026, 11, 9, 18, 30))
    ]


def test_utf_8_that_is_declared_as_windows_1252_is_set_aside_before_it_damages_names(
    bench: Bench,
) -> None:
    bench.write("north_air-2026-11-16.csv", SAMPLES)
    settings = '[sources.north]\nencoding = "windows-1252"\n'
    settings += '[sources.north.feeds.air_samples]\nfiles = ["north_air*"]\n'
    summary = _load(bench, settings)
    assert "is UTF-8" in summary.set_aside["north_air-2026-11-16.csv"]
    plain = SAMPLES.replace("Zoë", "Zoe").replace("Ørn", "Orn")
    bench.write("north_air-2026-11-17.csv", plain)
    assert _load(bench, settings).records == 2


def test_a_workbook_whose_sheet_claims_a_wrong_size_loses_no_cell(bench: Bench) -> None:
    header = SAMPLES.splitlines()[0].split(",")
    whole = bench.drop / "whole.xlsx"
    _workbook(whole, [header, ["AS-1", "CARE", "2026-06-10T09:00Z", 480, 0.2, "shift", "Z"]])
    with zipfile.ZipFile(whole) as book, zipfile.ZipFile(
        bench.drop / "air_samples-2026-11-16.xlsx", "w"
    ) as wrong:
        for name in book.namelist():
            wrong.writestr(name, book.read(name).replace(b'ref="A1:G2"', b'ref="A1:A1"'))
    whole.unlink()
    assert _load(bench).records == 1
    assert bench.rows(QUERY) == [(2, "AS-1", "Z")]


def test_a_workbook_damaged_in_a_later_row_is_set_aside_whole(bench: Bench) -> None:
    header = SAMPLES.splitlines()[0].split(",")
    whole = bench.drop / "whole.xlsx"
    _workbook(whole, [header, *[["AS-1", "CARE", "x", 480, 0.2, "shift", "Z"]] * 50])
    with zipfile.ZipFile(whole) as book, zipfile.ZipFile(
        bench.drop / "air_samples-2026-11-16.xlsx", "w"
    ) as torn:
        for name in book.namelist():
            part = book.read(name)
            torn.writestr(name, part[: len(part) * 3 // 4] if "sheet1" in name else part)
    whole.unlink()
    assert "cannot be opened" in _load(bench).set_aside["air_samples-2026-11-16.xlsx"]
    assert bench.rows("select count(*) from raw.air_samples") == [(0,)]


def test_the_same_bytes_that_settings_now_give_to_a_source_become_its_own(bench: Bench) -> None:
    bench.write("air_samples-2026-11-16.csv", SAMPLES)
    _load(bench)
    settings = '[sources.north.feeds.air_samples]\nfiles = ["air*"]\n'
    assert _load(bench, settings).records == 2
    assert bench.rows("select source from raw.files") == [("north",)]
    assert bench.rows("select count(*) from raw.air_samples") == [(2,)]
