"""Plants of one paper, or one person, on two cases."""

from pipelines.demo_group.plants.changes import set_case
from pipelines.demo_group.plants.plant import Plant, found, silent

_BURIED = "p.is_done and p.ending = 'burial'"
#: Two people of two homes who died on one day, neither of whom is here any more.
_ONE_DAY = (
    "p.is_done and q.is_done and p.is_embalmed and q.is_embalmed and p.home <> q.home and local_date(p.died, p.zone) = local_date(q.died, q.zone) "
    "and p.first_call > q.first_call and not p.is_unidentified and not q.is_unidentified and p.ending = 'burial' "
    "and q.ending = 'burial' and p.act < p.cut_off_minute - 60000 and q.act < p.cut_off_minute - 60000"
)


def _as_the_other(*columns: str) -> str:
    """The case says of the person what the other case says."""
    other = "(select {0} from cases where case_number = '{{other}}')"
    return set_case(**{column: other.format(column) for column in columns})


_OTHER_PERMIT = "(select permit_number from cases where case_number = '{other}')"

PLANTS: tuple[Plant, ...] = (
    found(
        "permit_on_two_people",
        "The permit of somebody buried the week before",
        where=_BURIED + " and q.is_done and q.home = p.home and q.ending = 'burial' "
        "and q.permitted between p.permitted - 20000 and p.permitted - 3000",
        is_pair=True,
        order_by="p.case_number desc, q.case_number",
        record_key="{case}",
        changes=(set_case(permit_number=_OTHER_PERMIT),),
    ),
    silent(
        "permit_on_two_people",
        "The same number three months later",
        where=_BURIED + " and q.is_done and q.home = p.home and q.ending = 'burial' "
        "and q.permitted < p.permitted - 130000",
        is_pair=True,
        order_by="p.case_number desc, q.case_number",
        record_key="{case}",
        changes=(set_case(permit_number=_OTHER_PERMIT),),
    ),
    found(
        "person_on_two_cases",
        "One person, taken in by two homes",
        where=_ONE_DAY,
        is_pair=True,
        order_by="p.case_number desc, q.case_number",
        record_key="{case}",
        changes=(_as_the_other("family_name", "given_name", "date_of_birth"),),
    ),
    silent(
        "person_on_two_cases",
        "Twins who died on one day",
        where=_ONE_DAY,
        is_pair=True,
        order_by="p.case_number desc, q.case_number",
        record_key="{case}",
        changes=(_as_the_other("family_name", "date_of_birth"),),
    ),
)
