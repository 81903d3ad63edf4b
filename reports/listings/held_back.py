"""Tables of what is held back: what to mend, by whom, and what to send to which place."""

from collections.abc import Mapping

from reports import words
from reports.marks import Mark, State
from reports.names import file_name
from reports.tables import Column, Kind, Listing, mart
from reports.warehouse import Warehouse, literal

_SEVERITY = """case r.severity when 'critical' then 0 when 'major' then 1 when 'minor' then 2
    else 3 end"""


def rules_held_table(pages: Mapping[str, str]) -> Listing:
    """``pages``: rule -> the page of the records that it names."""
    return Listing(
        "by-rule",
        "Held back, by rule",
        f"""select h.rule_code, max(h.severity) as severity,
    sum(h.record_count)::bigint as record_count,
    count(distinct h.file_name) as file_count, max(r.says) as says, max(r.mend) as mend,
    max(r.mended_by) as mended_by
from marts.held_back as h
left join quality.rules as r on h.rule_code = r.rule_code
group by h.rule_code, {_SEVERITY}
order by {_SEVERITY}, record_count desc, h.rule_code""",
        (
            Column("rule_code", "Rule", Kind.CODE, links=pages),
            Column("severity", "Severity", Kind.MARK),
            Column("record_count", "Records", Kind.NUMBER),
            Column("file_count", "Files", Kind.NUMBER),
            Column("says", "What it says"),
            Column("mend", "How to mend"),
            Column("mended_by", "By"),
        ),
        source=mart("held_back"),
        none=State(Mark.CHECKED, "Every record was read and checked. None is held back."),
        note="A record that breaks two rules stands under both.",
    )


def _rejects(condition: str) -> str:
    return f"""select case_number, rule_code, severity, feed, file_name, line, column_name, value,
    detail,
    record_key, says, mend, mended_by
from quality.rejects_explained as r
where {condition}
order by {_SEVERITY}, rule_code, file_name, line, column_name, detail"""


def _to_mend(condition: str) -> str:
    """One line for each thing to mend, what frees most records first."""
    return f"""select case_number, rule_codes, severity, records, values_found, detail, mended_by,
    mend, mend || ' (' || mended_by || ')' as mend_and_who, waiting_count
from marts.held_back_to_mend as r
where {condition}
order by {_SEVERITY}, waiting_count desc, rule_codes, case_number, records, detail"""


#: How many more records are accepted once the one is mended.
_WAITING = Column("waiting_count", "More that wait for it", Kind.NUMBER)


def to_mend_table() -> Listing:
    """All that is held back, one line for each thing to mend; the files have each record."""
    return Listing(
        "records",
        "What to mend, most severe first",
        _rejects("true"),
        (
            Column("case_number", "Case", Kind.CASE, empty="[z]"),
            Column("rule_codes", "Rule", Kind.CODE),
            Column("severity", "Severity", Kind.MARK),
            Column("records", "File, line and column"),
            Column("values_found", "Value", Kind.PERSON, empty="[z]"),
            Column("detail", "What is wrong", is_main=True),
            Column("mend_and_who", "How to mend, and who", is_main=True),
            _WAITING,
        ),
        source=mart("held_back_to_mend"),
        none=State(Mark.CHECKED, "Every record was read and checked. None is held back."),
        note="A broken chain of custody is one line: mend the record that it names, and the others "
        "of the case are accepted with it. The line is the one that an editor shows. Mend the "
        "record where it was made, export again, and run again; do not edit the file. A "
        "record with two faults has two rows in the download.",
        personal=("value", "record_key"),
        grouped=_to_mend("true"),
    )


def rejects_table(rule_code: str) -> Listing:
    """Every held-back record that a rule names, with its reason."""
    return Listing(
        "records",
        f"Held back by the rule: {words.plain(rule_code)}",
        _rejects(f"rule_code = {literal(rule_code)}"),
        (
            Column("case_number", "Case", Kind.CASE, empty="[z]"),
            Column("rule_code", "Rule", Kind.CODE),
            Column("severity", "Severity", Kind.MARK),
            Column("file_name", "File"),
            Column("line", "Line", Kind.LINE),
            Column("column_name", "Column", Kind.ID, empty="[z]"),
            Column("value", "Value", Kind.PERSON, empty="[z]"),
            Column("detail", "What is wrong", is_main=True),
        ),
        source="quality.rejects",
        none=State(Mark.CHECKED, "Every record was read and checked. None is held back."),
        note="The line is the one that an editor shows. Mend the record where it was made, export "
        "again, and run again; do not edit the file.",
        shown=100,
        personal=("value", "record_key"),
    )


def send_back_tables(warehouse: Warehouse) -> tuple[Listing, ...]:
    """One list for each place that has something to mend; its files hold that place's records
    alone."""
    places = [
        row[0]
        for row in warehouse.rows(
            "select location_id from marts.held_back_records group by location_id "
            "order by location_id nulls last"
        )
    ]
    return tuple(
        _send_back_table(
            "send-back", "no place that is named", "location_id is null", _NOBODY_NAMED
        )
        if place is None
        else _send_back_table(
            f"send-back-{file_name(str(place))}",
            warehouse.name_of(str(place)),
            f"location_id = {literal(str(place))}",
            _OF_THE_GROUP if place == "(group)" else _OF_A_PLACE,
        )
        for place in places
    )


_OF_A_PLACE = "The file below holds the records of this place alone: send it to nobody else."
_OF_THE_GROUP = (
    "Records of lists that all places share: whoever keeps the list for the group mends it."
)
_NOBODY_NAMED = (
    "These records name no place. Whoever sent the file finds out whose they are; until then send "
    "this list to no home."
)


def _send_back_table(slug: str, named: str, condition: str, note: str) -> Listing:
    return Listing(
        slug,
        f"To {'the ' if named == 'whole group' else ''}{named}",
        f"""select mended_by, rule_code, severity, feed, file_name, line, case_number, record_key,
    column_name, value, detail, mend, act_within
from marts.held_back_records as r
where {condition}
order by {_SEVERITY}, mended_by, rule_code, file_name, line, column_name, detail""",
        (
            Column("mended_by", "Who mends"),
            Column("rule_codes", "Rule", Kind.CODE),
            Column("severity", "Severity", Kind.MARK),
            Column("records", "File, line and column"),
            Column("case_number", "Case", Kind.CASE, empty="[z]"),
            Column("mend", "How to mend"),
            _WAITING,
        ),
        source=mart("held_back_records"),
        none=State(Mark.CHECKED, "None is held back."),
        note=note,
        shown=8,
        personal=("value", "record_key"),
        grouped=_to_mend(condition),
    )
