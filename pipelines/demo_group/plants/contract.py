"""Plants of records that read well and say what cannot be."""

from pipelines.demo_group.plants.changes import (
    add_event,
    add_line,
    band,
    line_key,
    set_case,
    set_event,
    set_in,
)
from pipelines.demo_group.plants.plant import NEWEST, Effect, Plant, found, silent

# A burial leaves no cremation rule to fire beside the fault.
_BURIAL = "p.is_done and p.ending = 'burial' and not p.is_examined"
_YEAR_MINUTES = 365 * 24 * 60
_COUNTED = "p.is_done and p.count_number > 0"
_COUNT_KEY = "(select counted_event from profiles where case_number = '{case}')"
_COUNT = f"event_id = {_COUNT_KEY}"
_HEARSE = "p.is_done and p.has_hearse and p.ending = 'burial'"


def _count_plant(rule_code: str, note: str, **values: str) -> Plant:
    """On a count, which stands outside the chain, so that the record alone is held back."""
    return found(
        rule_code,
        note,
        where=_COUNTED,
        record_key=_COUNT_KEY,
        changes=(set_in("custody_events", _COUNT, **values),),
    )


def _list_row(item_code: str, home: str, high: str) -> str:
    return (
        f"insert into price_lists by name select '{home}' as location_id, 'general' as list_kind, '2026-01-01' as effective_from, "
        f"'{item_code}' as item_code, 'other' as category, 'Staff after nine in the evening, an hour' as description, "
        f"'250.00' as price, '{high}' as price_high, 'per_hour' as charge_basis, 'Y' as is_declinable"
    )


PLANTS: tuple[Plant, ...] = (
    found(
        "location_code_reserved",
        "A line for the whole group among its places",
        case_number="",
        record_key="('(group)')",
        changes=(
            "insert into locations by name select * replace ('(group)' as location_id, 'All homes' as location_name) "
            "from locations where location_id = 'ALDER'",
        ),
    ),
    silent(
        "location_code_reserved",
        "The care centre, whose code is a plain word",
        case_number="",
        record_key="CARE",
    ),
    found(
        "unknown_party",
        "Handed to a party written without its kind",
        where="p.is_done and p.ending = 'shipped'",
        record_key="{case}-235",
        changes=(set_event(235, to_party="'the brother'"),),
        breaks_chain=(("{case}", "{case}-235"),),
        also=(
            Effect("receiver_not_chosen", "{case}", "{case}-235"),
            Effect("receiver_differs", "{case}", "{case}-235"),
        ),
    ),
    silent(
        "unknown_party",
        "Handed to an institution never named before",
        where="p.is_done and p.ending = 'donation'",
        record_key="{case}-235",
        changes=(
            set_case(named_receiver="'institution:NEW-SCHOOL'"),
            set_event(
                235, to_party="'institution:NEW-SCHOOL'", place_id="'institution:NEW-SCHOOL'"
            ),
        ),
    ),
    found(
        "placeholder_name",
        "John Doe",
        where=_BURIAL + " and p.home = 'CEDAR'",
        record_key="{case}",
        changes=(set_case(family_name="'Doe'", given_name="'John'"),),
    ),
    silent(
        "placeholder_name",
        "A family that is called Doe",
        where=_BURIAL,
        record_key="{case}",
        changes=(set_case(family_name="'Doe'", given_name="'Dorrit'"),),
    ),
    found(
        "name_missing",
        "No name, and not declared unidentified",
        where=_BURIAL + " and p.home = 'CEDAR'",
        record_key="{case}",
        changes=(set_case(family_name="null", given_name="null"),),
    ),
    silent(
        "name_missing",
        "A family name alone",
        where=_BURIAL,
        record_key="{case}",
        changes=(set_case(given_name="null"),),
    ),
    found(
        "death_after_call",
        "Died two days after the first call",
        where=_BURIAL + " and p.home = 'CEDAR'",
        record_key="{case}",
        changes=(set_case(date_of_death="date_text(date_of_death::date + 2)"),),
    ),
    silent(
        "death_after_call",
        "Died on the day of the call",
        where=_BURIAL + " and local_date(p.died, p.zone) = local_date(p.first_call, p.zone)",
        order_by=NEWEST,
        record_key="{case}",
    ),
    found(
        "birth_impossible",
        "Born two months after the death, by a slip of the year",
        where=_BURIAL + " and p.home = 'CEDAR'",
        record_key="{case}",
        changes=(set_case(date_of_birth="date_text(date_of_death::date + 60)"),),
    ),
    silent(
        "birth_impossible",
        "Lived for a day",
        where=_BURIAL + " and p.home = 'CEDAR'",
        record_key="{case}",
        changes=(set_case(date_of_birth="date_text(date_of_death::date - 1)"),),
    ),
    found(
        "closed_before_call",
        "Closed the day before the first call",
        where=_BURIAL + " and p.home = 'CEDAR'",
        record_key="{case}",
        changes=(set_case(closed_at="moved(first_call_at, -1440)"),),
    ),
    silent(
        "closed_before_call",
        "Cancelled and closed within two days of the call",
        where="p.ending = 'cancelled' and p.is_never_received",
        record_key="{case}",
    ),
    found(
        "closed_without_instant",
        "Closed, nobody knows when",
        where=_BURIAL + " and p.home = 'CEDAR'",
        record_key="{case}",
        changes=(set_case(closed_at="null"),),
    ),
    silent(
        "closed_without_instant",
        "Open, so not closed at any time",
        where="p.ending = 'waiting'",
        record_key="{case}",
    ),
    found(
        "line_total_wrong",
        "Ten dollars more than quantity times price",
        where=_HEARSE,
        record_key=line_key("I", "S13-HEARSE"),
        changes=(
            set_in(
                "statement_lines",
                "document_number = 'I-{case}' and item_code = 'S13-HEARSE'",
                line_total="(line_total::decimal(18, 2) + 10)::varchar",
            ),
        ),
    ),
    silent(
        "line_total_wrong",
        "Two and a half hours at 80.11, half a cent rounded up",
        where="p.is_done and p.has_limousine and not p.has_credit and p.ending = 'burial'",
        record_key=line_key("I", "S14-LIMOUSINE"),
        changes=(
            set_in(
                "statement_lines",
                "document_number = 'I-{case}' and item_code = 'S14-LIMOUSINE'",
                quantity="'2.5'",
                unit_price="'80.11'",
                line_total="'200.28'",
            ),
        ),
    ),
    found(
        "credit_not_negative",
        "A credit that adds ten dollars",
        where=_HEARSE + " and not p.has_credit",
        record_key="C-{case}|1",
        changes=(
            add_line(
                "C", 1, "S13-HEARSE", "hearse", "Credit for the hearse", "1", "10.00", "10.00"
            ),
        ),
    ),
    silent(
        "credit_not_negative",
        "An hour of the limousine credited",
        where="p.is_done and p.has_credit",
        record_key="C-{case}|13",
    ),
    found(
        "quantity_not_positive",
        "None of something",
        where=_HEARSE,
        record_key="I-{case}|90",
        changes=(
            add_line("I", 90, "S08-PREP", "other_preparation", "Dressing", "0", "295.00", "0.00"),
        ),
    ),
    silent(
        "quantity_not_positive",
        "An opening stock of none",
        case_number="",
        record_key="MV-OPEN-ALDER-1-PPE-01",
        changes=(
            "insert into supply_movements by name select 'MV-OPEN-ALDER-1-PPE-01' as movement_id, "
            "'2026-05-17T23:00-05:00' as occurred_at, 'ALDER' as location_id, 'PPE-01' as item_code, 'opening' as movement_kind, "
            "'0' as quantity, 'each' as unit, 'AL-S1' as recorded_by, minutes_of('2026-05-18 04:00:00') as sort_minute, "
            "0 as amount",
        ),
    ),
    found(
        "price_range_reversed",
        "A range from 250 to 150",
        case_number="",
        record_key="CEDAR|general|2026-01-01|S19-EVENING",
        changes=(_list_row("S19-EVENING", "CEDAR", "150.00"),),
    ),
    silent(
        "price_range_reversed",
        "A range from 250 to 250",
        case_number="",
        record_key="BIRCH|general|2026-01-01|S19-EVENING",
        changes=(_list_row("S19-EVENING", "BIRCH", "250.00"),),
    ),
    found(
        "minutes_not_positive",
        "A sample of no minutes",
        case_number="",
        record_key="AS-CARE-3T-1",
        changes=(set_in("air_samples", "sample_id = 'AS-CARE-3T-1'", minutes="'0'"),),
    ),
    silent(
        "minutes_not_positive",
        "A sample of half a minute",
        case_number="",
        record_key="AS-CARE-1T-1",
        changes=(set_in("air_samples", "sample_id = 'AS-CARE-1T-1'", minutes="'0.5'"),),
    ),
    found(
        "below_minimum",
        "A sample below nothing",
        case_number="",
        record_key="AS-CEDAR-1T-1",
        changes=(
            set_in("air_samples", "sample_id = 'AS-CEDAR-1T-1'", formaldehyde_ppm="'-0.310'"),
        ),
    ),
    silent(
        "below_minimum",
        "A courtesy discount: one taken off, at a positive price",
        where="p.is_done and p.has_discount",
        record_key=line_key("I", "DISCOUNT"),
    ),
    found(
        "too_large",
        "The minutes and the result of a sample run together",
        case_number="",
        record_key="AS-CEDAR-2P-1",
        changes=(set_in("air_samples", "sample_id = 'AS-CEDAR-2P-1'", minutes="'15000250'"),),
    ),
    silent(
        "too_large",
        "A shift in minutes, the longest that one sample has",
        case_number="",
        record_key="AS-CEDAR-2S-1",
    ),
    _count_plant("identifiers_out_of_range", "Twelve identifiers", identifiers_matched="'12'"),
    silent(
        "identifiers_out_of_range",
        "Nine identifiers, the most that counts",
        where="p.is_done",
        record_key="{case}-40",
        changes=(set_event(40, identifiers_matched="'9'"),),
    ),
    _count_plant(
        "recorded_before_occurred",
        "Written down half an hour before it happened",
        recorded_at="moved(occurred_at, -30)",
    ),
    silent(
        "recorded_before_occurred",
        "Two clocks four minutes apart",
        where="p.is_done",
        record_key="{case}-40",
        changes=(set_event(40, recorded_at="moved(occurred_at, -4)"),),
    ),
    found(
        "dated_after_export",
        "A departure of next year, entered when it was planned",
        where="p.ending = 'waiting'",
        record_key="{case}-90",
        changes=(
            add_event(
                90,
                50,
                _YEAR_MINUTES,
                "departed",
                place_id="'vehicle:V1'",
                band_number=band(),
                identifiers_matched="'3'",
            ),
        ),
        breaks_chain=(("{case}", "{case}-90"),),
    ),
    silent(
        "dated_after_export",
        "A service that is still to come",
        where="p.ending = 'waiting'",
        record_key="{case}",
        changes=(set_case(service_at="'2026-12-05T11:00-06:00'"),),
    ),
    _count_plant(
        "second_checker_same_person", "Checked by the one who did it", second_checker="performed_by"
    ),
    silent(
        "second_checker_same_person",
        "No second checker named",
        where="p.is_done",
        record_key="{case}-10",
        changes=(set_event(10, second_checker="null"),),
    ),
)
