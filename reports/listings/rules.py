"""Tables of rules and of what became of each."""

from collections.abc import Mapping

from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing, mart

_STATE_ORDER = """case s.state when 'not checked' then 0 when 'found' then 1 when 'passed' then 2
    else 3 end, case s.severity when 'critical' then 0 when 'major' then 1 when 'minor' then 2
    else 3 end"""


def rules_found_table(pages: Mapping[str, str]) -> Listing:
    """``pages``: rule -> the page of what it found."""
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
            Column("rule_code", "Rule", Kind.CODE, links=pages),
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
    r.says, r.mend, r.mended_by, r.act_within, r.source, r.citation, r.twin,
    r.says || coalesce(' Stays silent: ' || r.twin, '') || coalesce(' [' || s.why || ']', '')
        as says_and_why,
    r.mend || ' (' || r.mended_by || ', ' || r.act_within || ')' as mend_and_who,
    r.source || coalesce(' (' || r.citation || ')', '') as source_and_citation
from marts.rule_states as s
left join quality.rules as r on s.rule_code = r.rule_code
where {condition}
order by {_STATE_ORDER}, s.rule_code""",
        (
            Column("rule_code", "Rule", Kind.CODE),
            Column("severity", "Severity", Kind.MARK),
            Column("state", "State", Kind.MARK),
            Column("found_count", "Found", Kind.NUMBER),
            Column("says_and_why", "What it says, and what is lawful", is_whole=True),
            Column("mend_and_who", "How to mend, who, how soon", is_whole=True),
            Column("source_and_citation", "Source", is_whole=True),
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
