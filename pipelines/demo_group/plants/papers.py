"""Plants of acts without their papers first."""

from pipelines.demo_group.plants.changes import (
    at_profile,
    day_of_profile,
    drop_events,
    of_case,
    set_case,
    set_in,
)
from pipelines.demo_group.plants.plant import NEWEST, Effect, Plant, found, silent

_BURIAL = "p.is_done and p.ending = 'burial' and p.has_timed_papers"
_CREMATION = "p.is_done and p.ending = 'cremation' and p.has_timed_papers"
# Embalmed and not charged for by name, so that no price rule fires beside the paper.
_FORWARDED = "p.is_done and p.ending in ('shipped', 'trade') and p.has_timed_papers"
_EMBALMED = "p.is_done and p.has_embalming_charge and p.has_timed_papers and p.ending = 'burial'"
_LONG_IN_COLORADO = "p.is_done and p.ending = 'burial' and p.has_timed_papers and p.time_known and p.home = 'CEDAR' and p.act > p.died + 7500"
# A quick cremation: arranged on the day after the death, nothing to prepare, laid at the care centre.
_QUICK = (
    "p.is_done and p.ending = 'cremation' and not p.has_home_service and p.lay_place = 'CARE' and not p.is_examined "
    "and not p.has_hold and p.arranged < p.died + 1700 and p.act > p.died + 4400 and p.time_known"
)


def _sooner(hours: int) -> tuple[str, ...]:
    """The cremation so many hours after death, its papers before it, in a chamber of its own."""
    minutes = hours * 60
    by = f"(select died + {minutes} - act from profiles where case_number = '{{case}}')"
    return (
        drop_events(
            f"sort_step >= 100 and sort_step not between 200 and 299 and sort_minute > {of_case('taken')} + {by} - 60"
        ),
        set_in(
            "custody_events",
            "case_number = '{case}' and sort_step between 200 and 265",
            occurred_at=f"moved(occurred_at, {by})",
            recorded_at=f"moved(recorded_at, {by})",
            sort_minute=f"sort_minute + {by}",
        ),
        set_in(
            "custody_events",
            "case_number = '{case}' and sort_step in (255, 260)",
            storage_unit="'CREM-9'",
        ),
        set_case(
            certificate_signed_at=at_profile("died", 1300),
            certificate_filed_at=at_profile("died", 1450),
            permit_issued_at=at_profile("died", 1560),
            medical_clearance_at=at_profile("died", 1600),
        ),
    )


PLANTS: tuple[Plant, ...] = (
    found(
        "permit_missing",
        "Buried without a permit",
        where=_BURIAL,
        record_key="{case}-235",
        changes=(set_case(permit_number="null", permit_issued_at="null"),),
    ),
    found(
        "permit_missing",
        "Handed to the airline without a permit",
        where="p.ending = 'shipped' and p.is_done and p.home <> 'CEDAR'",
        record_key="{case}-235",
        changes=(set_case(permit_number="null", permit_issued_at="null"),),
    ),
    silent(
        "permit_missing",
        "Another firm's person, given back to it without a permit of ours",
        where="p.ending = 'trade' and p.is_done and p.home <> 'CEDAR'",
        record_key="{case}-235",
        changes=(set_case(permit_number="null", permit_issued_at="null"),),
    ),
    silent(
        "permit_missing",
        "A permit issued an hour before the burial",
        where=_BURIAL,
        record_key="{case}-235",
        changes=(set_case(permit_issued_at=at_profile("act", -60)),),
    ),
    found(
        "permit_late",
        "A permit issued ninety minutes after the burial",
        where=_BURIAL,
        record_key="{case}-235",
        changes=(set_case(permit_issued_at=at_profile("act", 90)),),
        also=(Effect("step_negative", "{case}", "{case}"),),
    ),
    silent(
        "permit_late",
        "A permit issued in the minute before the burial",
        where=_BURIAL,
        record_key="{case}-235",
        changes=(set_case(permit_issued_at=at_profile("act", -1)),),
    ),
    found(
        "paper_before_death",
        "A clearance of a day before the death",
        where=_CREMATION,
        order_by=NEWEST,
        record_key="{case}",
        changes=(set_case(medical_clearance_at=day_of_profile("died", -1)),),
    ),
    found(
        "paper_before_death",
        "A device taken out six years before the death, by the record",
        where=_CREMATION,
        order_by=NEWEST,
        record_key="{case}",
        changes=(set_case(implant_present="'Y'", implant_removed_at="'2020-02-03'"),),
    ),
    silent(
        "paper_before_death",
        "Cremation authorised by the person, years before",
        where=_CREMATION,
        order_by=NEWEST,
        record_key="{case}",
        changes=(set_case(cremation_authorised_at="'2019-05-06'"),),
    ),
    found(
        "permit_overdue",
        "A permit three hours after the five days of the house rule",
        where=_LONG_IN_COLORADO,
        record_key="{case}",
        changes=(set_case(permit_issued_at=at_profile("died", 7380)),),
    ),
    silent(
        "permit_overdue",
        "A permit in the last minute of the five days",
        where=_LONG_IN_COLORADO,
        record_key="{case}",
        changes=(set_case(permit_issued_at=at_profile("died", 7200)),),
    ),
    found(
        "authorisation_missing",
        "Cremated without an authorisation",
        where=_CREMATION,
        record_key="{case}-255",
        changes=(set_case(cremation_authorised_at="null"),),
    ),
    silent(
        "authorisation_missing",
        "Authorised at the arrangement",
        where=_CREMATION,
        record_key="{case}-255",
    ),
    found(
        "authorisation_late",
        "Authorised half an hour after the cremation began",
        where=_CREMATION,
        record_key="{case}-255",
        changes=(set_case(cremation_authorised_at=at_profile("act", 30)),),
    ),
    silent(
        "authorisation_late",
        "Authorised an hour before the cremation began",
        where=_CREMATION,
        record_key="{case}-255",
        changes=(set_case(cremation_authorised_at=at_profile("act", -60)),),
    ),
    found(
        "clearance_missing",
        "Cremated without medical clearance",
        where=_CREMATION,
        record_key="{case}-255",
        changes=(set_case(medical_clearance_at="null"),),
    ),
    found(
        "clearance_missing",
        "Cleared an hour after the cremation began",
        where=_CREMATION,
        record_key="{case}-255",
        changes=(set_case(medical_clearance_at=at_profile("act", 60)),),
    ),
    silent(
        "clearance_missing",
        "Cleared ten minutes before the cremation began",
        where=_CREMATION,
        record_key="{case}-255",
        changes=(set_case(medical_clearance_at=at_profile("act", -10)),),
    ),
    found(
        "implant_unanswered",
        "Nobody asked about an implant",
        where=_CREMATION,
        record_key="{case}-255",
        changes=(set_case(implant_present="null", implant_removed_at="null"),),
    ),
    found(
        "implant_unanswered",
        "An implant, and nobody took it out",
        where=_CREMATION,
        record_key="{case}-255",
        changes=(set_case(implant_present="'Y'", implant_removed_at="null"),),
    ),
    silent(
        "implant_unanswered",
        "An implant, taken out the day before",
        where=_CREMATION,
        record_key="{case}-255",
        changes=(set_case(implant_present="'Y'", implant_removed_at=at_profile("act", -1440)),),
    ),
    found(
        "embalmed_without_permission",
        "Embalmed, and nobody had approved",
        where=_FORWARDED,
        record_key="{case}-70",
        changes=(set_case(embalming_approved_at="null", embalming_approved_by="null"),),
    ),
    silent(
        "embalmed_without_permission",
        "Approved ten minutes before it began",
        where=_FORWARDED,
        record_key="{case}-70",
        changes=(set_case(embalming_approved_at=at_profile("embalming_started", -10)),),
    ),
    found(
        "embalming_charged_unapproved",
        "Approved an hour after it began, and charged",
        where=_EMBALMED,
        changes=(set_case(embalming_approved_at=at_profile("embalming_started", 60)),),
        also=(Effect("embalmed_without_permission", "{case}", "{case}-70"),),
    ),
    silent(
        "embalming_charged_unapproved",
        "Approved a minute before it began, and charged",
        where=_EMBALMED,
        changes=(set_case(embalming_approved_at=at_profile("embalming_started", -1)),),
    ),
    found(
        "paper_not_provable",
        "A permit of the day of the burial, without a time",
        where=_BURIAL,
        record_key="{case}-235",
        changes=(set_case(permit_issued_at=day_of_profile("act", 0)),),
    ),
    silent(
        "paper_not_provable",
        "A permit of the day before the burial, without a time",
        where=_BURIAL,
        record_key="{case}-235",
        changes=(set_case(permit_issued_at=day_of_profile("act", -1)),),
    ),
    found(
        "waiting_period_short",
        "Cremated 46 hours after death, where 48 are the law",
        where=_QUICK,
        record_key="{case}-255",
        changes=_sooner(46),
    ),
    silent(
        "waiting_period_short",
        "Cremated 49 hours after death, where 48 are the law",
        where=_QUICK,
        record_key="{case}-255",
        changes=_sooner(49),
    ),
    found(
        "certificate_filed_late",
        "Filed on the twelfth day, where ten are the law",
        where=_BURIAL + " and p.home <> 'CEDAR' and p.time_known",
        record_key="{case}",
        changes=(set_case(certificate_filed_at=at_profile("died", 12 * 1440)),),
    ),
    silent(
        "certificate_filed_late",
        "Filed on the tenth day, where ten are the law",
        where=_BURIAL + " and p.home <> 'CEDAR' and p.time_known",
        record_key="{case}",
        changes=(set_case(certificate_filed_at=at_profile("died", 10 * 1440 - 30)),),
    ),
)
