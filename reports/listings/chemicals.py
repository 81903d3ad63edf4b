"""Tables of chemical use and of air samples."""

from collections.abc import Mapping
from datetime import date

from reports import words
from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing, mart
from reports.warehouse import Warehouse, literal

WEEKS_SHOWN = 13


def weeks_table(pages: Mapping[str, str]) -> Listing:
    """``pages``: week -> the page of its cases."""
    return Listing(
        "weeks",
        "Formaldehyde by place and week",
        """select week_start, location_id, embalmings_intact, embalmings_autopsied, formaldehyde_g,
    g_per_intact, g_per_autopsied, formaldehyde_g_without_case, movements_held_back,
    movements_not_counted, formaldehyde_g_other_case, formaldehyde_g_intact,
    formaldehyde_g_autopsied, week_label
from marts.chemical_use_by_week
order by week_start desc, location_id""",
        (
            Column("week_start", "Week", Kind.WEEK, links=pages),
            Column("location_id", "Place", Kind.PLACE),
            Column("embalmings_intact", "Intact", Kind.NUMBER),
            Column("embalmings_autopsied", "Autopsied", Kind.NUMBER),
            Column("formaldehyde_g", "Formaldehyde (g)", Kind.NUMBER),
            Column("g_per_intact", "Per intact case (g)", Kind.NUMBER, 1, empty="[z]"),
            Column("g_per_autopsied", "Per autopsied case (g)", Kind.NUMBER, 1, empty="[z]"),
            Column("formaldehyde_g_intact", "Intact cases (g)", Kind.NUMBER),
            Column("formaldehyde_g_autopsied", "Autopsied cases (g)", Kind.NUMBER),
            Column("formaldehyde_g_other_case", "Other cases (g)", Kind.NUMBER),
            Column("formaldehyde_g_without_case", "Issued without a case (g)", Kind.NUMBER),
            Column("movements_held_back", "Moves held back", Kind.NUMBER),
            Column("movements_not_counted", "Moves not counted", Kind.NUMBER),
        ),
        source=mart("chemical_use_by_week"),
        none=State(Mark.NOT_APPLICABLE, "No fluid was issued, so no figure."),
        shown=WEEKS_SHOWN * 5,
        note="Intact, autopsied, other cases and issued without a case add up to the grams of the "
        "week. Other cases have no accepted embalming at the place, or nobody knows whether they "
        "were autopsied. Movements held back are not in the grams, nor are those not counted, of a "
        "fluid whose index, content or unit does not tell how much is in it: a week with some may "
        "read too low.",
    )


def cases_table(week: date) -> Listing:
    return Listing(
        "cases",
        f"Each case, {words.week(week)}",
        f"""select case_number, location_id, case_kind, is_embalmed, concentrate_ml, formaldehyde_g,
    mixed_volume_ml, strength_g_per_100ml, movements_not_counted, week_start, week_label
from marts.chemical_use_by_case
where week_start = {literal(week)}
order by location_id, case_number""",
        (
            Column("case_number", "Case", Kind.CASE),
            Column("location_id", "Place", Kind.PLACE),
            Column("case_kind", "Kind", Kind.CODE),
            Column("is_embalmed", "Embalmed", Kind.YES_NO),
            Column("concentrate_ml", "Concentrate (mL)", Kind.NUMBER),
            Column("formaldehyde_g", "Formaldehyde (g)", Kind.NUMBER, 1),
            Column("mixed_volume_ml", "Mixed volume (mL)", Kind.NUMBER),
            Column("strength_g_per_100ml", "Strength (g per 100 mL)", Kind.NUMBER, 2),
            Column("movements_not_counted", "Moves not counted", Kind.NUMBER),
        ),
        source=mart("chemical_use_by_case"),
        none=State(Mark.NOT_APPLICABLE, "No embalming in this week, so no figure."),
    )


def samples_table(warehouse: Warehouse) -> Listing:
    arrived = warehouse.count(
        "select count(*) from raw.files where feed = 'air_samples' and set_aside is null"
    )
    none = (
        State(Mark.NOT_APPLICABLE, "The file of air samples holds no sample.")
        if arrived
        else State(Mark.NOT_CHECKED, "No file of air samples arrived, so exposure was not checked.")
    )
    return Listing(
        "samples",
        "Air samples against their limit, newest first",
        """select sample_id, location_id, started_at, minutes, sample_kind, formaldehyde_ppm,
    twa_8h_ppm, limit_kind, limit_ppm, case when is_over then 'over' else 'within' end as result
from marts.air_samples
order by started_at desc, sample_id""",
        (
            Column("sample_id", "Sample", Kind.ID),
            Column("location_id", "Place", Kind.PLACE),
            Column("started_at", "Started", Kind.INSTANT, zone_by="location_id"),
            Column("minutes", "Ran (min)", Kind.NUMBER, 1),
            Column("sample_kind", "Kind", Kind.CODE),
            Column("formaldehyde_ppm", "Measured (ppm)", Kind.NUMBER, 3),
            Column("twa_8h_ppm", "8-hour average (ppm)", Kind.NUMBER, 3, empty="[z]"),
            Column("limit_ppm", "Limit (ppm)", Kind.NUMBER, 2, empty="[z]"),
            Column("result", "Result", Kind.MARK),
        ),
        source=mart("air_samples"),
        none=none,
        shown=60,
    )
