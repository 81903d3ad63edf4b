"""Plants of estimates, invoices and credits that contradict one another."""

from pipelines.demo_group.plants.changes import add_line, line_key, reprice, set_in
from pipelines.demo_group.plants.plant import DIRECT_CREMATION, FULL_SERVICE, Plant, found, silent

_COPY_TO_ALDER = (
    "insert into statement_lines by name select * replace ('K-{case}' as document_number, "
    "'ALDER' as location_id, date_text(document_date::date + 1) as document_date) from statement_lines "
    "where document_number = 'I-{case}'"
)

#: The invoice was in the export of a week before too.
_EXPORTED_BEFORE = (
    "insert into earlier_lines select * from statement_lines where document_number = 'I-{case}'"
)

PLANTS: tuple[Plant, ...] = (
    found(
        "advance_above_cost",
        "A notice charged fifty above its bill",
        where="p.is_done and p.has_notice",
        changes=(reprice("EIJ", "ADV-OBIT", 5000),),
    ),
    silent("advance_above_cost", "A notice charged as billed", where="p.is_done and p.has_notice"),
    found(
        "invoice_above_estimate",
        "The hearse invoiced above the estimate",
        where=FULL_SERVICE,
        record_key=line_key("I", "S13-HEARSE"),
        changes=(reprice("E", "S13-HEARSE", -4500),),
    ),
    silent(
        "invoice_above_estimate",
        "A limousine added at the family's wish",
        where=FULL_SERVICE + " and not p.has_limousine",
        record_key="I-{case}|91",
        changes=(
            add_line(
                "I", 91, "S14-LIMOUSINE", "limousine", "Limousine, an hour", "2", "80.00", "160.00"
            ),
        ),
    ),
    found(
        "case_billed_twice",
        "Two homes, one case, one total",
        record_key="K-{case}|1",
        where="p.is_done and p.home = 'BIRCH' and p.ending = 'burial' and not p.has_two_invoices and not p.has_credit",
        changes=(_COPY_TO_ALDER, "delete from supplier_bill_lines where case_number = '{case}'"),
    ),
    silent(
        "case_billed_twice",
        "Two homes, each with a part of the bill",
        where="p.is_done and p.home = 'BIRCH' and p.has_two_invoices",
        record_key="J-{case}|20",
        changes=(set_in("statement_lines", "document_number = 'J-{case}'", location_id="'ALDER'"),),
    ),
    found(
        "invoice_changed",
        "The hearse was cheaper when the family got the invoice",
        where=FULL_SERVICE,
        record_key=line_key("I", "S13-HEARSE"),
        changes=(
            _EXPORTED_BEFORE,
            "update earlier_lines set unit_price = (unit_price::decimal(18, 2) - 50)::varchar, "
            "line_total = (line_total::decimal(18, 2) - 50)::varchar "
            "where document_number = 'I-{case}' and item_code = 'S13-HEARSE'",
        ),
    ),
    silent(
        "invoice_changed",
        "A word of the invoice that was mended after it was first exported",
        where=FULL_SERVICE,
        record_key=line_key("I", "S13-HEARSE"),
        changes=(
            _EXPORTED_BEFORE,
            "update earlier_lines set description = 'Herse' "
            "where document_number = 'I-{case}' and item_code = 'S13-HEARSE'",
        ),
    ),
    found(
        "estimate_missing",
        "The estimate was never exported",
        where=FULL_SERVICE + " and not p.has_credit and not p.has_discount",
        record_key="I-{case}|1",
        changes=("delete from statement_lines where document_number = 'E-{case}'",),
    ),
    silent(
        "estimate_missing",
        "The estimate was exported a day late",
        where=FULL_SERVICE + " and not p.has_credit and not p.has_discount",
        record_key="I-{case}|1",
        changes=(
            "update statement_lines set document_date = date_text(document_date::date + 1) "
            "where document_number = 'E-{case}'",
        ),
    ),
    found(
        "not_invoiced",
        "A direct cremation, closed without an invoice",
        where=DIRECT_CREMATION + " and not p.has_urn and not p.has_notice",
        record_key="{case}",
        changes=(
            "delete from statement_lines where document_number = 'I-{case}'",
            "delete from supply_movements where case_number = '{case}'",
            "delete from supplier_bill_lines where case_number = '{case}'",
        ),
    ),
    silent(
        "not_invoiced",
        "Cancelled after the first call, and closed without a bill",
        where="p.ending = 'cancelled' and p.is_never_received",
        record_key="{case}",
    ),
    found(
        "document_contradicts",
        "The hearse of an invoice, marked as estimate",
        where=FULL_SERVICE + " and not p.has_credit and not p.has_discount",
        record_key=line_key("I", "S13-HEARSE"),
        changes=(
            set_in(
                "statement_lines",
                "document_number = 'I-{case}' and item_code = 'S13-HEARSE'",
                document_kind="'estimate'",
            ),
        ),
    ),
    silent(
        "document_contradicts",
        "Two invoices of one case",
        where="p.is_done and p.has_two_invoices",
        record_key="J-{case}|20",
    ),
    found(
        "credit_unfounded",
        "A second hearse credited, one billed",
        where=FULL_SERVICE + " and not p.has_credit",
        record_key="C-{case}|91",
        changes=(
            add_line("C", 91, "S13-HEARSE", "hearse", "Hearse", "-2", "300.00", "-600.00"),
        ),
    ),
    silent(
        "credit_unfounded",
        "Paid ahead, written as a credit",
        where=FULL_SERVICE + " and not p.has_credit",
        record_key="C-{case}|91",
        changes=(
            add_line("C", 91, "PAID", "other", "Paid at the arrangement", "-1", "300.00", "-300.00"),
        ),
    ),
    found(
        "service_billed_again",
        "Embalming on a second invoice too",
        where="p.is_done and p.ending = 'burial' and p.has_embalming_charge and not p.has_two_invoices "
        "and not p.has_credit and not p.has_discount",
        record_key="K-{case}|1",
        changes=(
            "insert into statement_lines select * replace ('K-{case}' as document_number, '1' as line_number) "
            "from statement_lines where document_number = 'I-{case}' and item_code = 'S07-EMBALM'",
        ),
    ),
    silent(
        "service_billed_again",
        "Half of the embalming on each of two invoices",
        where="p.is_done and p.ending = 'burial' and p.has_embalming_charge and not p.has_two_invoices "
        "and not p.has_credit and not p.has_discount",
        record_key="K-{case}|1",
        changes=(
            "update statement_lines set quantity = '0.5', line_total = (line_total::decimal(18, 2) / 2)::decimal(18, 2)::varchar "
            "where document_number = 'I-{case}' and item_code = 'S07-EMBALM'",
            "insert into statement_lines select * replace ('K-{case}' as document_number, '1' as line_number) "
            "from statement_lines where document_number = 'I-{case}' and item_code = 'S07-EMBALM'",
        ),
    ),
)
