"""Tables of findings and of rules."""

from reports import words
from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing, mart
from reports.warehouse import Warehouse, literal

#: Rows on the page by severity; all are in the downloads.
SHOWN = {"critical": 120, "major": 120, "minor": 60, "info": 30}

_COLUMNS = (
    Column("finding_number", "No.", Kind.LINE),
    Column("case_number", "Case", Kind.CASE, empty="[z]"),
    Column("rule_code", "Finding", Kind.CODE),
    Column("place", "Place, and the person's"),
    Column("occurred_at", "When", Kind.INSTANT, zone_by="location_id", day_by="is_day"),
    Column("detail", "What the records show", is_main=True),
    Column("record", "File and line"),
    Column("mend", "What to do, and who", is_main=True),
    Column("answer", "Since, and answer", Kind.PERSON),
)
_SEVERITY = Column("severity", "Severity", Kind.MARK)
#: Where somebody is now; nobody in care has no place.
_PERSON_AT = Column("person_place_id", "Person is at", empty="[z]")


def is_day(table: str) -> str:
    """SQL: the finding's instant is the day of a document, which stands as its midnight."""
    return f"""coalesce({table}.occurred_at = date_trunc('day', {table}.occurred_at)
        and {table}.rule_code in (select rule_code from quality.rules where is_dated_by_day), false)
        as is_day"""


def _sql(condition: str) -> str:
    return f"""select finding_number, case_number, rule_code, family, severity, location_id,
    person_place_id, other_case_number, other_person_place_id,
    nullif(concat_ws('; ', case location_id when '(group)' then 'all homes' else location_id end,
        'person at ' || nullif(person_place_id, coalesce(location_id, '')),
        'the other at ' || nullif(other_person_place_id, coalesce(location_id, ''))), '') as place,
    occurred_at, {is_day("findings")}, detail,
    measured_value, limit_value, value_unit,
    case
        when file_id_a = file_id_b and line_a <> line_b
            then file_name_a || ' lines ' || line_a || ' and ' || line_b
        else file_name_a || ' line ' || line_a
            || coalesce('; ' || file_name_b || ' line ' || line_b, '')
    end as record,
    says, mend || ' (' || mended_by || ')' as mend, mended_by, act_within, source, finding_key,
    first_seen_at::date as first_seen, answer_state, decision, decided_by, decision_reason,
    answer_expires_on,
    first_seen_at::date || coalesce('. '
        || case answer_state when 'answer expired' then 'Expired: ' else '' end
        || replace(decision, '_', ' ') || ' until ' || answer_expires_on || ' (' || decided_by
        || '): ' || decision_reason, '') as answer
from marts.findings
where {condition}
order by answer_state = 'answered', occurred_at desc nulls last, case_number, rule_code,
    finding_key"""


def severity_table(warehouse: Warehouse, severity: str) -> Listing:
    ran = warehouse.count(
        "select count(*) from marts.rule_states where effect = 'reported' "
        f"and severity = {literal(severity)} and state <> 'not checked'"
    )
    return Listing(
        severity,
        f"{severity.capitalize()} findings, newest first",
        _sql(f"severity = {literal(severity)}"),
        _COLUMNS,
        source=mart("findings"),
        none=State(Mark.CHECKED, f"{ran} {severity} checks ran. None found anything."),
        shown=SHOWN[severity],
        personal=("decision_reason", "decided_by"),
    )


#: Days from which an open finding is past the time in which its severity asks for an act.
_PAST = "case severity when 'critical' then 0 when 'major' then 1 when 'minor' then 7 end"


def age_table(warehouse: Warehouse) -> Listing:
    """Open findings by severity and days since a run first showed them."""
    return Listing(
        "age",
        "Open findings by severity and age",
        f"""with aged as (
    select severity, first_seen_at,
        date_diff('day', first_seen_at::date, {literal(warehouse.as_of)}::date) as days
    from marts.findings
    where answer_state <> 'answered'
)
select severity, count(*)::bigint as open_count,
    count(*) filter (where days < 1)::bigint as today,
    count(*) filter (where days between 1 and 7)::bigint as week,
    count(*) filter (where days between 8 and 30)::bigint as month,
    count(*) filter (where days > 30)::bigint as older,
    count(*) filter (where days > {_PAST})::bigint as past,
    min(first_seen_at)::date as oldest
from aged
group by severity
order by case severity when 'critical' then 0 when 'major' then 1 when 'minor' then 2 else 3 end""",
        (
            _SEVERITY,
            Column("open_count", "Open", Kind.NUMBER),
            Column("today", "New today", Kind.NUMBER),
            Column("week", "1 to 7 days", Kind.NUMBER),
            Column("month", "8 to 30 days", Kind.NUMBER),
            Column("older", "Over 30 days", Kind.NUMBER),
            Column("past", "Past their time", Kind.NUMBER),
            Column("oldest", "Oldest since", Kind.DAY),
        ),
        source=mart("findings"),
        none=State(Mark.CHECKED, "No finding is open."),
        note="Age counts from the run that first showed the finding. Past their time: critical "
        "ones after their first day, major ones after one day more, minor ones after the week.",
    )


def place_table(place: str, name: str) -> Listing:
    """The findings of one place, most severe first, then the oldest."""
    return Listing(
        "findings",
        f"Findings of {name}",
        _oldest_first(f"location_id = {literal(place)}"),
        (*_COLUMNS[:2], _SEVERITY, _COLUMNS[2], _PERSON_AT, *_COLUMNS[4:]),
        source=mart("findings"),
        none=State(Mark.CHECKED, "No check found anything here."),
        personal=("decision_reason", "decided_by"),
        shown=120,
    )


def of_people_at(place: str) -> str:
    """SQL: open findings of other places, one of whose people is at this one."""
    return f"""answer_state <> 'answered' and location_id is distinct from {literal(place)}
    and finding_key in (
        select finding_key from marts.finding_people where place_id = {literal(place)}
    )"""


def people_table(place: str, name: str) -> Listing:
    """What stands open about people who are at a place and under another in the list."""
    return Listing(
        "people-here",
        f"Open about people who are at {name}, and of another place",
        _oldest_first(of_people_at(place)),
        (*_COLUMNS[:2], _SEVERITY, *_COLUMNS[2:]),
        source=mart("findings"),
        none=State(
            Mark.CHECKED, "No finding of another place is open about anybody who is here."
        ),
        note="Findings stand under the arranging home; whoever has the person can look.",
        personal=("decision_reason", "decided_by"),
        shown=120,
    )


def named_table(people: str, severities: str) -> Listing:
    """What is to be done about the findings that a list of people names by their numbers.

    ``people``: statement of the case numbers; ``severities``: which of their open findings, as a
    list of SQL.
    """
    return Listing(
        "named",
        "The findings named above, and what to do",
        f"""select distinct f.finding_number, p.case_number, f.severity, f.rule_code, f.detail,
    f.mend || ' (' || f.mended_by || ', ' || f.act_within || ')' as mend_and_who, f.finding_key
from marts.finding_people as p
inner join marts.findings as f on p.finding_key = f.finding_key
where f.answer_state <> 'answered' and f.severity in {severities}
    and p.case_number in ({people})
order by f.finding_number, p.case_number""",
        (
            *_COLUMNS[:2],
            _SEVERITY,
            _COLUMNS[2],
            Column("detail", "What the records show", is_main=True),
            Column("mend_and_who", "What to do, who, how soon", is_main=True),
        ),
        source=mart("findings"),
        none=State(Mark.CHECKED, "No finding is named above."),
        note="A finding of two people stands once for each of them.",
        shown=60,
    )


def _oldest_first(condition: str) -> str:
    return _sql(condition).replace(
        "occurred_at desc nulls last",
        "case severity when 'critical' then 0 when 'major' then 1 when 'minor' then 2 else 3 end, "
        "first_seen_at, occurred_at nulls last",
    )


def rule_table(rule_code: str) -> Listing:
    """What one rule found, newest first."""
    return Listing(
        "findings",
        f"Findings of the rule: {words.plain(rule_code)}",
        _sql(f"rule_code = {literal(rule_code)}"),
        (*_COLUMNS[:2], *_COLUMNS[3:]),
        source=mart("findings"),
        none=State(Mark.CHECKED, "This rule found nothing."),
        personal=("decision_reason", "decided_by"),
        shown=120,
    )


def changes_table() -> Listing:
    return Listing(
        "changes",
        "What the run before did not show",
        f"""select finding_number, change_kind, severity, rule_code, case_number, location_id,
    occurred_at, {is_day("finding_changes")}, detail, closed_by, first_seen_at::date as first_seen
from marts.finding_changes
order by case change_kind when 'came back' then 0 when 'new' then 1 else 2 end,
    case severity when 'critical' then 0 when 'major' then 1 when 'minor' then 2 else 3 end,
    finding_number""",
        (
            _COLUMNS[0],
            Column("change_kind", "Since the last run", Kind.CODE),
            _SEVERITY,
            *_COLUMNS[1:3],
            Column("location_id", "Place", Kind.PLACE),
            Column("closed_by", "Closed by", empty="[z]"),
            Column("first_seen", "Since", Kind.DAY),
        ),
        source=mart("finding_changes"),
        none=State(Mark.CHECKED, "No finding is new, none came back and none closed."),
        shown=80,
    )


def answers_table() -> Listing:
    return Listing(
        "answers",
        "Answers and what became of them",
        """select finding_number, answer_state, rule_code, case_number, decision, decided_by,
    decided_on, expires_on, reason
from marts.finding_answers
order by answer_state = 'answered', finding_number""",
        (
            _COLUMNS[0],
            Column("answer_state", "State", Kind.CODE),
            Column("rule_code", "Finding", Kind.CODE, empty="[z]"),
            _COLUMNS[1],
            Column("decision", "Decision", Kind.CODE),
            Column("decided_by", "By", Kind.PERSON),
            Column("decided_on", "On", Kind.DAY),
            Column("expires_on", "Last day", Kind.DAY),
            Column("reason", "Reason", Kind.PERSON),
        ),
        source=mart("finding_answers"),
        none=State(
            Mark.CHECKED,
            "Nobody answered a finding. An answer is a row of a finding_answers file.",
        ),
        note="An answer does not close a finding: a record does. After its last day the finding "
        "stands open again.",
    )


def family_table(
    warehouse: Warehouse, families: tuple[str, ...], caption: str, condition: str = ""
) -> Listing:
    """The findings of some families, most severe first, for the page of their subject;
    ``condition`` where that is not all of them and no other."""
    among = "(" + ", ".join(literal(f) for f in families) + ")"
    ran, all_rules = warehouse.rows(
        "select count(*) filter (where state <> 'not checked'), count(*) from marts.rule_states "
        f"where family in {among}"
    )[0]
    sql = _sql(condition or f"family in {among}").replace(
        "order by answer_state",
        "order by case severity when 'critical' then 0 when 'major' then 1 when 'minor' then 2 "
        "else 3 end, answer_state",
    )
    none = (
        State(Mark.CHECKED, f"{ran} checks ran. None found anything.")
        if ran == all_rules
        else State(
            Mark.PARTLY,
            f"{ran} of {all_rules} checks ran and found nothing; the others could not run.",
        )
    )
    return Listing(
        "findings",
        caption,
        sql,
        (*_COLUMNS[:2], _SEVERITY, *_COLUMNS[2:]),
        source=mart("findings"),
        none=none,
    )
