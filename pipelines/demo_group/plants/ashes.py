"""Plants of cremated remains that come from outside: brought alone by a family, or sent back."""

from pipelines.demo_group.plants.changes import add_event, drop_events, set_case, set_event
from pipelines.demo_group.plants.plant import NEWEST, Plant, found, silent

_CREMATION = (
    "p.is_done and p.ending = 'cremation' and not p.is_scattered_here and p.container_count = 1 "
    "and not p.has_effects and not p.has_embalming_charge and not p.is_embalmed"
)
#: Nothing of the person stays on record; what was packed is what the family brought.
_BROUGHT = (
    drop_events("sort_step not between 265 and 272"),
    set_event(
        265,
        action="'remains_received'",
        from_party="'family:KIN-{case}'",
        to_party="'CREM'",
        released_by="'family-1'",
        received_by="performed_by",
    ),
)

#: On the evening before the export, everything that is left but the remains of the chosen case.
_COUNT_OF_SHELVES = """
insert into custody_events by name
select
    'CNT-R-' || case_number as event_id, case_number,
    '2026-11-15T19:00-06:00' as occurred_at, '2026-11-15T19:40-06:00' as recorded_at,
    'counted' as action, 'CREM' as place_id, any_value(disc_number) as disc_number,
    'CNT-SHELVES-CREM' as document_number, 'CR-S1' as performed_by,
    getvariable('cut_off') - 300 as sort_minute, 900 as sort_step
from custody_events
where action = 'cremation_finished' or action like 'remains%'
group by case_number
having
    coalesce(sum(item_count::integer) filter (action = 'remains_packed'), 1)
    > coalesce(sum(item_count::integer) filter (action in ('remains_released', 'remains_scattered')), 0)
    and any_value(disc_number) is not null
    and bool_or(action = 'cremation_finished' or coalesce(to_party = 'CREM', false))
    and case_number <> '{case}'
"""
_DONOR = "p.is_done and p.ending = 'donation' and p.act < p.cut_off_minute - 30 * 1440"


def _sent_back(rule_code: str, note: str, *changes: str) -> Plant:
    """An anatomy institution cremated the donor, and sends the remains three weeks later."""
    returned = add_event(
        275,
        235,
        21 * 1440,
        "remains_received",
        from_party="to_party",
        to_party="'{home}'",
        place_id="'{home}'",
        disc_number="'D-0991' || lpad((hash('{case}') % 1000)::varchar, 3, '0')",
        item_count="'1'",
    )
    return silent(
        rule_code,
        note,
        where=_DONOR,
        order_by=NEWEST,
        record_key="{case}-275",
        changes=(returned, *changes),
    )


PLANTS = (
    _sent_back(
        "authorisation_missing",
        "Ashes of a donor come back from the institution, which has the papers of the cremation",
        set_case(
            cremation_authorised_at="null",
            medical_clearance_at="null",
            implant_present="null",
        ),
    ),
    silent(
        "chain_not_opened",
        "Cremated remains brought by a family, and handed on for interment",
        where=_CREMATION,
        order_by=NEWEST,
        record_key="{case}-265",
        changes=_BROUGHT,
    ),
    silent(
        "remains_without_cremation",
        "Cremated remains brought by a family, which are still here",
        where=_CREMATION + " and p.cremated > p.cut_off_minute - 100 * 1440",
        order_by=NEWEST,
        record_key="{case}-265",
        changes=(
            *_BROUGHT,
            drop_events("sort_step > 265"),
            set_case(case_status="'open'", closed_at="null"),
            add_event(
                266, 265, 30, "stored", storage_unit="'CREM-R8'", disc_number="disc_number"
            ),
        ),
    ),
    found(
        "remains_not_counted",
        "All shelves counted, and one container of remains not seen",
        where="p.ending = 'cremation' and p.packed < p.cut_off_minute - 3000 "
        "and p.remains_gone > p.cut_off_minute",
        order_by=NEWEST,
        record_key="{case}-260",
        changes=(_COUNT_OF_SHELVES,),
        only_small=True,
    ),
    silent(
        "remains_not_counted",
        "Remains that were handed out before the count",
        where=_CREMATION + " and p.remains_gone < p.cut_off_minute - 3000",
        order_by=NEWEST,
        record_key="{case}-270",
        only_small=True,
    ),
)
