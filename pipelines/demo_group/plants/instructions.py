"""Plants of acts that nobody chose, or not yet."""

from pipelines.demo_group.plants.changes import at_profile, set_case
from pipelines.demo_group.plants.plant import NEWEST, Plant, found, silent

_BURIAL = "p.is_done and p.ending = 'burial' and p.has_timed_papers"
_CREMATION = "p.is_done and p.ending = 'cremation' and p.has_timed_papers"
_IN_CARE = (
    "p.is_arranged and p.received < p.cut_off_minute and coalesce(p.act > p.cut_off_minute + 60, true)"
)

PLANTS: tuple[Plant, ...] = (
    found(
        "instruction_late",
        "The instruction that stands was given an hour after the burial",
        where=_BURIAL,
        record_key="{case}-235",
        changes=(set_case(instruction_given_at=at_profile("act", 60)),),
    ),
    silent(
        "instruction_late",
        "Instructed again an hour before the burial",
        where=_BURIAL,
        record_key="{case}-235",
        changes=(set_case(instruction_given_at=at_profile("act", -60)),),
    ),
    found(
        "instruction_missing",
        "Buried, and nobody wrote down what the family chose",
        where=_BURIAL,
        order_by=NEWEST,
        record_key="{case}-235",
        changes=(
            set_case(
                disposition_code="null", disposition_instruction="null", instruction_given_at="null"
            ),
        ),
    ),
    silent(
        "instruction_missing",
        "Burial on the case by its code alone",
        where=_BURIAL,
        order_by=NEWEST,
        record_key="{case}-235",
        changes=(set_case(disposition_instruction="null", instruction_given_at="null"),),
    ),
    found(
        "act_on_cancelled_case",
        "Buried by us, and cancelled by the record",
        where=_BURIAL,
        order_by=NEWEST,
        record_key="{case}-235",
        changes=(set_case(case_status="'cancelled'"),),
    ),
    silent(
        "act_on_cancelled_case",
        "Cancelled, and fetched by the other firm",
        where="p.ending = 'cancelled' and p.act < p.cut_off_minute - 4000 and not p.is_never_received",
        record_key="{case}",
    ),
    found(
        "disposition_unclear",
        "To be cremated, and burial by the code",
        where=_IN_CARE + " and p.ending = 'cremation'",
        record_key="{case}",
        changes=(set_case(disposition_code="'B'"),),
    ),
    silent(
        "disposition_unclear",
        "Removal from the state, and burial there",
        where=_IN_CARE + " and p.ending = 'burial'",
        record_key="{case}",
        changes=(set_case(disposition_code="'R'"),),
    ),
    found(
        "act_before_service",
        "Buried two days before the viewing",
        where=_BURIAL,
        order_by=NEWEST,
        record_key="{case}-235",
        changes=(set_case(service_kind="'viewing'", service_at=at_profile("act", 2880)),),
    ),
    found(
        "act_before_service",
        "Cremated three hours before the family came to witness it",
        where=_CREMATION,
        order_by=NEWEST,
        record_key="{case}-255",
        changes=(set_case(service_kind="'witness_cremation'", service_at=at_profile("act", 180)),),
    ),
    silent(
        "act_before_service",
        "A witnessed cremation that began half an hour before its time",
        where=_CREMATION,
        order_by=NEWEST,
        record_key="{case}-255",
        changes=(set_case(service_kind="'witness_cremation'", service_at=at_profile("act", 30)),),
    ),
)
