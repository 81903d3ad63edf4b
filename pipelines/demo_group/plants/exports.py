"""Plants of what exports do to records: spreadsheets, encodings, totals, clocks, known errors."""

from pipelines.demo_group.plants.changes import set_case, set_in, text, usage
from pipelines.demo_group.plants.plant import Effect, Plant, found, silent
from pipelines.feeds import FEEDS

_ADVANCE = "p.is_done and p.has_notice"
_NOTICE = "bill_number = 'CA-{case}' and item_code = 'ADV-OBIT'"
_NOTICE_KEY = "HERALD|CA-{case}|22"
_CASES = "cases-2026-11-16.csv"


def _notice(rule_code: str, note: str, is_fault: bool, **values: str) -> Plant:
    """A change to the bill of a notice in the newspaper, on which nothing else rests."""
    plant = found if is_fault else silent
    return plant(
        rule_code, note, where=_ADVANCE, record_key=_NOTICE_KEY,
        changes=(set_in("supplier_bill_lines", _NOTICE, **values),),
    )  # fmt: skip


def _usage(rule_code: str, note: str, key: str, is_fault: bool, **values: str) -> Plant:
    plant = found if is_fault else silent
    return plant(
        rule_code, note, case_number="", record_key=key,
        changes=(set_in("supply_movements", f"movement_id = '{key}'", **values),),
    )  # fmt: skip


def _correction(
    rule_code: str, note: str, is_fault: bool, column: str, was: str, becomes: str,
    last_day: str = "2026-12-31", **change: str,
) -> Plant:  # fmt: skip
    """A correction of the case; ``change`` is what the case's record really says."""
    plant = found if is_fault else silent
    columns = "file_name, record_key, column_name, was, becomes, reason, decided_by, expires_on"
    wanted = (
        f"insert into corrections ({columns}) select '{_CASES}', '{{case}}', '{column}', {was}, "
        f"{becomes}, {text(note)}, 'compliance officer', '{last_day}' from cases "
        "where case_number = '{case}'"
    )
    return plant(
        rule_code, note, where="p.is_done", case_number="",
        record_key=f"{_CASES}|{{case}}|{column}",
        changes=(*((set_case(**change),) if change else ()), wanted),
    )  # fmt: skip


PLANTS: tuple[Plant, ...] = (
    _notice("double_encoded_text", "An umlaut that was encoded twice", True,
            delivery_document=text("DN-K\u00c3\u00bc-1")),
    silent("double_encoded_text", "An umlaut in a permit number that was encoded once", where="p.is_done",
           changes=(set_case(permit_number=text("P-K\u00fc-1")),)),
    _notice("spreadsheet_identifier", "A delivery note that became a power of ten", True,
            delivery_document="'1.00E+05'"),
    _notice("dated_after_export", "A bill of next year by its date", True,
            bill_date="'2027-10-05'"),
    _notice("dated_after_export", "A bill of the day of the export", False,
            bill_date="'2026-11-16'"),
    silent("spreadsheet_identifier", "A permit number that only looks like a day", where="p.is_done",
           changes=(set_case(permit_number="'2-JA'"),)),
    _notice("spreadsheet_error", "A delivery note that a look-up did not find", True,
            delivery_document="'#N/A'"),
    silent("spreadsheet_error", "A permit number with a number sign", where="p.is_done",
           changes=(set_case(permit_number="'#4417'"),)),
    _notice("text_too_long", "A description of 20,001 characters", True,
            description="repeat('x', 20001)"),
    _notice("text_too_long", "A description of 900 characters", False,
            description="repeat('In loving memory. ', 50)"),
    _notice("swallowed_record", "Two bill lines inside a description", True,
            description="'Notice' || chr(10) || 'HERALD,CA-X,23,2026-10-01,ALDER,ADV-OBIT,Notice,1,"
            "95.00,95.00,,' || chr(10) || 'HERALD,CA-Y,24,2026-10-01,ALDER,ADV-OBIT,Notice'"),
    _notice("swallowed_record", "A list with commas inside a description", False,
            description="'Notice:' || chr(10) || 'name, dates, verse, service, place, thanks'"),
    found("totals_row", "The sum of all bills under them", case_number="", record_key="||",
          only_small=True,
          raw=("supplier_bill_lines", b",,,,,,Total,,,412905.10,,\n")),
    _notice("totals_row", "A notice of the total programme", False,
            description="'Total programme'"),
    found("repeated_header", "The header again under the last item", case_number="",
          only_small=True,
          raw=("supply_items", ",".join(FEEDS["supply_items"].column_names).encode() + b"\n")),
    silent("repeated_header", "An item whose description is the word of the heading",
           case_number="", record_key="PPE-01",
           changes=(set_in("supply_items", "item_code = 'PPE-01'", description="'description'"),)),
    found("export_not_heard", "A line of a total under the corrections, which hold all in force",
          case_number="", changes=("insert into corrections (reason) values ('Total')",)),
    silent("export_not_heard", "The care centre's whole air log, every line with its key",
           case_number="", record_key="AS-CARE-2S-1"),
    found("limit_laxer", "A house rule that keeps people longer than the law of the place",
          case_number="", record_key="US-MN|preservation"),
    silent("limit_laxer", "A house rule that asks for the permit sooner than the law",
           case_number="", record_key="US-NY|permit_within"),
    found("undeclared_column", "The shift in the care centre's own stock log", case_number="",
          only_small=True),
    silent("undeclared_column", "The weather in its air log, which nobody fills in",
           case_number="", record_key="AS-CARE-3S-1"),
    found("key_differs_by_case", "An item listed again in small letters", case_number="",
          record_key="PPE-01",
          changes=("insert into supply_items by name select * replace ('ppe-01' as item_code) "
                   "from supply_items where item_code = 'PPE-01'",),
          also=(Effect("key_differs_by_case", "", "ppe-01"),)),
    silent("key_differs_by_case", "An item whose code differs by a digit from its neighbour",
           case_number="", record_key="DIS-01"),
    _usage("ambiguous_local_time", "01:30 of the night when the clocks went back, without an offset",
           usage("BIRCH", "PPE-01", 115), True, occurred_at="'2026-11-01T01:30'"),
    _usage("ambiguous_local_time", "01:30 of that night with its offset",
           usage("BIRCH", "DIS-01", 115), False, occurred_at="'2026-11-01T01:30-06:00'"),
    _correction("correction_expired", "A weight that the home typed wrong, corrected until October",
                True, "body_weight_kg", "body_weight_kg", "'82'", "2026-10-31"),
    _correction("correction_expired", "A letter in a weight, corrected until today", False,
                "body_weight_kg", "'8O'", "'80'", "2026-11-16", body_weight_kg="'8O'"),
    _correction("correction_not_needed", "A sex that the home has mended by now", True, "sex",
                "case sex when 'F' then 'M' else 'F' end", "sex"),
    _correction("correction_not_needed", "A weight that the home left out", False,
                "body_weight_kg", "null", "'71.5'", body_weight_kg="null"),
    _correction("correction_does_not_fit", "A birth that the record never said", True,
                "date_of_birth", "'1901-01-01'", "'1910-01-01'"),
    _correction("correction_does_not_fit", "Two digits of a birth that changed places", False,
                "date_of_birth", "date_of_birth", "'1949-03-08'", date_of_birth="'1994-30-08'"),
)  # fmt: skip
