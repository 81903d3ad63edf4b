"""Values as a source writes them: date order, decimals, codes, blank words, units, own numbers."""

import pytest

from pipelines.errors import LedgerstoneError
from pipelines.feeds import FEEDS
from pipelines.load import find_files, load_drop
from pipelines.load.versions import rank_versions
from pipelines.sources.read import parse_settings
from validation.parse import parse_feed
from validation.parse.units import UNIT_FACTORS

from .conftest import LOADED_AT, Bench

LOCATIONS = (
    "location_id,location_name,location_kind,time_zone,jurisdiction\n"
    "CARE,Care,care_centre,America/Chicago,US-TX\n"
)


def _parse(bench: Bench, settings: str, *feeds: str) -> None:
    declared = parse_settings(settings, "sources.toml")
    load_drop(bench.con, find_files(bench.drop, declared), LOADED_AT)
    for name in feeds:
        rank_versions(bench.con, FEEDS[name], declared)
        parse_feed(bench.con, FEEDS[name], declared)


def _cases(bench: Bench, *records: dict[str, str]) -> None:
    bench.feed_file("cases", *records, name="north_cases-2026-11-16.csv")


NORTH = '[sources.north]\n{whole}\n[sources.north.feeds.cases]\nfiles = ["north_*"]\n{part}\n'


@pytest.mark.parametrize(
    ("order", "written", "read"),
    [
        ("month/day/year", "03/05/2026", "2026-03-05"),
        ("day/month/year", "03/05/2026", "2026-05-03"),
        ("day/month/year", "25.12.2026", "2026-12-25"),
        ("month/day/year", "2026-03-05", "2026-03-05"),
        ("month/day/year", "25/12/2026", None),
        ("day/month/year", "31/02/2026", None),
        ("month/day/year", "03/05/26", None),
        ("year-month-day", "03/05/2026", None),
    ],
)
def test_a_day_is_read_in_the_declared_order_alone(
    bench: Bench, order: str, written: str, read: str | None
) -> None:
    _cases(bench, {"date_of_death": written})
    _parse(bench, NORTH.format(whole=f'dates = "{order}"', part=""), "cases")
    assert bench.rows("select date_of_death from accepted.cases") == [(read,)]
    rejected = bench.rows("select value from quality.rejects where column_name = 'date_of_death'")
    assert rejected == ([] if read else [(written,)])


@pytest.mark.parametrize(
    ("written", "utc"),
    [
        ("06/01/2026 9:30 AM", "2026-06-01 14:30:00"),
        ("6/1/2026 12:05 am", "2026-06-01 05:05:00"),
        ("6/1/2026 12:05:30 PM", "2026-06-01 17:05:30"),
        ("6/1/2026 9:30", "2026-06-01 14:30:00"),
        ("6/1/2026 21:30", "2026-06-02 02:30:00"),
        ("6/1/2026 13:30 PM", None),
    ],
)
def test_a_clock_of_twelve_hours_is_read(bench: Bench, written: str, utc: str | None) -> None:
    bench.write("locations-2026-11-16.csv", LOCATIONS)
    _cases(bench, {"location_id": "CARE", "first_call_at": written})
    whole = 'dates = "month/day/year"'
    _parse(bench, NORTH.format(whole=whole, part=""), "locations", "cases")
    assert bench.rows("select cast(first_call_at as varchar) from accepted.cases") == [(utc,)]


def test_a_source_may_write_its_clocks_in_one_zone(bench: Bench) -> None:
    bench.write("locations-2026-11-16.csv", LOCATIONS)
    _cases(bench, {"location_id": "CARE", "first_call_at": "2026-06-01T09:30"})
    whole = 'zone = "America/Denver"'
    _parse(bench, NORTH.format(whole=whole, part=""), "locations", "cases")
    assert bench.rows(
        "select cast(first_call_at as varchar), cast(first_call_at_local as varchar) "
        "from accepted.cases"
    ) == [("2026-06-01 15:30:00", "2026-06-01 10:30:00")]  # the wall clock of the place


def test_a_comma_decimal_is_read_where_declared_and_refused_where_not(bench: Bench) -> None:
    for name in ("north_lines-2026-11-16.csv", "statement_lines-2026-11-16.csv"):
        key = name[:5]
        with_comma = {"document_number": key, "unit_price": "1.234,50"}
        with_point = {"document_number": key + "2", "unit_price": "1234.50"}
        bench.feed_file("statement_lines", with_comma, with_point, name=name)
    settings = '[sources.north]\ndecimal = "comma"\n[sources.north.feeds.statement_lines]\n'
    settings += 'files = ["north_*"]\n'
    _parse(bench, settings, "statement_lines")
    assert dict(bench.rows(
        "select document_number, cast(unit_price as varchar) from accepted.statement_lines"
    )) == {"north": "1234.5000", "north2": None, "state": None, "state2": "1234.5000"}  # fmt: skip


def test_codes_blank_words_and_fixed_values_of_a_source(bench: Bench) -> None:
    _cases(
        bench,
        {"case_number": "1", "case_status": "Active", "family_name": "NA", "given_name": "NA"},
        {"case_number": "2", "case_status": "closed", "family_name": "n/a", "given_name": "n/a"},
    )
    part = (
        'codes.case_status = { "Active" = "open" }\nblank_words.family_name = ["n/a"]\n'
        'fill.medical_clearance_at = "2026-06-01"\n'
    )
    whole = 'blank_words = ["NA", "n/a"]'
    _parse(bench, NORTH.format(whole=whole, part=part), "cases")
    assert bench.rows(
        "select case_number, case_status, family_name, given_name from accepted.cases "
        "order by case_number"
    ) == [("1", "open", "NA", None), ("2", "closed", None, None)]


def test_a_column_that_every_file_lacks_may_be_filled(bench: Bench) -> None:
    bench.write(
        "north_air-2026-11-16.csv",
        "sample_id,started_at,minutes,formaldehyde_ppm,sample_kind\n"
        "AS-1,2026-06-10T09:00-05:00,480,0.21,shift\n",
    )
    settings = (
        '[sources.north.feeds.air_samples]\nfiles = ["north_*"]\nfill = { location_id = "CARE" }\n'
    )
    _parse(bench, settings, "air_samples")
    assert bench.rows("select sample_id, location_id from accepted.air_samples") == [
        ("AS-1", "CARE")
    ]
    assert bench.rows("select count(*) from quality.rejects") == [(0,)]


def test_pounds_become_kilograms_by_the_declared_factor(bench: Bench) -> None:
    """1 lb = 0.45359237 kg exactly (NIST Handbook 44, appendix C): 150 lb are 68.0389 kg."""
    bench.write("unit_factors.csv", UNIT_FACTORS.read_bytes())
    _cases(bench, {"body_weight_kg": "150"})
    settings = NORTH.format(whole="", part='units = { body_weight_kg = "lb" }')
    _parse(bench, settings, "unit_factors", "cases")
    assert bench.rows("select cast(body_weight_kg as varchar) from accepted.cases") == [
        ("68.0389",)
    ]
    with pytest.raises(LedgerstoneError, match="stone"):
        _parse(bench, settings.replace('"lb"', '"stone"'), "cases")


def test_two_sources_that_number_from_one_are_kept_apart(bench: Bench) -> None:
    for source in ("north", "south"):
        bench.feed_file("cases", {"case_number": "1", "family_name": source},
                        name=f"{source}_cases-2026-11-16.csv")  # fmt: skip
    settings = "".join(
        f'[sources.{source}]\nown_numbers = ["case_number"]\n'
        f'[sources.{source}.feeds.cases]\nfiles = ["{source}_*"]\n'
        for source in ("north", "south")
    )
    _parse(bench, settings, "cases")
    assert bench.rows("select case_number, family_name from accepted.cases order by all") == [
        ("north/1", "north"), ("south/1", "south"),
    ]  # fmt: skip
    assert bench.rows("select count(*) from quality.outdated") == [(0,)]
    assert bench.rows("select count(*) from quality.rejects") == [(0,)]


def test_one_source_that_says_one_number_twice_is_still_held_to_it(bench: Bench) -> None:
    for day, family in (("16", "Old"), ("17", "New")):
        bench.feed_file("cases", {"case_number": "1", "family_name": family},
                        name=f"north_cases-2026-11-{day}.csv")  # fmt: skip
    settings = NORTH.format(whole='own_numbers = ["case_number"]', part="")
    _parse(bench, settings, "cases")
    assert bench.rows("select case_number, family_name from accepted.cases") == [("north/1", "New")]
    assert bench.rows("select fate from quality.outdated") == [("replaced",)]


@pytest.mark.parametrize(
    ("written", "says"),
    [
        ("03/05/2026", "Could be month/day/year or day/month/year"),
        ("25/12/2026", "Fits only day/month/year"),
        ("12/25/2026", "Fits only month/day/year"),
        ("32/13/2026", "Expected"),
    ],
)
def test_an_order_that_is_unclear_is_told_from_one_that_is_only_not_declared(
    bench: Bench, written: str, says: str
) -> None:
    _cases(bench, {"date_of_death": written})
    _parse(bench, NORTH.format(whole="", part=""), "cases")
    ((detail,),) = bench.rows("select detail from quality.rejects")
    assert detail.startswith(says)


def test_a_key_that_the_settings_fill_or_translate_still_counts_once(bench: Bench) -> None:
    """A key column may stand in the settings: versions are told apart by what the key becomes."""
    for day, price in (("15", "100.00"), ("16", "120.00")):
        columns = [c for c in FEEDS["price_lists"].columns if c.name != "location_id"]
        row = {c.name: c.example for c in columns} | {"list_kind": "GPL", "price": price}
        bench.write(
            f"north_prices-2026-11-{day}.csv",
            ",".join(row) + "\n" + ",".join(f'"{v}"' for v in row.values()) + "\n",
        )
    settings = '[sources.north.feeds.price_lists]\nfiles = ["north*"]\n'
    settings += 'fill = { location_id = "CARE" }\ncodes.list_kind = { "GPL" = "general" }\n'
    _parse(bench, settings, "price_lists")
    assert bench.rows(
        "select location_id, list_kind, cast(price as varchar) from accepted.price_lists"
    ) == [("CARE", "general", "120.0000")]
    assert bench.rows("select fate from quality.outdated") == [("replaced",)]
    assert bench.rows(
        "select split_part(record_key, '|', 1), column_name, was, becomes from quality.changes"
    ) == [("CARE", "price", "100.00", "120.00")]


def test_a_missing_hour_is_named_in_the_order_and_zone_of_the_source(bench: Bench) -> None:
    """02:30 on 8 March 2026 does not exist in America/Denver (zone database: clocks go on at 2)."""
    _cases(bench, {"first_call_at": "03/08/2026 2:30 AM"}, {"first_call_at": "13/08/2026 2:30 AM"})
    whole = 'dates = "month/day/year"\nzone = "America/Denver"'
    _parse(bench, NORTH.format(whole=whole, part=""), "cases")
    assert bench.rows(
        "select line, rule_code from quality.rejects where column_name = 'first_call_at' order by 1"
    ) == [(2, "missing_local_hour"), (3, "not_an_instant")]


def test_a_number_too_large_for_its_unit_is_refused_not_a_crash(bench: Bench) -> None:
    bench.write("unit_factors.csv", UNIT_FACTORS.read_bytes())
    names = "item_code,description,item_kind,unit,content_ml\n"
    bench.write("north_items-2026-11-16.csv", names + "A,Fluid,arterial_fluid,each,99999999999999")
    settings = '[sources.north.feeds.supply_items]\nfiles = ["north*"]\n'
    settings += 'units = { content_ml = "gal" }\n'
    _parse(bench, settings, "unit_factors", "supply_items")
    assert bench.rows("select content_ml from accepted.supply_items") == [(None,)]
    assert bench.rows("select column_name, value from quality.rejects") == [
        ("content_ml", "99999999999999")
    ]
