"""Tables of files, of what was held back, and of notes."""

from collections.abc import Mapping

from reports import words
from reports.marks import Mark, State
from reports.names import file_name
from reports.tables import Column, Kind, Listing, mart
from reports.warehouse import Warehouse, literal

#: Files that came with the drop; reference tables shipped with the program bear 1970 as their date.
GIVEN = "(exported_at is null or exported_at > timestamp '1970-01-01')"
_ACCOUNT = f"""select file_name, feed, coalesce(records_read, 0) as records_read, accepted,
    held_back,
    unreadable, repeated, replaced, vanished, total_lines, header_lines, blank_lines, record_lines,
    unreadable_lines, set_aside, loaded_at
from quality.file_accounts
where {GIVEN}
order by set_aside nulls last, feed, file_name, loaded_at"""

_SEVERITY = """case r.severity when 'critical' then 0 when 'major' then 1 when 'minor' then 2
    else 3 end"""


def files_table(warehouse: Warehouse) -> Listing:
    counts = ("records_read", "accepted", "held_back", "unreadable", "repeated", "replaced",
              "vanished")
    return Listing(
        "files",
        "Each file and what became of its records",
        _ACCOUNT,
        (
            Column("file_name", "File"),
            Column("feed", "Kind", Kind.CODE, empty="not known"),
            Column("records_read", "Records read", Kind.NUMBER),
            Column("accepted", "Accepted", Kind.NUMBER),
            Column("held_back", "Held back", Kind.NUMBER),
            Column("unreadable", "Unreadable", Kind.NUMBER),
            Column("repeated", "Repeated", Kind.NUMBER),
            Column("replaced", "Replaced", Kind.NUMBER),
            Column("vanished", "Vanished", Kind.NUMBER),
        ),
        source="quality.file_accounts",
        none=State(Mark.NOT_CHECKED, "No file was read."),
        note="Read = accepted + held back + unreadable + repeated + replaced + vanished, in every "
        "row. Reference tables that came with the program are not listed.",
        totals=warehouse.totals(_ACCOUNT, dict.fromkeys(counts, 0)),
    )


def set_aside_table() -> Listing:
    return Listing(
        "set-aside",
        "Files set aside whole",
        """select file_name, feed, set_aside, total_lines
from quality.file_accounts
where set_aside is not null
order by file_name""",
        (
            Column("file_name", "File"),
            Column("feed", "Kind", Kind.CODE, empty="not known"),
            Column("set_aside", "Why"),
            Column("total_lines", "Lines", Kind.NUMBER),
        ),
        source="quality.file_accounts",
        none=State(Mark.CHECKED, "No file is set aside."),
    )


def later_table() -> Listing:
    return Listing(
        "later",
        "Dated after the instant of this run, and in no figure",
        """select file_name, feed, later_count, amount_later
from marts.control_totals
where later_count > 0
order by file_name""",
        (
            Column("file_name", "File"),
            Column("feed", "Kind", Kind.CODE),
            Column("later_count", "Records", Kind.NUMBER),
            Column("amount_later", f"Amount ({words.CURRENCY})", Kind.NUMBER, 2, empty="[z]"),
        ),
        source=mart("control_totals"),
        none=State(Mark.CHECKED, "No record is dated after the instant of this run."),
        note="Expected where this run tells of an earlier instant. Else their dates, or the "
        "instant of the run, are wrong.",
    )


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


def held_by_file_table() -> Listing:
    return Listing(
        "held",
        "Held back, by kind of file and rule",
        """select feed, rule_code, severity, file_name, record_count
from marts.held_back as r
order by feed, record_count desc, rule_code, file_name""",
        (
            Column("feed", "Kind", Kind.CODE),
            Column("rule_code", "Rule", Kind.CODE),
            Column("severity", "Severity", Kind.MARK),
            Column("file_name", "File"),
            Column("record_count", "Records", Kind.NUMBER),
        ),
        source=mart("held_back"),
        none=State(Mark.CHECKED, "Every record was read and checked. None is held back."),
    )


def corrections_table() -> Listing:
    """The group's corrections of known source errors and what became of each."""
    return Listing(
        "corrections",
        "Corrected by the group's own decision",
        """select state, file_name, record_key, column_name, was, becomes, reason, decided_by,
    expires_on, detail, of_line
from quality.corrections
order by state = 'applied', state, file_name, record_key, column_name""",
        (
            Column("state", "State", Kind.CODE),
            Column("file_name", "File"),
            Column("of_line", "Line", Kind.LINE, empty="[z]"),
            Column("record_key", "Record", Kind.PERSON),
            Column("column_name", "Column", Kind.ID),
            Column("was", "Was", Kind.PERSON, empty="[z]"),
            Column("becomes", "Counts as", Kind.PERSON, empty="[z]"),
            Column("reason", "Reason", Kind.PERSON),
            Column("decided_by", "Decided by", Kind.PERSON),
            Column("expires_on", "Last day", Kind.DAY),
            Column("detail", "Why it is not applied", Kind.PERSON, empty="[z]"),
        ),
        source="quality.corrections",
        none=State(Mark.CHECKED, "No value is corrected: every value counts as it came."),
        shown=60,
        note="A correction changes what counts, never the file. It ends on its last day.",
    )


def changes_table() -> Listing:
    """What newer exports say otherwise, what touches the past first."""
    return Listing(
        "changes",
        "Changed by newer exports",
        """select feed, record_key, case_number, kind, touches, column_name, was, becomes,
    older_file, older_line, newer_file, newer_line, changed_at
from quality.changes_explained
order by touches is null, changed_at desc, feed, record_key, column_name, newer_file, newer_line,
    older_file, older_line""",
        (
            Column("record_key", "Record", Kind.PERSON),
            Column("feed", "Kind of file", Kind.CODE),
            Column("kind", "What happened", Kind.CODE),
            Column("touches", "Touches", empty="[z]"),
            Column("column_name", "Column", Kind.ID, empty="[z]"),
            Column("was", "Was", Kind.PERSON, empty="[z]"),
            Column("becomes", "Is now", Kind.PERSON, empty="[z]"),
            Column("older_file", "In file", empty="[z]"),
            Column("older_line", "In line", Kind.LINE, empty="[z]"),
            Column("newer_file", "By file"),
            Column("newer_line", "By line", Kind.LINE, empty="[z]"),
        ),
        source="quality.changes",
        none=State(Mark.CHECKED, "No newer export changed, added to or left out what was there."),
        shown=60,
        note="What touches a closed month, a past custody event or an issued invoice stands first.",
        personal=("record_key", "case_number"),
    )


def notes_table() -> Listing:
    """What was noticed and let through; values of records are for those who may see names."""
    return Listing(
        "notes",
        "Noticed and let through",
        """select rule_code, feed, file_name, line, column_name, detail, value, record_key,
    case_number
from quality.notes_explained
order by rule_code, file_name, line, column_name, detail""",
        (
            Column("rule_code", "Note", Kind.CODE),
            Column("file_name", "File"),
            Column("line", "Line", Kind.LINE, empty="[z]"),
            Column("column_name", "Column", Kind.ID, empty="[z]"),
            Column("value", "Value", Kind.PERSON, empty="[z]"),
            Column("detail", "What was noticed", Kind.PERSON),
        ),
        source="quality.notes",
        none=State(Mark.CHECKED, "Nothing was noticed beyond what is held back."),
        shown=60,
        personal=("value", "record_key", "detail"),
    )
