"""Plants of people who cannot be where the record has them."""

from pipelines.demo_group.plants.changes import (
    add_event,
    band,
    drop_events,
    set_case,
    set_event,
    set_in,
)
from pipelines.demo_group.plants.plant import NEWEST, Effect, Plant, found, silent

# Two short stays at the care centre that overlap by more than a day; neither is embalmed, so each lies on one shelf once.
_NEIGHBOURS = (
    "p.is_done and q.is_done and p.lay_place = 'CARE' and q.lay_place = 'CARE' and not p.is_embalmed and not q.is_embalmed "
    "and p.shelf not like '%-L%' and q.shelf not like '%-L%'"
)
_SHELF = "(select shelf from profiles where case_number = '{case}')"
_CHAMBER = "(select chamber from profiles where case_number = '{case}')"
# No third cremation in the first one's chamber while the second burns.
_CHAMBER_FREE = (
    "not exists (select 1 from profiles as r where r.chamber = p.chamber and r.case_number not in (p.case_number, q.case_number) "
    "and r.act < q.cremated + 60 and r.cremated > q.act - 60)"
)
_COUNTED_ONCE = "p.is_done and p.lay_place = 'CARE' and p.count_number = 1"
_COUNT = "event_id = (select counted_event from profiles where case_number = '{case}')"
# People at a home by arrivals and departures, those of one minute netted.
_STAYS = """
    select place, minute, case_number, event_id, sum(step) over (partition by place order by minute) as people
    from (
        select
            coalesce(place_id, '') as place, sort_minute as minute, case_number, event_id, 1 as step
        from custody_events
        where action = 'arrived' and place_id in ('ALDER', 'BIRCH')
        union all
        select
            lag(place_id) over w, sort_minute, case_number, event_id, -1
        from custody_events
        where action in ('arrived', 'departed', 'released')
        window w as (partition by case_number order by sort_minute, sort_step)
        qualify lag(place_id) over w in ('ALDER', 'BIRCH')
    )
"""


def _peak(home: str, less: int) -> str:
    return set_in(
        "locations",
        f"location_id = '{home}'",
        capacity=f"(select (max(people) - {less})::integer::varchar from ({_STAYS}) where place = '{home}')",
    )


def _share_shelf() -> tuple[str, ...]:
    old = "(select shelf from profiles where case_number = '{other}')"
    return (
        set_in(
            "custody_events",
            f"case_number = '{{other}}' and storage_unit = {old}",
            storage_unit=_SHELF,
        ),
    )


def _share_chamber() -> str:
    return set_in(
        "custody_events", "event_id in ('{other}-255', '{other}-260')", storage_unit=_CHAMBER
    )


PLANTS: tuple[Plant, ...] = (
    found(
        "unit_contradicts",
        "Refrigerated in another shelf than the one that was written an hour before",
        where="p.is_done and p.ending = 'burial' and p.lay_place = 'CARE' and p.count_number = 0",
        record_key="{case}-50",
        changes=(set_event(50, storage_unit="'CARE-C99'"),),
    ),
    silent(
        "unit_contradicts",
        "Refrigerated without a word of the shelf",
        where="p.is_done and p.ending = 'burial' and p.lay_place = 'CARE' and p.count_number = 0",
        record_key="{case}-50",
        changes=(set_event(50, storage_unit="null"),),
    ),
    found(
        "storage_shared",
        "Two people on one shelf for a day",
        is_pair=True,
        case_number="{other}",
        record_key="{other}-45",
        where=_NEIGHBOURS + " and q.on_shelf > p.on_shelf + 60 and q.on_shelf < p.taken - 1440",
        changes=_share_shelf(),
    ),
    silent(
        "storage_shared",
        "The shelf used again within two days of being left",
        is_pair=True,
        case_number="{other}",
        record_key="{other}-45",
        where=_NEIGHBOURS
        + " and q.on_shelf between p.taken and p.taken + 2880 and q.taken < q.on_shelf + 21600",
        changes=(*_share_shelf(),),
    ),
    found(
        "chamber_shared",
        "A cremation begun before the one in that chamber had ended",
        is_pair=True,
        case_number="{other}",
        record_key="{other}-255",
        where="p.is_done and q.is_done and q.ending = 'cremation' and p.chamber <> q.chamber and q.act between p.act + 1 and p.cremated - 20 and "
        + _CHAMBER_FREE,
        changes=(_share_chamber(),),
    ),
    silent(
        "chamber_shared",
        "A cremation begun in the minute in which the one before ended",
        is_pair=True,
        case_number="{other}",
        record_key="{other}-255",
        where="p.is_done and q.is_done and q.ending = 'cremation' and p.chamber is not null and q.act between p.cremated and p.packed - 5 and "
        + _CHAMBER_FREE,
        changes=(
            _share_chamber(),
            set_event(
                260,
                occurred_at="instant_text((select act from profiles where case_number = '{other}'), 'America/Chicago')",
                recorded_at="instant_text((select act + 10 from profiles where case_number = '{other}'), 'America/Chicago')",
            ),
        ),
    ),
    found(
        "counted_elsewhere",
        "Counted at the crematory, and lying at the care centre",
        where="p.is_done and p.lay_place = 'CARE' and p.count_number = 1 and p.ending = 'burial'",
        record_key="(select counted_event from profiles where case_number = '{case}')",
        changes=(
            set_in(
                "custody_events",
                "case_number = '{case}' and action = 'counted'",
                place_id="'CREM'",
                storage_unit="null",
                document_number="replace(document_number, 'CARE', 'CREM')",
            ),
        ),
        also=(Effect("count_missed", "{case}", "{case}-30"),),
    ),
    silent(
        "counted_elsewhere",
        "Counted at the right place, the shelf not noted",
        where="p.is_done and p.lay_place = 'CARE' and p.count_number = 1",
        record_key="(select counted_event from profiles where case_number = '{case}')",
        changes=(
            set_in(
                "custody_events",
                "case_number = '{case}' and action = 'counted'",
                storage_unit="null",
            ),
        ),
    ),
    found(
        "count_missed",
        "In the cooler by the record, and on nobody's count",
        where=_COUNTED_ONCE,
        record_key="{case}-30",
        changes=(drop_events("action = 'counted'"),),
    ),
    found(
        "count_missed",
        "In the cooler by the record, and not seen on the last Sunday",
        where="p.ending = 'waiting' and p.lay_place = 'CARE'",
        record_key="{case}-30",
        changes=(drop_events("action = 'counted' and sort_minute > getvariable('cut_off') - 2880"),),
    ),
    silent(
        "count_missed",
        "Counted by the band alone",
        where=_COUNTED_ONCE,
        record_key="{case}-30",
        changes=(set_in("custody_events", _COUNT, case_number="null"),),
    ),
    found(
        "counted_unknown",
        "A band in the cooler that no case has",
        where=_COUNTED_ONCE,
        case_number="",
        record_key="{case}-399",
        changes=(
            add_event(
                399,
                30,
                0,
                "counted",
                case_number="null",
                place_id="'CARE'",
                band_number="'B-990077'",
                document_number=f"(select document_number from custody_events where {_COUNT})",
                occurred_at=f"(select occurred_at from custody_events where {_COUNT})",
                recorded_at=f"(select recorded_at from custody_events where {_COUNT})",
                sort_minute=f"(select sort_minute from custody_events where {_COUNT})",
            ),
        ),
    ),
    silent(
        "counted_unknown",
        "Counted by the band alone, the shelf not noted",
        where=_COUNTED_ONCE,
        case_number="",
        record_key="(select counted_event from profiles where case_number = '{case}')",
        changes=(set_in("custody_events", _COUNT, case_number="null", storage_unit="null"),),
    ),
    found(
        "receiver_not_chosen",
        "To be flown home, and handed to the anatomy board",
        where="p.ending = 'shipped' and p.is_done",
        record_key="{case}-235",
        changes=(
            set_event(
                235, to_party="'institution:ANATOMY-BOARD'", place_id="'institution:ANATOMY-BOARD'"
            ),
        ),
        also=(Effect("receiver_differs", "{case}", "{case}-235"),),
    ),
    silent(
        "receiver_not_chosen",
        "Given up to the firm that the family went to instead",
        where="p.ending = 'cancelled' and not p.is_never_received",
        record_key="{case}-235",
    ),
    found(
        "receiver_differs",
        "Fetched by a firm, and another firm is named",
        where="p.ending = 'trade' and p.is_done and p.origin like 'funeral_home:%'",
        record_key="{case}-235",
        changes=(set_case(named_receiver="'funeral_home:NEW-DAWN'"),),
    ),
    found(
        "receiver_differs",
        "Buried in another cemetery than the one that is named",
        where="p.ending = 'burial' and p.is_done",
        record_key="{case}-235",
        changes=(set_case(named_receiver="'cemetery:HILLSIDE'"),),
    ),
    found(
        "receiver_differs",
        "Cremated by us, and another crematory is named",
        where="p.ending = 'cremation' and p.is_done",
        record_key="{case}-255",
        changes=(set_case(named_receiver="'crematory:EVENFLAME'"),),
    ),
    silent(
        "receiver_differs",
        "Handed to the airline, the firm at the other end is named",
        where="p.ending = 'shipped' and p.is_done",
        record_key="{case}-235",
    ),
    silent(
        "receiver_differs",
        "Buried at the named cemetery, its code in small letters",
        where="p.ending = 'burial' and p.is_done",
        record_key="{case}-235",
        changes=(set_case(named_receiver="lower(named_receiver)"),),
    ),
    found(
        "no_movement",
        "Nobody looked for five weeks",
        where="p.ending = 'waiting' and p.cut_off_minute - p.refrigerated > 70000",
        record_key="(select arg_max(event_id, sort_minute) from custody_events where case_number = '{case}' and action <> 'counted')",
        changes=(
            drop_events("action = 'reviewed' and sort_minute > getvariable('cut_off') - 50400"),
        ),
    ),
    silent(
        "no_movement",
        "Waiting for months, reviewed every week",
        where="p.ending = 'waiting' and p.cut_off_minute - p.refrigerated > 70000",
    ),
    found(
        "over_capacity",
        "One more at the home than it can hold",
        case_number="",
        only_small=True,
        record_key=f"(select min(event_id) from ({_STAYS}) as stays where place = 'ALDER' and event_id like '%-210' "
        "and people > (select capacity::integer from locations where location_id = 'ALDER'))",
        changes=(_peak("ALDER", 1), _peak("BIRCH", 0)),
    ),
    silent(
        "over_capacity",
        "Full to the last place",
        case_number="",
        record_key="BIRCH",
        only_small=True,
    ),
    found(
        "counted_after_end",
        "Counted at the crematory a day after the cremation",
        where="p.ending = 'cremation' and p.is_done",
        order_by=NEWEST,
        record_key="{case}-262",
        changes=(
            add_event(262, 260, 1980, "counted", place_id="'CREM'", band_number=band()),
        ),
    ),
    found(
        "counted_after_end",
        "Counted at the home two days after the burial, no cemetery named",
        where="p.ending = 'burial' and p.is_done",
        order_by=NEWEST,
        record_key="{case}-237",
        changes=(
            add_event(237, 235, 2880, "counted", place_id="'ALDER'", band_number=band()),
        ),
    ),
    silent(
        "counted_after_end",
        "The remains counted by their disc",
        where="p.ending = 'cremation' and p.is_done",
        order_by=NEWEST,
        record_key="{case}-267",
        changes=(
            add_event(267, 265, 30, "counted", place_id="'CREM'", disc_number="disc_number"),
        ),
    ),
    found(
        "not_arrived",
        "Left the care centre, and arrived nowhere",
        where=(
            "p.taken > p.cut_off_minute and p.lay_place = 'CARE' and not p.is_embalmed and not p.has_hold "
            "and p.refrigerated between p.cut_off_minute - 6000 and p.cut_off_minute - 1600"
        ),
        record_key="{case}-92",
        changes=(
            drop_events("action = 'counted'"),
            add_event(91, 50, 30, "taken_out", place_id="'CARE'", band_number=band()),
            add_event(92, 50, 40, "departed", place_id="'vehicle:V7'", band_number=band()),
        ),
        also=(Effect("out_of_refrigeration", "{case}", "{case}-91"),),
    ),
    silent(
        "not_arrived",
        "Driven for twenty hours before the arrival",
        where="p.ending = 'burial' and p.is_done",
        order_by=NEWEST,
        record_key="{case}-25",
    ),
)
