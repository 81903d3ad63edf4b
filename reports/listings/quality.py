"""Tables of files, of what was held back, and of notes."""

from reports import words
from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing, mart
from reports.warehouse import Warehouse

#: Files that came with the drop; reference tables shipped with the program bear 1970 as their date.
GIVEN = "(exported_at is null or exported_at > timestamp '1970-01-01')"
_ACCOUNT = f"""select file_name, feed, coalesce(records_read, 0) as records_read, accepted,
    held_back,
    unreadable, repeated, replaced, vanished, total_lines, header_lines, blank_lines, record_lines,
    unreadable_lines, set_aside, loaded_at
from quality.file_accounts
where {GIVEN}
order by set_aside nulls last, feed, file_name, loaded_at"""


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
