"""Tables of findings and of rules."""

from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing, mart
from reports.warehouse import Warehouse, literal

#: Rows on the page by severity; all are in the downloads.
SHOWN = {"critical": 120, "major": 120, "minor": 60, "info": 30}

_COLUMNS = (
    Column("case_number", "Case", Kind.CASE, empty="[z]"),
    Column("rule_code", "Finding", Kind.CODE),
    Column("location_id", "Place", Kind.PLACE),
    Column("occurred_at", "When", Kind.INSTANT, zone_by="location_id"),
    Column("detail", "What the records show"),
    Column("record", "File and line"),
    Column("mend", "What to do, and who"),
)


def _sql(condition: str) -> str:
    return f"""select case_number, rule_code, family, severity, location_id, occurred_at, detail,
    measured_value, limit_value, value_unit,
    file_name_a || ' line ' || line_a
        || coalesce('; ' || file_name_b || ' line ' || line_b, '') as record,
    says, mend || ' (' || mended_by || ')' as mend, mended_by, act_within, source, finding_key
from marts.findings
where {condition}
order by occurred_at desc nulls last, case_number, rule_code, finding_key"""


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
    )


def family_table(warehouse: Warehouse, families: tuple[str, ...], caption: str) -> Listing:
    """The findings of some families, most severe first, for the page of their subject."""
    among = "(" + ", ".join(literal(f) for f in families) + ")"
    ran, all_rules = warehouse.rows(
        "select count(*) filter (where state <> 'not checked'), count(*) from marts.rule_states "
        f"where family in {among}"
    )[0]
    sql = _sql(f"family in {among}").replace(
        "order by",
        "order by case severity when 'critical' then 0 when 'major' then 1 when 'minor' then 2 "
        "else 3 end,",
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
        (
            _COLUMNS[0],
            Column("severity", "Severity", Kind.MARK),
            *_COLUMNS[1:4],
            _COLUMNS[4],
            _COLUMNS[5],
            _COLUMNS[6],
        ),
        source=mart("findings"),
        none=none,
    )


_STATE_ORDER = """case s.state when 'not checked' then 0 when 'found' then 1 when 'passed' then 2
    else 3 end, case s.severity when 'critical' then 0 when 'major' then 1 when 'minor' then 2
    else 3 end"""


def rules_found_table() -> Listing:
    return Listing(
        "by-rule",
        "Findings by rule",
        f"""select s.rule_code, s.severity, s.found_count, r.says, r.act_within, r.mended_by,
    s.family
from marts.rule_states as s
left join quality.rules as r on s.rule_code = r.rule_code
where s.effect = 'reported' and s.state = 'found'
order by {_STATE_ORDER}, s.found_count desc, s.rule_code""",
        (
            Column("rule_code", "Rule", Kind.CODE),
            Column("severity", "Severity", Kind.MARK),
            Column("found_count", "Found", Kind.NUMBER),
            Column("says", "What it says"),
            Column("act_within", "Act within"),
            Column("mended_by", "By"),
        ),
        source=mart("rule_states"),
        none=State(Mark.CHECKED, "Every rule that could run has run. None found anything."),
    )


def rules_table(condition: str, slug: str, caption: str, none: State) -> Listing:
    """Rules with their state; the ones that could not run stand above the clean ones."""
    return Listing(
        slug,
        caption,
        f"""select s.rule_code, s.severity, s.state, s.found_count, s.why, s.family, s.effect,
    r.says, r.mend, r.mended_by, r.act_within, r.source, r.citation, r.twin
from marts.rule_states as s
left join quality.rules as r on s.rule_code = r.rule_code
where {condition}
order by {_STATE_ORDER}, s.rule_code""",
        (
            Column("rule_code", "Rule", Kind.CODE),
            Column("severity", "Severity", Kind.MARK),
            Column("state", "State", Kind.MARK),
            Column("found_count", "Found", Kind.NUMBER),
            Column("says", "What it says"),
            Column("mend", "How to mend"),
            Column("mended_by", "By"),
            Column("source", "Source"),
        ),
        source=f"{mart('rule_states')} and quality.rules (validation/catalogue)",
        none=none,
        shown=130,
    )


def unchecked_table() -> Listing:
    return Listing(
        "not-checked",
        "What could not be checked, and why",
        f"""select s.rule_code, s.severity, s.state, s.why, r.says, s.family
from marts.rule_states as s
left join quality.rules as r on s.rule_code = r.rule_code
where s.state = 'not checked'
order by {_STATE_ORDER}, s.rule_code""",
        (
            Column("rule_code", "Rule", Kind.CODE),
            Column("severity", "Severity", Kind.MARK),
            Column("state", "State", Kind.MARK),
            Column("why", "Why it did not run"),
            Column("says", "What it would have said"),
        ),
        source=mart("rule_states"),
        none=State(Mark.CHECKED, "Every rule had the files and columns that it needs."),
    )
