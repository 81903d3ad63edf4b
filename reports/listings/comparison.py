"""Tables of the homes side by side."""

import polars as pl

from reports import words
from reports.chance import share_verdicts
from reports.charts.funnel import FEWEST, INNER
from reports.intervals import binomial_limits
from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing, mart
from reports.warehouse import Warehouse


def medians_table() -> Listing:
    return Listing(
        "medians",
        "First call to final disposition, and what chance says of it",
        """select location_id, case_count, median_hours, p90_hours, usual_low_hours,
    usual_high_hours, verdict
from marts.home_medians
order by location_id""",
        (
            Column("location_id", "Home", Kind.PLACE),
            Column("case_count", "Finished", Kind.NUMBER),
            Column("median_hours", "Median (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("p90_hours", "9 in 10 within (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("usual_low_hours", "Usual median, from (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("usual_high_hours", "to (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("verdict", "Against chance"),
        ),
        source=mart("home_medians"),
        none=State(Mark.NOT_APPLICABLE, "No home finished a case in these weeks."),
    )


def places_table() -> Listing:
    return Listing(
        "places",
        "The places side by side, with what could cost",
        """select location_id, location_name, location_kind,
    case when is_held then 'held back' else 'trusted' end as place_record, case_count,
    cremation_count, burial_count, other_end_count, no_end_count, open_count, findings_critical,
    findings_major, charges_above_list_amount,
    held_case_count, time_zone, jurisdiction
from marts.location_comparison
order by location_id""",
        (
            Column("location_id", "Place", Kind.PLACE),
            Column("location_kind", "Kind", Kind.CODE, empty="not known"),
            Column("place_record", "Its record"),
            Column("case_count", "Cases", Kind.NUMBER),
            Column("cremation_count", "Cremated", Kind.NUMBER),
            Column("burial_count", "Buried", Kind.NUMBER),
            Column("other_end_count", "Otherwise", Kind.NUMBER),
            Column("no_end_count", "No end yet", Kind.NUMBER),
            Column("open_count", "Still open", Kind.NUMBER),
            Column("findings_critical", "Critical findings", Kind.NUMBER),
            Column("findings_major", "Major findings", Kind.NUMBER),
            Column(
                "charges_above_list_amount",
                f"Above list, not credited ({words.CURRENCY})",
                Kind.NUMBER,
                2,
                empty="[z]",
            ),
        ),
        source=mart("location_comparison"),
        none=State(Mark.NOT_CHECKED, "No location was accepted, so none is compared."),
        note="Cremated, buried or entombed, otherwise (released to others) and no end yet add up "
        "to the cases; any of them can still be open. Usual for findings and for charges above the "
        "list: zero. A place with more cases has more findings.",
    )


def critical_table() -> Listing:
    """Open critical findings for the owner: place, rule and age; no case detail."""
    return Listing(
        "critical",
        "Critical findings by rule and place, newest first",
        """select rule_code, location_id, count(*) as finding_count, max(occurred_at) as newest_at,
    min(occurred_at) as oldest_at, any_value(says) as says
from marts.findings
where severity = 'critical' and answer_state <> 'answered'
group by rule_code, location_id
order by newest_at desc nulls last, rule_code, location_id""",
        (
            Column("rule_code", "Finding", Kind.CODE),
            Column("location_id", "Place", Kind.PLACE),
            Column("finding_count", "Count", Kind.NUMBER),
            Column("newest_at", "Newest", Kind.INSTANT, zone_by="location_id"),
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
    verdicts = share_verdicts(warehouse)
    limits = [
        (None, None) if v.cases < FEWEST else binomial_limits(v.cases, v.group_share, INNER)
        for v in verdicts
    ]
    rows = warehouse.frame(
        "select measure, location_id, case_count, event_count, share, group_share, judged_count "
        "from marts.home_shares order by measure, location_id"
    )
    judged = rows.with_columns(
        pl.Series("usual_low", [low for low, _ in limits], pl.Float64),
        pl.Series("usual_high", [high for _, high in limits], pl.Float64),
        pl.Series("verdict", [v.verdict for v in verdicts], pl.String),
    )
    warehouse.add("judged_shares", judged)
    return Listing(
        "shares",
        "The shares, and what chance says of them",
        """select measure, location_id, case_count, event_count, share, usual_low, usual_high,
    group_share, verdict, judged_count
from judged_shares
order by measure, location_id""",
        (
            Column("measure", "Share", Kind.CODE),
            Column("location_id", "Home", Kind.PLACE),
            Column("event_count", "Cases counted", Kind.NUMBER),
            Column("case_count", "Of cases", Kind.NUMBER),
            Column("share", "Share (%)", Kind.SHARE),
            Column("usual_low", "Usual, from (%)", Kind.SHARE, empty="[c]"),
            Column("usual_high", "to (%)", Kind.SHARE, empty="[c]"),
            Column("group_share", "All homes (%)", Kind.SHARE),
            Column("verdict", "Against chance"),
        ),
        source=mart("home_shares"),
        none=State(Mark.NOT_APPLICABLE, "No home has a case in these weeks."),
        note="Usual: where 95% of chance lies; beyond it is a reason to look. More than chance: "
        "also with all shares of this table allowed for, which are judged at once.",
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
