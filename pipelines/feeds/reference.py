"""Reference tables: law, limits and factors as data, each row with its citation.

They come through the same door as the group's feeds: a shipped file (``validation/reference``), and
any file of that name in a drop, whose rows win by key. Local law beats them.
"""

from pipelines.feeds.declare import Column, Feed, Form
from pipelines.feeds.locations import LOCATION_KINDS
from pipelines.feeds.price_lists import SIXTEEN

_CITED = (
    Column("citation", Form.PROSE, "Where the row is from.", True, example="25 TAC 181.4"),
    Column("status", Form.CODE, "How sure the row is.", True,
           allowed=("official text", "secondary text", "from memory", "common practice"),
           example="official text"),
)  # fmt: skip
#: Steps of a case, in the order in which most cases take them (models/intermediate).
STEPS = (
    "call_to_received", "received_to_checked", "received_to_cared", "call_to_arrangement",
    "death_to_certificate", "certificate_to_permit", "permit_to_disposition",
    "disposition_to_remains", "call_to_disposition", "disposition_to_invoice",
)  # fmt: skip


def _reference(
    name: str, meaning: str, grain: str, key: tuple[str, ...], columns: tuple[Column, ...]
) -> Feed:
    return Feed(name, "reference", meaning, grain, (*columns, *_CITED), key)


REFERENCE_FEEDS: tuple[Feed, ...] = (
    _reference(
        "jurisdiction_limits", "Hours that the law of a place allows or demands.",
        "One row per jurisdiction and kind of limit.", ("jurisdiction", "limit_kind"),
        (
            Column("jurisdiction", Form.IDENTIFIER, "Whose law.", True, source="ISO 3166-2",
                   example="US-TX"),
            Column("limit_kind", Form.CODE, "Which limit.", True,
                   allowed=("cremation_wait", "preservation", "permit_within",
                            "certificate_filing", "unclaimed_remains", "holding"),
                   example="preservation"),
            Column("starts_at", Form.CODE, "What starts the clock.", True,
                   allowed=("death", "pronounced", "received", "released", "cremated"),
                   example="death"),
            Column("hours", Form.NUMBER, "The limit.", True, unit="hours", example="24", minimum=0),
            Column("counts", Form.CODE, "Whether the law counts hours, or whole days after the day "
                   "of the start; empty: hours.", allowed=("hours", "days"), example="hours"),
            Column("place_kind", Form.CODE, "Kind of place that the row is for; empty: all.",
                   allowed=LOCATION_KINDS, example="crematory"),
            Column("cremated_within_hours", Form.NUMBER, "There is no limit where the cremation "
                   "starts within these hours of the start of the clock; empty: it makes no "
                   "difference.", unit="hours", minimum=0),
            Column("exemptions", Form.PROSE, "When it does not apply."),
        ),
    ),
    _reference(
        "price_list_items", "The sixteen priced items of the general price list.",
        "One row per item.", ("category",),
        (
            Column("category", Form.CODE, "Category in price_lists.", True, allowed=SIXTEEN,
                   example="embalming"),
            Column("item_number", Form.COUNT, "Place in the list.", True, example="6"),
            Column("item_name", Form.TEXT, "Name.", True, example="Embalming"),
            Column("paragraph", Form.TEXT, "Paragraph of 16 CFR 453.2(b)(4).", True,
                   example="(ii)(F)"),
        ),
    ),
    _reference(
        "disclosures", "Disclosures that the price rule asks for.", "One row per disclosure.",
        ("disclosure_key",),
        (
            Column("disclosure_key", Form.IDENTIFIER, "Our key.", True,
                   example="embalming_not_required"),
            Column("document", Form.TEXT, "Where it is printed.", True,
                   example="general price list"),
            Column("wording", Form.PROSE, "The wording of the rule, where it is fixed."),
            Column("applies_when", Form.PROSE, "When it is needed.", True,
                   example="embalming is offered"),
        ),
    ),
    _reference(
        "exposure_limits", "Limits of formaldehyde in the air.", "One row per limit.",
        ("limit_kind",),
        (
            Column("limit_kind", Form.CODE, "Which limit.", True,
                   allowed=("eight_hour", "short_term", "action_level"), example="short_term"),
            Column("limit_ppm", Form.NUMBER, "The limit.", True, unit="ppm",
                   example="2", minimum=0),
            Column("minutes", Form.NUMBER, "Averaging time.", True, unit="minutes",
                   example="15", minimum=0),
        ),
    ),
    _reference(
        "unit_factors", "Factors to the base unit.", "One row per unit.", ("unit",),
        (
            Column("unit", Form.IDENTIFIER, "Unit in supply feeds.", True, example="fl_oz"),
            Column("base_unit", Form.CODE, "Base unit.", True, allowed=("each", "ml", "g"),
                   example="ml"),
            Column("factor", Form.NUMBER, "Base units in one unit.", True,
                   example="29.5735", minimum=0),
        ),
    ),
    _reference(
        "step_targets", "The group's own targets for the steps of a case.",
        "One row per step, and per location that has a target of its own.",
        ("step_code", "location_id"),
        (
            Column("step_code", Form.CODE, "The step.", True, allowed=STEPS,
                   example="call_to_received"),
            Column("location_id", Form.IDENTIFIER,
                   "The arranging home whose own target it is; (group) for every other.", True,
                   refers_to="locations.location_id", beside_list="(group)", example="(group)"),
            Column("step_number", Form.COUNT, "Order in which a case takes the steps.", True,
                   example="1"),
            Column("step_name", Form.TEXT, "Its name in words.", True,
                   example="First call to received"),
            Column("target_hours", Form.NUMBER, "Target.", True, unit="hours",
                   example="4", minimum=0),
            Column("owed_by", Form.TEXT, "Who owes the end of the step.", True,
                   example="arranging home"),
            Column("meaning", Form.PROSE, "From which instant to which.", True,
                   example="From first_call_at to the received event."),
        ),
    ),
)  # fmt: skip
