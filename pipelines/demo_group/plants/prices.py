"""Plants of charges that the list does not bear."""

from pipelines.demo_group.plants.changes import add_line, line_key, reprice, set_in
from pipelines.demo_group.plants.plant import (
    DIRECT_CREMATION,
    FULL_SERVICE,
    NEWEST,
    Plant,
    found,
    silent,
)


def _both(number: int, *words: str) -> tuple[str, str]:
    """The same new line on the estimate and on the invoice."""
    return add_line("E", number, *words), add_line("I", number, *words)


PLANTS: tuple[Plant, ...] = (
    found(
        "charge_above_list",
        "A hundred above the list",
        where=FULL_SERVICE,
        record_key=line_key("I", "S01-BASIC"),
        changes=(reprice("EI", "S01-BASIC", 10000),),
    ),
    silent(
        "charge_above_list",
        "The list of the arrangement, after a new one came into force",
        record_key="(select min(document_number || '|' || line_number) from statement_lines "
        "where case_number = '{case}' and document_kind = 'invoice')",
        where="p.is_done and p.home = 'ALDER' and p.arranged_date < date '2026-08-01' and p.invoice_date >= date '2026-08-01'",
    ),
    found(
        "item_not_on_list",
        "Hairdressing that is not on the list",
        where=FULL_SERVICE,
        record_key="I-{case}|91",
        changes=_both(91, "S08-HAIR", "other_preparation", "Hairdressing", "1", "75.00", "75.00"),
    ),
    silent(
        "item_not_on_list",
        "An urn made to order",
        where=FULL_SERVICE,
        record_key="I-{case}|91",
        changes=_both(
            91, "URN-CUSTOM", "merchandise", "Urn, made to order", "1", "410.00", "410.00"
        ),
    ),
    silent(
        "item_not_on_list",
        "Hairdressing for another firm, which is no family",
        where="p.is_done and p.is_trade_call",
        record_key="I-{case}|91",
        changes=_both(91, "S08-HAIR", "other_preparation", "Hairdressing", "1", "75.00", "75.00"),
    ),
    found(
        "package_contents_billed",
        "The container that the price of the direct cremation covers",
        where=DIRECT_CREMATION + " and p.home = 'ALDER' and p.arranged_date >= date '2026-08-01'",
        order_by=NEWEST,
        record_key="I-{case}|91",
        changes=_both(
            91, "ALT-01", "casket_range_or_prices", "Fibreboard container", "1", "150.00", "150.00"
        ),
    ),
    silent(
        "package_contents_billed",
        "The container that the price covers, credited",
        where=DIRECT_CREMATION + " and p.home = 'ALDER' and p.arranged_date >= date '2026-08-01'",
        order_by=NEWEST,
        record_key="I-{case}|91",
        changes=tuple(
            add_line(
                document,
                91,
                "ALT-01",
                "casket_range_or_prices",
                "Fibreboard container",
                quantity,
                "150.00",
                total,
            )
            for document, quantity, total in (("I", "1", "150.00"), ("C", "-1", "-150.00"))
        ),
    ),
    found(
        "category_contradicts",
        "The hearse of the list, billed as bought for the family",
        where=FULL_SERVICE,
        order_by=NEWEST,
        record_key=line_key("I", "S13-HEARSE"),
        changes=(
            set_in(
                "statement_lines",
                "case_number = '{case}' and item_code = 'S13-HEARSE'",
                is_cash_advance="'Y'",
            ),
        ),
    ),
    silent(
        "category_contradicts",
        "A casket of the casket list, billed as merchandise",
        where="p.is_done and p.has_casket",
        order_by=NEWEST,
        changes=(
            set_in(
                "statement_lines",
                "case_number = '{case}' and item_code like 'CSK-%'",
                category="'merchandise'",
            ),
        ),
    ),
    found(
        "basic_fee_twice",
        "Basic services beside a direct cremation",
        where=DIRECT_CREMATION,
        record_key="I-{case}|91",
        changes=_both(
            91,
            "S01-BASIC",
            "basic_services_fee",
            "Basic services of director and staff",
            "1",
            "2000.00",
            "2000.00",
        ),
    ),
    silent(
        "basic_fee_twice",
        "Basic services beside a direct cremation, credited",
        where=DIRECT_CREMATION,
        record_key="I-{case}|91",
        changes=(
            add_line(
                "I",
                91,
                "S01-BASIC",
                "basic_services_fee",
                "Basic services",
                "1",
                "2000.00",
                "2000.00",
            ),
            add_line(
                "C",
                91,
                "S01-BASIC",
                "basic_services_fee",
                "Basic services",
                "-1",
                "2000.00",
                "-2000.00",
            ),
        ),
    ),
    found(
        "required_without_reason",
        "Required, and nobody wrote why",
        where=FULL_SERVICE,
        record_key=line_key("E", "S13-HEARSE"),
        changes=(
            set_in(
                "statement_lines",
                "case_number = '{case}' and item_code = 'S13-HEARSE'",
                is_required="'Y'",
            ),
        ),
    ),
    silent(
        "required_without_reason",
        "Required, with the rule of the cemetery",
        where="p.is_done and p.has_outer",
    ),
    found(
        "casket_required_for_direct_cremation",
        "A casket that the crematory is said to require",
        where=DIRECT_CREMATION,
        order_by=NEWEST,
        record_key="E-{case}|91",
        changes=(
            add_line(
                "E",
                91,
                "CSK-01",
                "casket_range_or_prices",
                "Pine, oiled, unlined",
                "1",
                "995.00",
                "995.00",
                is_required="'Y'",
                required_reason="'The crematory requires a casket'",
            ),
        ),
    ),
    silent(
        "casket_required_for_direct_cremation",
        "A container that the crematory requires",
        where=DIRECT_CREMATION,
        order_by=NEWEST,
        record_key="E-{case}|91",
        changes=(
            add_line(
                "E",
                91,
                "ALT-02",
                "casket_range_or_prices",
                "Cloth-covered composition container",
                "1",
                "445.00",
                "445.00",
                is_required="'Y'",
                required_reason="'The crematory requires a rigid container'",
            ),
        ),
    ),
)
