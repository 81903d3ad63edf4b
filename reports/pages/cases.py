"""The cases that need a sheet, most urgent first, and their sheets."""

from reports import words
from reports.audiences import COMPLIANCE, Audience
from reports.case_pages import CASES, MOST_SHEETS, case_pages
from reports.case_sheet import case_sheets
from reports.cautions import FINDINGS
from reports.content import Content, Page, Section
from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing
from reports.titles import say
from reports.warehouse import Warehouse

PAGE = Page(
    slug="cases",
    name="Case sheets",
    question="What happened in each case that needs a look, and with everyone in care?",
    audiences=(COMPLIANCE,),
    marts=("marts.custody_cases", "marts.custody_legs", "marts.custody_gaps",
           "marts.custody_line", "marts.case_papers", "marts.findings", "marts.case_steps",
           "marts.clearances", "marts.remains_in_keeping", "marts.finding_people"),
    feeds=("cases", "custody_events"),
    families=("chains", "identity", "papers"),
    order=15,
)  # fmt: skip


def build(warehouse: Warehouse, audience: Audience) -> Content:
    paths = case_pages(warehouse)
    cases = warehouse.count(f"select count(*) from ({CASES})")
    critical = f"select count(*) from ({CASES}) where critical_count > 0"
    everyone = warehouse.count("select count(*) from marts.custody_cases")
    left = cases - len(paths)
    note = (
        f"The {MOST_SHEETS} most urgent have a sheet; {words.number(left)} have none."
        if left
        else "Each of them has a sheet."
    )
    return Content(
        say(
            "{cases} to look at, {critical} of them with a critical finding",
            cases=warehouse.fact(
                f"select count(*) from ({CASES})", lambda v: words.counted(v, "case")
            ),
            critical=warehouse.fact(critical, words.number),
        ),
        "Cases with a critical or major finding or a record of the chain held back, and everyone "
        "in care.",
        Mark.CRITICAL if warehouse.count(critical) else Mark.MAJOR if cases else Mark.CHECKED,
        (
            Section(
                "Cases, most urgent first",
                (
                    Listing(
                        "cases",
                        f"{words.counted(cases, 'case')} to look at",
                        CASES,
                        (
                            Column("case_number", "Case", Kind.CASE),
                            Column("family_name", "Family name", Kind.PERSON),
                            Column("location_id", "Home", Kind.PLACE),
                            Column("clearance_state", "Before moving", Kind.CODE, empty="[z]"),
                            Column("critical_count", "Critical", Kind.NUMBER),
                            Column("major_count", "Major", Kind.NUMBER),
                            Column("other_count", "Other", Kind.NUMBER),
                            Column("gap_count", "Breaks", Kind.NUMBER),
                            Column("custody_status", "Chain", Kind.MARK),
                            Column("is_in_care", "In care", Kind.YES_NO),
                        ),
                        source="marts.custody_cases, marts.clearances, marts.findings, "
                        "marts.custody_gaps",
                        none=State(
                            Mark.CHECKED,
                            f"{words.counted(everyone, 'case')} checked. None needs a sheet.",
                        ),
                        note=note,
                        shown=MOST_SHEETS,
                    ),
                ),
            ),
        ),
        cautions=FINDINGS,
        children=case_sheets(warehouse, paths),
    )
