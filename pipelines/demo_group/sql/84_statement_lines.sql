-- Estimates on the day of the arrangement, invoices the day after the last act or later; one case in twenty is
-- billed in two invoices.
create or replace temp table statement_lines as
with documents as (
    select
        charges.*,
        settled.home,
        settled.arranged_date,
        settled.invoice_date,
        settled.invoiced <= settled.cut_off as is_invoiced,
        settled.invoice_date + 5 <= (epoch_ms(settled.cut_off * 60000))::date as is_credited,
        settled.t1 % 20 = 0 as has_two_invoices,
        settled.t2 % 6 = 0 as has_credit
    from charges
    inner join settled using (case_number)
),

written as (
    select 'E-' || case_number as document_number, 'estimate' as document_kind, arranged_date as day,
        null as corrects_document, documents.* from documents
    union all
    select
        case when has_two_invoices and category = 'cash_advance' then 'J-' else 'I-' end || case_number, 'invoice',
            invoice_date, null, documents.*
    from documents
    where is_invoiced
    union all
    select 'C-' || case_number, 'credit', invoice_date + 5, 'I-' || case_number, documents.* replace (-1 as quantity)
    from documents
    where is_invoiced and is_credited and has_credit and item_code = 'S14-LIMOUSINE'
)

select
    document_number,
    -- The line of the form on which such an item stands.
    place::varchar as line_number,
    document_kind,
    case_number,
    home as location_id,
    date_text(day) as document_date,
    item_code,
    category,
    description,
    quantity::varchar as quantity,
    money_text(cents) as unit_price,
    money_text(quantity * cents) as line_total,
    case when category = 'outer_burial_container_range_or_prices' then 'Y' else 'N' end as is_required,
    case when category = 'outer_burial_container_range_or_prices' then 'Rule of the cemetery: an outer container in this section' end as required_reason,
    case when category = 'cash_advance' then 'Y' else 'N' end as is_cash_advance,
    corrects_document,
    (epoch_ms(day::timestamp) // 60000)::bigint as sort_minute
from written;
