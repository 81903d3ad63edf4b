"""Tables of the homes side by side."""

import polars as pl

from reports import words
from reports.charts.funnel import FunnelPoint, outside
from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing, mart
from reports.warehouse import Warehouse

#: Fewer cases than this are counted and not judged.
FEWEST = 10


def homes_table() -> Listing:
    return Listing(
        "homes",
        "The places side by side, in their fixed order",
        """select location_id, location_name, location_kind, case_count, open_count,
    cremation_count,
    burial_count, finished_count, median_hours_call_to_disposition,
    p90_hours_call_to_disposition, within_target_share, held_case_count, findings_critical,
    findings_major, charges_above_list_amount, formaldehyde_g_per_embalming, time_zone, jurisdiction
from marts.location_comparison
order by location_id""",
        (
            Column("location_id", "Place", Kind.PLACE),
            Column("location_kind", "Kind", Kind.CODE),
            Column("case_count", "Cases", Kind.NUMBER),
            Column("open_count", "Open", Kind.NUMBER),
            Column("cremation_count", "Cremated", Kind.NUMBER),
            Column("burial_count", "Buried", Kind.NUMBER),
            Column("finished_count", "Finished", Kind.NUMBER),
            Column("median_hours_call_to_disposition", "Median (h)", Kind.NUMBER, 1, empty="[c]"),
            Column(
                "p90_hours_call_to_disposition", "9 in 10 within (h)", Kind.NUMBER, 1, empty="[c]"
            ),
            Column("within_target_share", "Within target", Kind.SHARE, empty="[c]"),
            Column("held_case_count", "Cases held back", Kind.NUMBER),
        ),
        source=mart("location_comparison"),
        none=State(Mark.NOT_CHECKED, "No location was accepted, so none is compared."),
    )


def money_table() -> Listing:
    return Listing(
        "risk",
        "What could cost: findings and charges by place",
        """select location_id, location_kind, findings_critical, findings_major,
    charges_above_list_amount, formaldehyde_g_per_embalming
from marts.location_comparison
order by location_id""",
        (
            Column("location_id", "Place", Kind.PLACE),
            Column("findings_critical", "Critical findings", Kind.NUMBER),
            Column("findings_major", "Major findings", Kind.NUMBER),
            Column(
                "charges_above_list_amount",
                f"Above list ({words.CURRENCY})",
                Kind.NUMBER,
                2,
                empty="[z]",
            ),
            Column(
                "formaldehyde_g_per_embalming",
                "Formaldehyde per embalming (g)",
                Kind.NUMBER,
                1,
                empty="[z]",
            ),
        ),
        source=mart("location_comparison"),
        none=State(Mark.NOT_CHECKED, "No location was accepted, so none is compared."),
        note="A place with more cases has more findings: read the count beside the cases.",
    )


def oldest_table() -> Listing:
    """Open critical findings for the owner: place, rule and age; no case detail."""
    return Listing(
        "critical",
        "Critical findings by rule, oldest first",
        """select rule_code, location_id, count(*) as finding_count, min(occurred_at) as oldest_at,
    any_value(says) as says
from marts.findings
where severity = 'critical'
group by rule_code, location_id
order by oldest_at nulls last, rule_code, location_id""",
        (
            Column("rule_code", "Finding", Kind.CODE),
            Column("location_id", "Place", Kind.PLACE),
            Column("finding_count", "Count", Kind.NUMBER),
            Column("oldest_at", "Oldest", Kind.INSTANT, zone_by="location_id"),
            Column("says", "What it says"),
        ),
        source=mart("findings"),
        none=State(Mark.CHECKED, "No critical finding is open. The checks that could not run are "
                                 "on "
                   "the data quality page."),
        shown=4,
    )  # fmt: skip


def shares_table(warehouse: Warehouse) -> Listing:
    """The points of the funnels, each with what chance says of it."""
    rows = warehouse.frame(
        "select measure, location_id, case_count, event_count, share, group_share "
        "from marts.home_shares order by measure, location_id"
    )
    verdicts = [
        "too few to judge"
        if row["case_count"] < FEWEST
        else outside(
            FunnelPoint(row["location_id"], 0, row["case_count"], row["share"]), row["group_share"]
        )
        for row in rows.iter_rows(named=True)
    ]
    warehouse.add("judged_shares", rows.with_columns(pl.Series("verdict", verdicts, pl.String)))
    return Listing(
        "shares",
        "The shares, and what chance says of them",
        """select measure, location_id, case_count, event_count, share, group_share, verdict
from judged_shares
order by measure, location_id""",
        (
            Column("measure", "Share", Kind.CODE),
            Column("location_id", "Home", Kind.PLACE),
            Column("event_count", "Cases counted", Kind.NUMBER),
            Column("case_count", "Of cases", Kind.NUMBER),
            Column("share", "Share (%)", Kind.SHARE),
            Column("group_share", "All homes (%)", Kind.SHARE),
            Column("verdict", "Against chance"),
        ),
        source=mart("home_shares"),
        none=State(Mark.NOT_APPLICABLE, "No home has a case in these weeks."),
    )


def like_table() -> Listing:
    return Listing(
        "like-with-like",
        "Within target, with everybody's mix of cases",
        """select location_id, case_count, within_target_count, crude_share, standardised_share,
    round(100 * (standardised_share - 1.96 * standard_error), 1) as low,
    round(100 * least(standardised_share + 1.96 * standard_error, 1), 1) as high,
    standard_error, covered_share, stratum_count
from marts.like_with_like
order by location_id""",
        (
            Column("location_id", "Home", Kind.PLACE),
            Column("within_target_count", "Within target", Kind.NUMBER),
            Column("case_count", "Of cases", Kind.NUMBER),
            Column("crude_share", "As it is (%)", Kind.SHARE, empty="[c]"),
            Column("standardised_share", "Standardised (%)", Kind.SHARE, empty="[c]"),
            Column("low", "From (%)", Kind.NUMBER, 1, empty="[c]"),
            Column("high", "To (%)", Kind.NUMBER, 1, empty="[c]"),
            Column("covered_share", "Covered (%)", Kind.SHARE),
        ),
        source=mart("like_with_like"),
        none=State(Mark.NOT_APPLICABLE, "No home finished a case in these weeks."),
        note="From and to: 95% interval of the standardised share. Where intervals overlap widely "
        "the difference can be chance.",
    )
