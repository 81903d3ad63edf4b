"""Plants of lines that are no record, of keys used twice, and of records that name what is not there."""

from pipelines.demo_group.plants.changes import line_key, set_event, set_in, text, usage
from pipelines.demo_group.plants.plant import Effect, Plant, found, silent

_ADVANCE = "p.is_done and p.has_notice"
_NOTICE = "bill_number = 'CA-{case}' and item_code = 'ADV-OBIT'"
_NOTICE_KEY = "HERALD|CA-{case}|22"
_HEARSE = "p.is_done and p.has_hearse and p.ending = 'burial'"


def _copy(key: str, new_quantity: str) -> str:
    return (
        f"insert into supply_movements by name select * replace ({new_quantity} as quantity, "
        f"0 as amount) from supply_movements where movement_id = '{key}'"
    )


PLANTS: tuple[Plant, ...] = (
    found(
        "unreadable_record",
        "A line that ends after its fifth field",
        case_number="",
        only_small=True,
        raw=("supplier_bill_lines", b"HERALD,CA-CUT-OFF,1,2026-11-10,ALDER\n"),
    ),
    found(
        "unreadable_record",
        "A byte that is no UTF-8",
        case_number="",
        only_small=True,
        raw=(
            "statement_lines",
            b"I-BROKEN,1,invoice,AL-26-0001,ALDER,2026-11-10,S13-HEARSE,hearse,Hears\xe9,"
            b"1,395.00,395.00,N,,N,\n",
        ),
    ),
    silent(
        "unreadable_record",
        "Quotes, a comma and a line break inside one field",
        where=_ADVANCE,
        record_key=_NOTICE_KEY,
        changes=(
            set_in(
                "supplier_bill_lines",
                _NOTICE,
                description=text('Notice, "In memory",\nwith a photograph'),
            ),
        ),
    ),
    found(
        "key_with_two_contents",
        "Two records of one number that differ in the quantity",
        case_number="",
        record_key=usage("CARE", "DIS-01", 114),
        changes=(_copy(usage("CARE", "DIS-01", 114), "'7'"),),
    ),
    silent(
        "key_with_two_contents",
        "The same record twice",
        case_number="",
        record_key=usage("CARE", "DIS-01", 115),
        changes=(_copy(usage("CARE", "DIS-01", 115), "quantity"),),
    ),
    found(
        "unknown_location",
        "A movement at a place that is not ours",
        case_number="",
        record_key=usage("BIRCH", "DIS-01", 115),
        changes=(
            set_in(
                "supply_movements",
                f"movement_id = '{usage('BIRCH', 'DIS-01', 115)}'",
                location_id="'ELDER'",
                amount="0",
            ),
        ),
    ),
    silent(
        "unknown_location",
        "A hospital that was never named before",
        where="p.is_done and p.origin like 'hospital:%'",
        record_key="{case}-20",
        changes=(
            set_event(10, place_id="'hospital:NEW-WING'"),
            set_event(20, place_id="'hospital:NEW-WING'", from_party="'hospital:NEW-WING'"),
        ),
    ),
    found(
        "unknown_item",
        "An item that the list of supplies lacks",
        case_number="",
        record_key=usage("CEDAR", "PPE-01", 115),
        changes=(
            set_in(
                "supply_movements",
                f"movement_id = '{usage('CEDAR', 'PPE-01', 115)}'",
                item_code="'PPE-09'",
            ),
        ),
    ),
    silent(
        "unknown_item",
        "A service on the statement that is no stock",
        where=_HEARSE,
        record_key=line_key("I", "S13-HEARSE"),
    ),
    found(
        "unknown_case",
        "A bill to a case that the group has no record of",
        where=_ADVANCE,
        case_number="AL-26-9999",
        record_key=_NOTICE_KEY,
        changes=(set_in("supplier_bill_lines", _NOTICE, case_number="'AL-26-9999'"),),
    ),
    silent(
        "unknown_case",
        "A band that is nobody's we know, counted without a case",
        case_number="",
        record_key="CNT-STRAY-1",
        changes=(
            "insert into custody_events by name select 'CNT-STRAY-1' as event_id, '2026-10-11T20:00-05:00' as occurred_at, "
            "'2026-10-11T20:10-05:00' as recorded_at, 'counted' as action, 'CARE' as place_id, 'LS-9999999' as band_number, "
            "'CA-S2' as performed_by, 'CA-S7' as second_checker, 'CNT-CARE-2026-10-11' as document_number, "
            "minutes_of('2026-10-12 01:00:00') as sort_minute, 0 as sort_step",
        ),
        also=(Effect("counted_unknown", "", "CNT-STRAY-1"),),
    ),
)
