"""Walks the chains of many cases at once: what was so before each event, and what it breaks.

The frame holds whole cases in chain order, so "before" is the row above in the same case. Nothing
is grouped: what an event leaves is carried down to the next one that changes it, and the first row
of a case lays down that nothing is known.
"""

from datetime import datetime

import polars as pl

from validation.contracts.chain.actions import (
    AFTER_FINAL,
    BEFORE_RECEIPT,
    FINAL,
    GIVES_REMAINS,
    HANDOVERS,
    INDOORS,
    KEEPS_REMAINS,
    MOVERS,
    NEED_BAND,
    REMAINS,
)

#: Nobody and nowhere yet; no party or place is written so.
UNKNOWN = ""
_NO_ROW = -1
_LONG_AGO = datetime(1, 1, 1)

#: What ``walk_chains`` reads of an event.
WALKED = (
    "row_id", "case_key", "is_closed", "occurred_at", "step", "from_party", "to_party", "place_id",
    "storage_unit", "is_band_read", "is_band_of_case", "has_case_band", "loose_band",
    "is_band_put_on", "is_vehicle", "is_crematory",
    "has_disc", "is_brought", "is_unsound",
)  # fmt: skip
CHAIN_RULES = (
    "chain_correction_unknown",
    "chain_not_opened",
    "chain_after_disposition",
    "chain_party_break",
    "chain_two_places_at_once",
    "chain_place_break",
    "chain_band_mismatch",
    "chain_move_without_band",
    "chain_closed_without_end",
)


def walk_chains(events: pl.DataFrame) -> pl.DataFrame:
    """Add to the events of whole cases ``break_code``, the rule of ``CHAIN_RULES`` that the event
    breaks; only at the first break of each case.

    Also added: party_before, place_before, unit_before, and the rows that left them: row_before
    (the event before), party_row, place_row (-1: none).
    is_band_loose: not the band of the case is expected, but the one read or put on before.
    """
    is_first = (pl.col("case_key") != pl.col("case_key").shift(1)).fill_null(True)
    is_last = (pl.col("case_key") != pl.col("case_key").shift(-1)).fill_null(True)
    return (
        events.with_columns(is_first=is_first, is_last=is_last)
        .with_columns(*_left_behind())
        .with_columns(*_found_before())
        .with_columns(has_person=_has_person())
        .with_columns(is_remains_alone=_is_remains_alone())
        .with_columns(is_place_wrong=_is_place_wrong(), is_band_replaced=_is_band_replaced())
        .with_columns(is_band_loose=_is_band_loose())
        .with_columns(break_code=_break_code())
        .with_columns(break_code=_only_first_of_case())
    )


def _carried(value: pl.Expr, changes: pl.Expr, nothing: pl.Expr) -> pl.Expr:
    """``value`` where it changes, else what the event before left; ``nothing`` as a case begins."""
    is_first = pl.col("is_first")
    return pl.when(changes).then(value).when(is_first).then(nothing).otherwise(None).forward_fill()


def _left_behind() -> list[pl.Expr]:
    """What each event leaves to the next."""
    row, unknown, no_row = pl.col("row_id"), pl.lit(UNKNOWN), pl.lit(_NO_ROW, pl.Int64)
    yes, no = pl.lit(True), pl.lit(False)
    party = pl.coalesce("to_party", "from_party")
    place, band = pl.col("place_id"), pl.col("loose_band")
    return [
        _carried(party, party.is_not_null(), unknown).alias("party_after"),
        _carried(row, party.is_not_null(), no_row).alias("party_row_after"),
        _carried(place, place.is_not_null(), unknown).alias("place_after"),
        _carried(row, place.is_not_null(), no_row).alias("place_row_after"),
        _carried(pl.col("occurred_at"), place.is_not_null(), pl.lit(_LONG_AGO)).alias(
            "placed_at_after"
        ),
        _carried(pl.col("is_vehicle"), place.is_not_null(), no).alias("is_vehicle_after"),
        _carried(pl.col("is_crematory"), place.is_not_null(), no).alias("is_crematory_after"),
        _carried(band, band.is_not_null(), unknown).alias("band_after"),
        _carried(yes, pl.col("step") == "received", no).alias("is_open_after"),
        _carried(yes, pl.col("step").is_in(FINAL), no).alias("is_over_after"),
        _carried(yes, pl.col("step").is_in(GIVES_REMAINS), no).alias("has_remains_after"),
    ]


def _found_before() -> list[pl.Expr]:
    """What each event finds: what the one above in its case left."""
    above = {
        "party_before": ("party_after", UNKNOWN),
        "party_row": ("party_row_after", _NO_ROW),
        "place_before": ("place_after", UNKNOWN),
        "place_row": ("place_row_after", _NO_ROW),
        "placed_at": ("placed_at_after", _LONG_AGO),
        "in_vehicle": ("is_vehicle_after", False),
        "at_crematory": ("is_crematory_after", False),
        "band_before": ("band_after", UNKNOWN),
        "is_open": ("is_open_after", False),
        "is_over": ("is_over_after", False),
        "has_remains": ("has_remains_after", False),
        "unit_before": ("storage_unit", UNKNOWN),
        "row_before": ("row_id", _NO_ROW),
    }
    return [
        pl.when("is_first").then(pl.lit(nothing)).otherwise(pl.col(left).shift(1)).alias(name)
        for name, (left, nothing) in above.items()
    ]


def _has_person() -> pl.Expr:
    """An event of the case is of the person, before this one or after."""
    step = pl.col("step")
    of_remains = step.is_in(KEEPS_REMAINS) & pl.col("has_disc")
    of_person = ~step.is_in((*AFTER_FINAL, "voided")) & ~of_remains
    so_far = _carried(pl.lit(True), of_person, pl.lit(False))
    return pl.when("is_last").then(so_far).otherwise(None).backward_fill()


def _is_remains_alone() -> pl.Expr:
    """Cremated remains that were brought to us, of a person who never was in our care."""
    is_brought = pl.col("is_brought") & ~pl.col("has_person")
    return _carried(pl.lit(True), is_brought, pl.lit(False))


def _is_party_wrong() -> pl.Expr:
    """A handover names who takes over, and is given by the one who has the person; any other event
    names nobody, or the one who has the person."""
    from_party, to_party, held_by = pl.col("from_party"), pl.col("to_party"), pl.col("party_before")
    is_opening = (pl.col("step") == "received") & ~pl.col("is_open")
    handover = to_party.is_null() | (~is_opening & from_party.ne_missing(held_by))
    other = pl.col("is_open") & (
        (from_party != held_by).fill_null(False) | (to_party != held_by).fill_null(False)
    )
    return pl.when(pl.col("step").is_in(HANDOVERS)).then(handover).otherwise(other)


def _is_place_wrong() -> pl.Expr:
    """The place does not follow from the place before, by the way that the action moves."""
    step, place, before = pl.col("step"), pl.col("place_id"), pl.col("place_before")
    in_vehicle, to_vehicle = pl.col("in_vehicle"), pl.col("is_vehicle")
    stays = (
        ((place != before) & (before != UNKNOWN)).fill_null(False)
        | (step.is_in(INDOORS) & in_vehicle)
        | ((step == "cremation_started") & ~pl.col("at_crematory"))
    )
    return (
        pl.when(step == "received")
        .then(place.is_null() & (before == UNKNOWN))
        .when(step == "departed")
        .then(~to_vehicle | in_vehicle)
        .when(step == "arrived")
        .then(place.is_null() | to_vehicle | ~in_vehicle)
        .when(step.is_in(MOVERS))
        .then(pl.lit(False))
        .otherwise(stays)
    )


def _is_band_replaced() -> pl.Expr:
    """A band put on by two people while the person is in care: from then on it is expected."""
    is_in_care = pl.col("is_open") & ~pl.col("is_over")
    return pl.col("is_band_put_on") & pl.col("loose_band").is_not_null() & is_in_care


def _is_band_loose() -> pl.Expr:
    """The case has no band, or its band was replaced before, or is the one put on later."""
    replaced = pl.col("is_band_replaced")
    was_replaced = _carried(pl.lit(True), replaced, pl.lit(False))
    nothing_later = pl.when(pl.col("is_last")).then(pl.lit(False)).otherwise(None)
    becomes_the_cases = replaced & pl.col("is_band_of_case")
    will_be = pl.when(becomes_the_cases).then(pl.lit(True)).otherwise(nothing_later).backward_fill()
    return ~pl.col("has_case_band") | was_replaced | will_be


def _is_other_band() -> pl.Expr:
    """The band read is not the one expected: that of the case, or the one read or put on before."""
    band, before = pl.col("loose_band"), pl.col("band_before")
    differs = ((band != before) & (before != UNKNOWN)).fill_null(False)
    other = pl.when("is_band_loose").then(differs).otherwise(~pl.col("is_band_of_case"))
    return ~pl.col("is_band_replaced") & other


def _is_stored_twice() -> pl.Expr:
    """Stored in two units at one instant."""
    return (
        ~pl.col("is_first")
        & (pl.col("step") == "stored")
        & (pl.col("step").shift(1) == "stored")
        & (pl.col("occurred_at") == pl.col("occurred_at").shift(1))
        & (pl.col("storage_unit") != pl.col("storage_unit").shift(1))
    ).fill_null(False)


def _break_code() -> pl.Expr:
    """The rule that the event breaks, the first that applies in the order of ``CHAIN_RULES``."""
    step, is_alone = pl.col("step"), pl.col("is_remains_alone")
    is_over = pl.col("is_over") | is_alone
    is_here = ~is_over
    opens = (step == "received") | step.is_in(BEFORE_RECEIPT) | is_alone
    has_disc = pl.col("has_disc")
    after_final = step.is_in(AFTER_FINAL) & (~step.is_in(REMAINS) | has_disc)
    after_final |= step.is_in(KEEPS_REMAINS) & has_disc & pl.col("has_remains")
    is_at_once = pl.col("is_place_wrong") & (pl.col("placed_at") == pl.col("occurred_at"))
    breaks = {
        "chain_correction_unknown": pl.col("is_unsound"),
        "chain_not_opened": ~pl.col("is_open") & ~opens,
        "chain_after_disposition": is_over & ~after_final,
        "chain_party_break": is_here & _is_party_wrong(),
        "chain_two_places_at_once": is_here & (is_at_once | _is_stored_twice()),
        "chain_place_break": is_here & pl.col("is_place_wrong"),
        "chain_band_mismatch": is_here & _is_other_band(),
        "chain_move_without_band": is_here & step.is_in(NEED_BAND) & ~pl.col("is_band_read"),
        "chain_closed_without_end": pl.col("is_last")
        & pl.col("is_closed")
        & ~pl.col("is_over_after")
        & ~is_alone,
    }
    return pl.coalesce(
        pl.when(breaks[code]).then(pl.lit(code, pl.Enum(CHAIN_RULES))) for code in CHAIN_RULES
    )


def _only_first_of_case() -> pl.Expr:
    is_broken = _carried(pl.lit(True), pl.col("break_code").is_not_null(), pl.lit(False))
    is_broken_before = pl.when("is_first").then(pl.lit(False)).otherwise(is_broken.shift(1))
    return pl.when(~is_broken_before).then("break_code")
