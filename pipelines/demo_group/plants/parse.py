"""Plants of values that cannot be read, on records that nothing else rests on."""

from pipelines.demo_group.plants.changes import line_key, set_case, set_event, set_in, usage
from pipelines.demo_group.plants.plant import Plant, found, silent

_ADVANCE = "p.is_done and p.has_notice"
_NOTICE = "bill_number = 'CA-{case}' and item_code = 'ADV-OBIT'"
_NOTICE_KEY = "HERALD|CA-{case}|22"
_HEARSE = "p.is_done and p.has_hearse and p.ending = 'burial'"


def _usage_plant(rule_code: str, note: str, key: str, is_fault: bool, **values: str) -> Plant:
    plant = found if is_fault else silent
    return plant(
        rule_code,
        note,
        case_number="",
        record_key=key,
        changes=(set_in("supply_movements", f"movement_id = '{key}'", **values),),
    )


PLANTS: tuple[Plant, ...] = (
    _usage_plant(
        "missing_value",
        "A movement without its unit",
        usage("CARE", "PPE-01", 114),
        True,
        unit="null",
    ),
    _usage_plant(
        "missing_value",
        "A blank in a column that may be blank",
        usage("CARE", "PPE-01", 115),
        False,
        recorded_by="null",
    ),
    _usage_plant(
        "not_an_identifier",
        "A document number of 65 characters",
        usage("BIRCH", "PPE-01", 114),
        True,
        document_number="repeat('R', 65)",
    ),
    _usage_plant(
        "not_an_identifier",
        "A document number of 64 characters",
        usage("BIRCH", "PPE-01", 115),
        False,
        document_number="repeat('R', 64)",
    ),
    _usage_plant(
        "not_in_list",
        "A unit that no list knows",
        usage("CEDAR", "PPE-01", 114),
        True,
        unit="'bottle'",
    ),
    silent(
        "not_in_list",
        "Place of death 9, unknown: the last code of the list",
        where="p.is_done and p.place_code = '7'",
        changes=(set_case(place_of_death_code="'9'"),),
    ),
    found(
        "not_a_date",
        "A bill of the thirteenth month",
        where=_ADVANCE,
        record_key=_NOTICE_KEY,
        changes=(set_in("supplier_bill_lines", _NOTICE, bill_date="'2026-13-04'"),),
    ),
    silent(
        "not_a_date",
        "A birth in February of which nobody knows the day",
        where="p.is_done",
        changes=(set_case(date_of_birth="'1948-02-99'"),),
    ),
    _usage_plant(
        "not_an_instant",
        "A time in words",
        usage("CREM", "PPE-01", 114),
        True,
        occurred_at="'2026-11-04 half past nine'",
    ),
    _usage_plant(
        "not_an_instant",
        "An instant in UTC",
        usage("CREM", "PPE-01", 115),
        False,
        occurred_at="'2026-11-11T15:30Z'",
    ),
    _usage_plant(
        "missing_local_hour",
        "02:30 on the night when the clocks went forward, without an offset",
        usage("CREM", "DIS-01", 114),
        True,
        occurred_at="'2026-03-08T02:30'",
    ),
    _usage_plant(
        "missing_local_hour",
        "A local time without an offset that the clocks did show",
        usage("CREM", "DIS-01", 115),
        False,
        occurred_at="'2026-11-11T09:30'",
    ),
    found(
        "not_a_number",
        "A letter O for a zero",
        case_number="",
        record_key="AS-CEDAR-2T-1",
        changes=(set_in("air_samples", "sample_id = 'AS-CEDAR-2T-1'", formaldehyde_ppm="'O.12'"),),
    ),
    silent(
        "not_a_number",
        "Four decimals",
        case_number="",
        record_key="AS-CEDAR-3T-1",
        changes=(
            set_in("air_samples", "sample_id = 'AS-CEDAR-3T-1'", formaldehyde_ppm="'0.1200'"),
        ),
    ),
    found(
        "not_money",
        "A letter O in an amount",
        where=_HEARSE,
        record_key=line_key("I", "S13-HEARSE"),
        changes=(
            set_in(
                "statement_lines",
                "document_number = 'I-{case}' and item_code = 'S13-HEARSE'",
                line_total="replace(line_total, '0', 'O')",
            ),
        ),
    ),
    silent(
        "not_money",
        "A currency sign and a comma for thousands",
        where=_HEARSE + " and p.has_home_service",
        record_key=line_key("I", "S01-BASIC"),
        changes=(
            set_in(
                "statement_lines",
                "document_number = 'I-{case}' and item_code = 'S01-BASIC'",
                line_total="'$' || left(line_total, 1) || ',' || substr(line_total, 2)",
            ),
        ),
    ),
    found(
        "too_many_decimals",
        "An amount with a third decimal",
        where=_HEARSE,
        record_key=line_key("I", "S13-HEARSE"),
        changes=(
            set_in(
                "statement_lines",
                "document_number = 'I-{case}' and item_code = 'S13-HEARSE'",
                line_total="line_total || '5'",
            ),
        ),
    ),
    silent(
        "too_many_decimals",
        "A unit cost with four decimals, the total rounded to the cent",
        case_number="",
        record_key="(select 'SUP-FLUID|' || bill_number || '|' || line_number from supplier_bill_lines "
        "where bill_number = 'B-CARE-2607-F-1' and item_code = 'DIS-01')",
        changes=(
            set_in(
                "supplier_bill_lines",
                "bill_number = 'B-CARE-2607-F-1' and item_code = 'DIS-01'",
                unit_cost="'4.3125'",
                line_total="(quantity::decimal(18, 0) * 4.3125)::decimal(18, 2)::varchar",
            ),
        ),
    ),
    found(
        "two_digit_year",
        "A bill of 10/11/26",
        where=_ADVANCE,
        record_key=_NOTICE_KEY,
        changes=(set_in("supplier_bill_lines", _NOTICE, bill_date="'10/11/26'"),),
    ),
    silent(
        "two_digit_year",
        "A year of birth that nobody knows, in nines",
        where="p.is_done",
        changes=(set_case(date_of_birth="'9999-99-99'"),),
    ),
    found(
        "spreadsheet_day_number",
        "A bill date that a spreadsheet counted",
        where=_ADVANCE,
        record_key=_NOTICE_KEY,
        changes=(set_in("supplier_bill_lines", _NOTICE, bill_date="'46270'"),),
    ),
    silent(
        "spreadsheet_day_number",
        "A bill number that looks like a day number",
        where=_ADVANCE,
        record_key="HERALD|46270|22",
        changes=(set_in("supplier_bill_lines", _NOTICE, bill_number="'46270'"),),
    ),
    _usage_plant(
        "line_break_in_field",
        "Two names on two lines of a one-line field",
        usage("BIRCH", "DIS-01", 114),
        True,
        recorded_by="'BI-S1' || chr(10) || 'BI-S2'",
    ),
    silent(
        "line_break_in_field",
        "A line break in the remarks",
        where="p.is_done",
        record_key="{case}-50",
        changes=(
            set_event(50, remarks="'Shelf wiped down' || chr(10) || 'and labelled \"left\"'"),
        ),
    ),
    _usage_plant(
        "control_character",
        "A zero-width space in a name",
        usage("CEDAR", "DIS-01", 114),
        True,
        recorded_by="'CE-' || chr(8203) || 'S2'",
    ),
    _usage_plant(
        "control_character",
        "Accents and a typographic apostrophe",
        usage("CEDAR", "DIS-01", 115),
        False,
        recorded_by="'Zoë’s relief'",
    ),
)
