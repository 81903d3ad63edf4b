"""Plants of values that cannot be read, on records that nothing else rests on."""

from pipelines.demo_group.plants.changes import line_key, set_case, set_event, set_in, text
from pipelines.demo_group.plants.plant import Plant, found, silent

_ADVANCE = "p.is_done and p.has_notice"
_NOTICE = "bill_number = 'CA-{case}' and item_code = 'ADV-OBIT'"
_NOTICE_KEY = "HERALD|CA-{case}|22"
_HEARSE = "p.is_done and p.has_hearse and p.ending = 'burial'"


def _usage(place: str, item_code: str, week: int) -> str:
    """A weekly issue to no case, after the last count: 114 on 4 November, 115 on 11 November."""
    return f"MV-{place}-1-{item_code}-{week}"


def _usage_plant(rule_code: str, note: str, key: str, is_fault: bool, **values: str) -> Plant:
    plant = found if is_fault else silent
    return plant(
        rule_code,
        note,
        case_number="",
        record_key=key,
        changes=(set_in("supply_movements", f"movement_id = '{key}'", **values),),
    )


_COPY = (
    "insert into supply_movements by name select * replace ({new} as quantity, 0 as amount) "
    "from supply_movements where movement_id = '{key}'"
)


def _copy(key: str, new: str) -> str:
    return _COPY.replace("{new}", new).replace("{key}", key)


PLANTS: tuple[Plant, ...] = (
    _usage_plant("missing_value", "A movement without its unit", _usage("CARE", "PPE-01", 114), True, unit="null"),
    _usage_plant("missing_value", "A blank in a column that may be blank", _usage("CARE", "PPE-01", 115), False,
                 recorded_by="null"),
    _usage_plant("not_an_identifier", "A document number of 65 characters", _usage("BIRCH", "PPE-01", 114), True,
                 document_number="repeat('R', 65)"),
    _usage_plant("not_an_identifier", "A document number of 64 characters", _usage("BIRCH", "PPE-01", 115), False,
                 document_number="repeat('R', 64)"),
    _usage_plant("not_in_list", "A unit that no list knows", _usage("CEDAR", "PPE-01", 114), True, unit="'bottle'"),
    silent("not_in_list", "Place of death 9, unknown: the last code of the list", where="p.is_done and p.place_code = '7'",
           changes=(set_case(place_of_death_code="'9'"),)),
    found("not_a_date", "A bill of the thirteenth month", where=_ADVANCE, record_key=_NOTICE_KEY,
          changes=(set_in("supplier_bill_lines", _NOTICE, bill_date="'2026-13-04'"),)),
    silent("not_a_date", "A birth in February of which nobody knows the day", where="p.is_done",
           changes=(set_case(date_of_birth="'1948-02-99'"),)),
    _usage_plant("not_an_instant", "A time in words", _usage("CREM", "PPE-01", 114), True,
                 occurred_at="'2026-11-04 half past nine'"),
    _usage_plant("not_an_instant", "An instant in UTC", _usage("CREM", "PPE-01", 115), False,
                 occurred_at="'2026-11-11T15:30Z'"),
    _usage_plant("missing_local_hour", "02:30 on the night when the clocks went forward, without an offset",
                 _usage("CREM", "DIS-01", 114), True, occurred_at="'2026-03-08T02:30'"),
    _usage_plant("missing_local_hour", "A local time without an offset that the clocks did show",
                 _usage("CREM", "DIS-01", 115), False, occurred_at="'2026-11-11T09:30'"),
    found("not_a_number", "A letter O for a zero", case_number="", record_key="AS-CEDAR-2T-1",
          changes=(set_in("air_samples", "sample_id = 'AS-CEDAR-2T-1'", formaldehyde_ppm="'O.12'"),)),
    silent("not_a_number", "Four decimals", case_number="", record_key="AS-CEDAR-3T-1",
           changes=(set_in("air_samples", "sample_id = 'AS-CEDAR-3T-1'", formaldehyde_ppm="'0.1200'"),)),
    found("not_money", "A letter O in an amount", where=_HEARSE, record_key=line_key("I", "S13-HEARSE"),
          changes=(set_in("statement_lines", "document_number = 'I-{case}' and item_code = 'S13-HEARSE'",
                          line_total="replace(line_total, '0', 'O')"),)),
    silent("not_money", "A currency sign and a comma for thousands", where=_HEARSE + " and p.has_home_service",
           record_key=line_key("I", "S01-BASIC"),
           changes=(set_in("statement_lines", "document_number = 'I-{case}' and item_code = 'S01-BASIC'",
                           line_total="'$' || left(line_total, 1) || ',' || substr(line_total, 2)"),)),
    found("too_many_decimals", "An amount with a third decimal", where=_HEARSE, record_key=line_key("I", "S13-HEARSE"),
          changes=(set_in("statement_lines", "document_number = 'I-{case}' and item_code = 'S13-HEARSE'",
                          line_total="line_total || '5'"),)),
    silent("too_many_decimals", "A unit cost with four decimals, the total rounded to the cent", case_number="",
           record_key="(select 'SUP-FLUID|' || bill_number || '|' || line_number from supplier_bill_lines "
           "where bill_number = 'B-CARE-2607-F-1' and item_code = 'DIS-01')",
           changes=(set_in("supplier_bill_lines", "bill_number = 'B-CARE-2607-F-1' and item_code = 'DIS-01'",
                           unit_cost="'4.3125'",
                           line_total="(quantity::decimal(18, 0) * 4.3125)::decimal(18, 2)::varchar"),)),
    found("two_digit_year", "A bill of 10/11/26", where=_ADVANCE, record_key=_NOTICE_KEY,
          changes=(set_in("supplier_bill_lines", _NOTICE, bill_date="'10/11/26'"),)),
    silent("two_digit_year", "A year of birth that nobody knows, in nines", where="p.is_done",
           changes=(set_case(date_of_birth="'9999-99-99'"),)),
    found("spreadsheet_day_number", "A bill date that a spreadsheet counted", where=_ADVANCE, record_key=_NOTICE_KEY,
          changes=(set_in("supplier_bill_lines", _NOTICE, bill_date="'46270'"),)),
    silent("spreadsheet_day_number", "A bill number that looks like a day number", where=_ADVANCE,
           record_key="HERALD|46270|22",
           changes=(set_in("supplier_bill_lines", _NOTICE, bill_number="'46270'"),)),
    _usage_plant("line_break_in_field", "Two names on two lines of a one-line field", _usage("BIRCH", "DIS-01", 114), True,
                 recorded_by="'BI-S1' || chr(10) || 'BI-S2'"),
    silent("line_break_in_field", "A line break in the remarks", where="p.is_done", record_key="{case}-50",
           changes=(set_event(50, remarks="'Shelf wiped down' || chr(10) || 'and labelled \"left\"'"),)),
    _usage_plant("control_character", "A zero-width space in a name", _usage("CEDAR", "DIS-01", 114), True,
                 recorded_by="'CE-' || chr(8203) || 'S2'"),
    _usage_plant("control_character", "Accents and a typographic apostrophe", _usage("CEDAR", "DIS-01", 115), False,
                 recorded_by="'Zoë’s relief'"),
    found("unreadable_record", "A line that ends after its fifth field", case_number="", only_small=True,
          raw=("supplier_bill_lines", b"HERALD,CA-CUT-OFF,1,2026-11-10,ALDER\n")),
    found("unreadable_record", "A byte that is no UTF-8", case_number="", only_small=True,
          raw=("statement_lines", b"I-BROKEN,1,invoice,AL-26-0001,ALDER,2026-11-10,S13-HEARSE,hearse,Hears\xe9,"
               b"1,395.00,395.00,N,,N,\n")),
    silent("unreadable_record", "Quotes, a comma and a line break inside one field", where=_ADVANCE, record_key=_NOTICE_KEY,
           changes=(set_in("supplier_bill_lines", _NOTICE,
                           description=text('Notice, "In memory",\nwith a photograph')),)),
    found("key_with_two_contents", "Two records of one number that differ in the quantity", case_number="",
          record_key=_usage("CARE", "DIS-01", 114), changes=(_copy(_usage("CARE", "DIS-01", 114), "'7'"),)),
    silent("key_with_two_contents", "The same record twice", case_number="", record_key=_usage("CARE", "DIS-01", 115),
           changes=(_copy(_usage("CARE", "DIS-01", 115), "quantity"),)),
    found("unknown_location", "A movement at a place that is not ours", case_number="",
          record_key=_usage("BIRCH", "DIS-01", 115),
          changes=(set_in("supply_movements", f"movement_id = '{_usage('BIRCH', 'DIS-01', 115)}'", location_id="'ELDER'", amount="0"),)),
    silent("unknown_location", "A hospital that was never named before", where="p.is_done and p.origin like 'hospital:%'",
           record_key="{case}-20",
           changes=(set_event(10, place_id="'hospital:NEW-WING'"),
                    set_event(20, place_id="'hospital:NEW-WING'", from_party="'hospital:NEW-WING'"))),
    found("unknown_item", "An item that the list of supplies lacks", case_number="",
          record_key=_usage("CEDAR", "PPE-01", 115),
          changes=(set_in("supply_movements", f"movement_id = '{_usage('CEDAR', 'PPE-01', 115)}'", item_code="'PPE-09'"),)),
    silent("unknown_item", "A service on the statement that is no stock", where=_HEARSE, record_key=line_key("I", "S13-HEARSE")),
    found("unknown_case", "A bill to a case that the group has no record of", where=_ADVANCE, case_number="AL-26-9999",
          record_key=_NOTICE_KEY,
          changes=(set_in("supplier_bill_lines", _NOTICE, case_number="'AL-26-9999'"),)),
    silent("unknown_case", "A band that is nobody's we know, counted without a case", case_number="", record_key="CNT-STRAY-1",
           changes=(
               "insert into custody_events by name select 'CNT-STRAY-1' as event_id, '2026-10-11T20:00-05:00' as occurred_at, "
               "'2026-10-11T20:10-05:00' as recorded_at, 'counted' as action, 'CARE' as place_id, 'LS-9999999' as band_number, "
               "'CA-S2' as performed_by, 'CA-S7' as second_checker, 'CNT-CARE-2026-10-11' as document_number, "
               "minutes_of('2026-10-12 01:00:00') as sort_minute, 0 as sort_step",)),
)  # fmt: skip


