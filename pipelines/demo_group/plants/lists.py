"""Plants of price lists that lack something or contradict themselves."""

from pipelines.demo_group.plants.changes import add_line, set_in
from pipelines.demo_group.plants.plant import (
    DIRECT_CREMATION,
    FULL_SERVICE,
    NEWEST,
    Plant,
    found,
    silent,
)


def _list(home: str, item_code: str) -> str:
    return f"location_id = '{home}' and list_kind = 'general' and item_code = '{item_code}'"


def _list_key(home: str, item_code: str) -> str:
    return f"{home}|general|2026-01-01|{item_code}"


PLANTS: tuple[Plant, ...] = (
    found(
        "list_item_missing",
        "Graveside service sold and not on the list",
        case_number="",
        record_key=_list_key("BIRCH", "HEADER-GENERAL"),
        changes=(f"delete from price_lists where {_list('BIRCH', 'S12-GRAVESIDE')}",),
    ),
    silent(
        "list_item_missing",
        "Receiving of remains, neither listed nor sold",
        case_number="",
        record_key=_list_key("CEDAR", "HEADER-GENERAL"),
        changes=(f"delete from price_lists where {_list('CEDAR', 'S03-RECEIVE')}",),
    ),
    found(
        "list_version_partial",
        "The one item that changed, under a date of its own",
        case_number="",
        record_key="CEDAR|general|2026-10-01|S18-WITNESS",
        changes=(
            "insert into price_lists select * replace ('2026-10-01' as effective_from) from price_lists "
            f"where {_list('CEDAR', 'S18-WITNESS')}",
        ),
    ),
    silent(
        "list_version_partial",
        "A whole list at other prices",
        case_number="",
        record_key="ALDER|general|2026-08-01|HEADER-GENERAL",
    ),
    found(
        "no_list_in_force",
        "A viewing billed by the care centre, which has no list",
        where=FULL_SERVICE,
        order_by=NEWEST,
        case_number="",
        record_key="K-{case}|1",
        changes=(
            add_line(
                "K",
                1,
                "S19-ROOM",
                "facilities_staff_viewing",
                "Viewing at the care centre",
                "1",
                "150.00",
                "150.00",
                location_id="'CARE'",
            ),
        ),
    ),
    silent(
        "no_list_in_force",
        "A cash advance billed by the care centre",
        where=FULL_SERVICE,
        order_by=NEWEST,
        record_key="K-{case}|1",
        changes=(
            add_line(
                "K",
                1,
                "ADV-PARKING",
                "cash_advance",
                "Parking",
                "1",
                "12.00",
                "12.00",
                location_id="'CARE'",
                is_cash_advance="'Y'",
            ),
        ),
    ),
    found(
        "second_nondeclinable_fee",
        "A transfer that cannot be declined",
        case_number="",
        record_key=_list_key("BIRCH", "S06-TRANSFER"),
        changes=(set_in("price_lists", _list("BIRCH", "S06-TRANSFER"), is_declinable="'N'"),),
    ),
    silent(
        "second_nondeclinable_fee",
        "The basic services fee alone",
        case_number="",
        record_key=_list_key("CEDAR", "S01-BASIC"),
    ),
    found(
        "casket_range_contradicts",
        "The dearest casket is not in the range",
        case_number="",
        record_key=_list_key("CEDAR", "S15-CASKETS"),
        changes=(
            set_in(
                "price_lists",
                _list("CEDAR", "S15-CASKETS"),
                price_high="(price_high::decimal(18, 2) - 500)::varchar",
            ),
        ),
    ),
    silent(
        "casket_range_contradicts",
        "Range and casket list changed on one day",
        case_number="",
        record_key="ALDER|general|2026-08-01|S15-CASKETS",
    ),
    found(
        "outer_range_contradicts",
        "The dearest vault is not in the range",
        case_number="",
        record_key=_list_key("BIRCH", "S16-OUTER"),
        changes=(
            set_in(
                "price_lists",
                _list("BIRCH", "S16-OUTER"),
                price_high="(price_high::decimal(18, 2) - 500)::varchar",
            ),
        ),
    ),
    silent(
        "outer_range_contradicts",
        "Range and list of outer containers changed on one day",
        case_number="",
        record_key="ALDER|general|2026-08-01|S16-OUTER",
    ),
    found(
        "direct_cremation_variant_missing",
        "No price with a container that the family brings",
        case_number="",
        record_key=_list_key("CEDAR", "S04-DIRCREM-ALT"),
        changes=(
            set_in(
                "price_lists",
                _list("CEDAR", "S04-DIRCREM-OWN"),
                variant="'alternative_container'",
            ),
        ),
    ),
    silent(
        "direct_cremation_variant_missing",
        "Both prices of direct cremation",
        case_number="",
        record_key=_list_key("BIRCH", "S04-DIRCREM-ALT"),
    ),
    found(
        "disclosure_missing",
        "Embalming without the words that it is not required",
        case_number="",
        record_key=_list_key("BIRCH", "S07-EMBALM"),
        changes=(set_in("price_lists", _list("BIRCH", "S07-EMBALM"), disclosure_keys="null"),),
    ),
    silent(
        "disclosure_missing",
        "Embalming with the words that it is not required",
        case_number="",
        record_key=_list_key("CEDAR", "S07-EMBALM"),
    ),
    found(
        "handling_fee",
        "A fee for a casket bought elsewhere",
        where=FULL_SERVICE,
        record_key="I-{case}|91",
        changes=(
            add_line(
                "I",
                91,
                "S99-HANDLE",
                "other",
                "Handling of a casket bought elsewhere",
                "1",
                "195.00",
                "195.00",
            ),
        ),
    ),
    found(
        "handling_fee",
        "A fee for accepting an urn from outside",
        where=DIRECT_CREMATION,
        order_by=NEWEST,
        record_key="I-{case}|91",
        changes=(
            add_line(
                "I", 91, "S99-ACCEPT", "other", "Outside urn acceptance", "1", "95.00", "95.00"
            ),
        ),
    ),
    silent(
        "handling_fee",
        "Handling of documents for the return of a person abroad",
        where="p.is_done and p.ending = 'shipped'",
        record_key="I-{case}|91",
        changes=(
            add_line(
                "I",
                91,
                "S98-AIR",
                "other",
                "Handling of documents for return of remains abroad",
                "1",
                "150.00",
                "150.00",
            ),
        ),
    ),
    silent(
        "handling_fee",
        "Handling of a person shipped by air",
        where="p.is_done and p.ending = 'shipped'",
        record_key="I-{case}|91",
        changes=(
            add_line(
                "I",
                91,
                "S98-AIR",
                "other",
                "Handling of a person shipped by air",
                "1",
                "150.00",
                "150.00",
            ),
        ),
    ),
    found(
        "list_price_changed",
        "A price of the list in force, raised in a later export",
        case_number="",
        record_key=_list_key("CEDAR", "S14-LIMOUSINE"),
        changes=(
            f"insert into earlier_prices select * replace ((price::decimal(18, 2) - 10)::varchar as price) "
            f"from price_lists where {_list('CEDAR', 'S14-LIMOUSINE')}",
        ),
    ),
    silent(
        "list_price_changed",
        "A price of the list in force, with fewer decimals before",
        case_number="",
        record_key=_list_key("CEDAR", "S13-HEARSE"),
        changes=(
            f"insert into earlier_prices select * replace (price::decimal(18, 1)::varchar as price) "
            f"from price_lists where {_list('CEDAR', 'S13-HEARSE')}",
        ),
    ),
)
