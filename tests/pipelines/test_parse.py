"""Text into types: what is read, what is refused, and by which rule."""

from datetime import date, datetime
from decimal import Decimal

import pytest

from tests.pipelines.conftest import Bench

# Clock changes in Chicago: back on 2026-11-01, forward on 2026-03-08 (IANA zone database).
INSTANTS = [
    ("2026-06-01T09:30-05:00", datetime(2026, 6, 1, 14, 30), datetime(2026, 6, 1, 9, 30)),
    ("2026-06-01 14:30:15Z", datetime(2026, 6, 1, 14, 30, 15), datetime(2026, 6, 1, 9, 30, 15)),
    ("2026-06-01T08:30-06:00", datetime(2026, 6, 1, 14, 30), datetime(2026, 6, 1, 9, 30)),
    ("2026-06-01T09:30", datetime(2026, 6, 1, 14, 30), datetime(2026, 6, 1, 9, 30)),
    ("2026-12-01T09:30", datetime(2026, 12, 1, 15, 30), datetime(2026, 12, 1, 9, 30)),
    ("2026-11-01T01:30", datetime(2026, 11, 1, 6, 30), datetime(2026, 11, 1, 1, 30)),
    ("2026-11-01T01:30-06:00", datetime(2026, 11, 1, 7, 30), datetime(2026, 11, 1, 1, 30)),
    ("2026-03-08T03:00", datetime(2026, 3, 8, 8, 0), datetime(2026, 3, 8, 3, 0)),
]


@pytest.mark.parametrize(("text", "utc", "local"), INSTANTS)
def test_instants_are_kept_as_utc_with_the_wall_time_of_the_place(
    parsed_value, text: str, utc: datetime, local: datetime
) -> None:
    assert parsed_value("cases", "first_call_at", text) == (utc, local, None)


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ("2026-03-08T02:30", "missing_local_hour"),
        ("2026-06-01T24:00-05:00", "not_an_instant"),
        ("2026-06-01", "not_an_instant"),
        ("06/01/26 09:30", "two_digit_year"),
        ("46174.5", "spreadsheet_day_number"),
        ("2026-02-30T10:00Z", "not_an_instant"),
        ("infinity", "not_an_instant"),
        ("now", "not_an_instant"),
    ],
)
def test_text_that_is_no_instant_is_refused_by_name(parsed_value, text: str, rule: str) -> None:
    assert parsed_value("cases", "first_call_at", text) == (None, None, rule)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("2026-06-03T11:00-05:00", (datetime(2026, 6, 3, 16, 0), date(2026, 6, 3), None)),
        ("2026-06-03", (None, date(2026, 6, 3), None)),
        ("2026-06-31", (None, None, "not_an_instant")),
        ("2026-06-03T23:30-05:00", (datetime(2026, 6, 4, 4, 30), date(2026, 6, 3), None)),
    ],
)
def test_paper_may_be_a_date_alone_and_is_never_made_midnight(parsed_value, text, expected) -> None:
    assert parsed_value("cases", "permit_issued_at", text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("1941-02-11", ("1941-02-11", date(1941, 2, 11), date(1941, 2, 11), None)),
        ("1941-02-99", ("1941-02-99", date(1941, 2, 1), date(1941, 2, 28), None)),
        ("1940-02-99", ("1940-02-99", date(1940, 2, 1), date(1940, 2, 29), None)),
        ("1941-99-99", ("1941-99-99", date(1941, 1, 1), date(1941, 12, 31), None)),
        ("9999-99-99", ("9999-99-99", None, None, None)),
        ("1941-02-30", (None, None, None, "not_a_date")),
        ("02/11/41", (None, None, None, "two_digit_year")),
        ("15018", (None, None, None, "not_a_date")),
        ("46023", (None, None, None, "spreadsheet_day_number")),
    ],
)
def test_partial_dates_keep_what_is_known(parsed_value, text: str, expected) -> None:
    """Nines mean unknown: HL7 vital-records usage notes."""
    assert parsed_value("cases", "date_of_birth", text) == expected


def test_spreadsheet_day_number_says_which_day_it_would_be(parsed_value, bench) -> None:
    """Day 46023 is 2026-01-01: 1899-12-30 + 46023 days."""
    parsed_value("cases", "date_of_birth", "46023")
    assert "2026-01-01" in str(bench.rows("select detail from quality.rejects")[0][0])


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("825.00", (Decimal("825.00"), None)),
        ("-3", (Decimal("-3.00"), None)),
        ("$1,234.50", (Decimal("1234.50"), None)),
        ("(123.45)", (Decimal("-123.45"), None)),
        ("50.00-", (Decimal("-50.00"), None)),
        ("1\u00a0234.50", (Decimal("1234.50"), None)),
        ("1.234,50", (None, "not_money")),
        ("10.505", (None, "too_many_decimals")),
        ("1E5", (None, "not_money")),
        ("NaN", (None, "not_money")),
        ("12,34.00", (None, "not_money")),
        ("(-5.00)", (None, "not_money")),
        ("$-5", (Decimal("-5.00"), None)),
        ("-$5", (Decimal("-5.00"), None)),
        ("- 5", (Decimal("-5.00"), None)),
        ("- $ 5", (Decimal("-5.00"), None)),
        ("( $5.00)", (Decimal("-5.00"), None)),
        ("$1,234.50-", (Decimal("-1234.50"), None)),
        ("1 234 567", (Decimal("1234567.00"), None)),
        ("1,234,567.8", (Decimal("1234567.80"), None)),
        # A second sign takes back the first, or somebody's finger slipped: nobody can tell.
        ("--5", (None, "not_money")),
        ("- -5", (None, "not_money")),
        ("-$-5", (None, "not_money")),
        ("- $-5", (None, "not_money")),
        ("-5-", (None, "not_money")),
        ("$-5-", (None, "not_money")),
        ("(5)-", (None, "not_money")),
        ("-(5)", (None, "not_money")),
        ("+-5", (None, "not_money")),
        ("$$5", (None, "not_money")),
        ("1,234 567", (None, "not_money")),
        ("1 234,567", (None, "not_money")),
        ("1\u00a0234 567", (None, "not_money")),
        ("1,234\u00a0567.00", (None, "not_money")),
        ("1,234567", (None, "not_money")),
    ],
)
def test_money_is_read_exactly_or_refused(parsed_value, text: str, expected) -> None:
    assert parsed_value("statement_lines", "line_total", text) == expected


@pytest.mark.parametrize(
    ("feed", "column", "text", "expected"),
    [
        ("custody_events", "identifiers_matched", "3", (3, None)),
        ("custody_events", "identifiers_matched", "3.0", (None, "not_a_number")),
        ("supply_movements", "quantity", "16.5", (Decimal("16.5"), None)),
        ("supply_movements", "quantity", "inf", (None, "not_a_number")),
        ("supply_movements", "quantity", "--5", (None, "not_a_number")),
        ("supply_movements", "unit_cost", "--5", (None, "not_money")),
        ("custody_events", "identifiers_matched", "--3", (None, "not_a_number")),
        ("cases", "time_of_death", "04:10", ("04:10", None)),
        ("cases", "time_of_death", "99:99", ("99:99", None)),
        ("cases", "time_of_death", "24:00", (None, "not_an_instant")),
        ("cases", "is_autopsied", "Y", (True, None)),
        ("cases", "is_autopsied", "yes", (None, "not_in_list")),
        ("cases", "family_name", "Zoe\u0301", ("Zo\u00e9", None)),
        ("cases", "family_name", "NA", ("NA", None)),
        ("cases", "family_name", "a\u202eb", (None, "control_character")),
        ("cases", "family_name", "a\u200bb", (None, "control_character")),
        ("cases", "family_name", "caf\ufffd", (None, "control_character")),
        ("cases", "band_number", "007", ("007", None)),
        ("cases", "band_number", "one\ntwo", (None, "line_break_in_field")),
        ("cases", "band_number", "B" * 65, (None, "not_an_identifier")),
        ("custody_events", "remarks", "one\ntwo", ("one\ntwo", None)),
        ("price_lists", "disclosure_keys", "a ; b", ("a;b", None)),
        ("locations", "time_zone", "Mars/Olympus", (None, "not_in_list")),
        ("locations", "time_zone", "BST", (None, "not_in_list")),
        ("locations", "time_zone", "Etc/GMT+5", ("Etc/GMT+5", None)),
    ],
)
def test_other_forms(parsed_value, feed: str, column: str, text: str, expected) -> None:
    assert parsed_value(feed, column, text) == expected


def test_reject_names_file_line_key_and_value(bench) -> None:
    bench.feed_file("locations", {})
    bench.feed_file("cases", {}, {"case_number": "AL-2", "body_weight_kg": "heavy"})
    bench.parse()
    assert bench.rows("select feed, rule_code, line, record_key, case_number, column_name, value "
                      "from quality.rejects") == [
        ("cases", "not_a_number", 3, "AL-2", "AL-2", "body_weight_kg", "heavy")
    ]  # fmt: skip


def test_a_carriage_return_inside_a_field_is_never_stored(bench) -> None:
    bench.write("supply_items-2026-11-16.csv",
                "item_code,description,item_kind,unit\nA\rB,Urn,urn,each\n")  # fmt: skip
    bench.parse()
    assert bench.rows("select item_code from accepted.supply_items") == [(None,)]
    assert bench.rows("select line, rule_code, column_name from quality.rejects") == [
        (2, "line_break_in_field", "item_code")
    ]


@pytest.mark.parametrize("mark", ["\v", "\f", "\x85", "\u2028", "\u2029"])
@pytest.mark.parametrize(
    ("feed", "column"), [("cases", "family_name"), ("custody_events", "remarks")]
)
def test_every_separator_of_lines_that_no_file_needs_is_refused(
    parsed_value, feed: str, column: str, mark: str
) -> None:
    """What ends a line by Unicode (UAX 14, class BK and NL), beside the line ends of files."""
    assert parsed_value(feed, column, f"one{mark}two") == (None, "control_character")


@pytest.mark.parametrize("shelf", ["2E-04", "12-DEC", "3-mar", "JAN-26", "12E+3", "#4417"])
def test_names_of_shelves_and_lots_that_no_spreadsheet_writes_are_kept(
    parsed_value, shelf: str
) -> None:
    assert parsed_value("cases", "permit_number", shelf) == (shelf, None)


@pytest.mark.parametrize("damaged", ["1.00E+05", "1E+05", "2-Jan", "02-Jan-26", "Jan-26", '="007"'])
def test_what_a_spreadsheet_makes_of_an_identifier_is_refused(parsed_value, damaged: str) -> None:
    assert parsed_value("cases", "permit_number", damaged) == (None, "spreadsheet_identifier")


@pytest.mark.parametrize(
    "text",
    ["JOÃO", "IRMÃ", "São Tomé", "GONÇALVES", "Müller-Ängström", "ÅSE", "ÄÖÜ", "Ñuñez", "MUÑOZ",
     "Nguyễn Thị Ánh", "TRẦN ĐỨC", "Đặng Âu", "ÂU CƠ", "BENOÎT", "Noël Île", "Ðóra Þórðardóttir",
     "Łukasz Żółć", "Ångström’s", "Ñ’s", "O’Neill", "Zoë"],
)  # fmt: skip
def test_names_of_many_languages_are_not_double_encoded(parsed_value, text: str) -> None:
    assert parsed_value("cases", "family_name", text) == (text, None)


def test_a_description_in_lines_with_many_commas_is_no_swallowed_record(bench: Bench) -> None:
    bench.write(
        "supply_items-2026-11-16.csv",
        "item_code,description,item_kind,unit,list_cost\n"
        'A,"Casket, oak:\nlining, pillow, cover, handles, plate",casket,each,900\n'
        'B,"Urn,urn,each,80\nC,Shroud,other,each,20\nD,Vase",other,each,5\n',
    )
    bench.parse()
    assert bench.rows("select record_key, rule_code from quality.rejects") == [
        ("B", "swallowed_record")
    ]


def test_an_item_called_total_is_an_item_and_a_line_of_totals_is_none(bench: Bench) -> None:
    bench.write(
        "supply_items-2026-11-16.csv",
        "item_code,description,item_kind,unit,list_cost\n"
        "TOTAL,Total care set,other,each,9\nSUM,Sum,other,each,9\nTotal:,,,,18\n,Total,,,18\n",
    )
    bench.parse()
    assert bench.rows("select line, rule_code from quality.rejects order by line") == [
        (4, "totals_row"), (5, "totals_row"),
    ]  # fmt: skip
