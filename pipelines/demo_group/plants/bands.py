"""Plants of bands that are replaced: by two people lawfully, by one or half-heartedly not."""

from pipelines.demo_group.plants.changes import add_event, band, set_case, set_event, set_in
from pipelines.demo_group.plants.plant import NEWEST, found, silent

_LAY_LONG = (
    "p.is_done and p.lay_place = 'CARE' and not p.is_embalmed and not p.has_hold and not p.has_effects "
    "and p.taken - p.refrigerated > 120"
)
# A count of a broken line would be a second finding.
_UNCOUNTED = _LAY_LONG + " and p.count_number = 0"
_NEW_BAND = "'LS-09' || lpad((hash('{case}') % 100000)::varchar, 5, '0')"


def _replaced(second_checker: str = "'CA-S9'") -> tuple[str, ...]:
    """A new band twenty minutes after the cooler, read from then on."""
    return (
        set_in(
            "custody_events",
            "case_number = '{case}' and sort_step > 50 and band_number is not null",
            band_number=_NEW_BAND,
        ),
        add_event(
            53,
            50,
            20,
            "band_attached",
            band_number=_NEW_BAND,
            identifiers_matched="'3'",
            second_checker=second_checker,
        ),
    )


PLANTS = (
    found(
        "chain_band_mismatch",
        "The band replaced by one person alone",
        where=_UNCOUNTED,
        order_by=NEWEST,
        record_key="{case}-53",
        changes=_replaced(second_checker="null"),
        breaks_chain=(("{case}", "{case}-53"),),
    ),
    found(
        "chain_band_mismatch",
        "The old band read after it was replaced",
        where=_UNCOUNTED,
        order_by=NEWEST,
        record_key="{case}-200",
        changes=(*_replaced(), set_event(200, band_number=band())),
        breaks_chain=(("{case}", "{case}-200"),),
    ),
    silent(
        "chain_band_mismatch",
        "The band replaced by two people; the case has the old one",
        where=_LAY_LONG,
        order_by=NEWEST,
        record_key="{case}-53",
        changes=_replaced(),
    ),
    silent(
        "chain_band_mismatch",
        "The band replaced by two people; the case has the new one",
        where=_LAY_LONG,
        order_by=NEWEST,
        record_key="{case}-53",
        changes=(*_replaced(), set_case(band_number=_NEW_BAND)),
    ),
)
