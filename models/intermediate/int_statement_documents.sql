with sums as (
    select
        document_number,
        document_kind,
        case_number,
        location_id,
        min(document_date) as document_date,
        max(corrects_document) as named_document,
        sum(line_total) as total,
        min(line_number) as first_line_number
    from {{ ref("int_statement_lines") }}
    group by document_number, document_kind, case_number, location_id
),

sole_invoices as (
    -- A credit that names no invoice is of the only one there is.
    select
        case_number,
        location_id,
        min(document_number) as document_number
    from sums
    where document_kind = 'invoice'
    group by case_number, location_id
    having count(*) = 1
),

documents as (
    select
        sums.*,
        case
            when sums.document_kind = 'credit' then coalesce(sums.named_document, sole_invoices.document_number)
            else sums.named_document
        end as corrects_document
    from sums
    left join sole_invoices
        on sums.case_number = sole_invoices.case_number and sums.location_id = sole_invoices.location_id
),

credits as (
    -- One invoice may bill two people: what is credited to one is credited to that one.
    select
        case_number,
        corrects_document,
        sum(total) as credited
    from documents
    where document_kind = 'credit' and corrects_document is not null
    group by case_number, corrects_document
)

select
    documents.document_number,
    documents.document_kind,
    documents.case_number,
    documents.location_id,
    documents.document_date,
    documents.corrects_document,
    documents.first_line_number,
    documents.total,
    documents.total + coalesce(credits.credited, 0) as net_total
from documents
left join credits
    on documents.document_number = credits.corrects_document and documents.case_number = credits.case_number
