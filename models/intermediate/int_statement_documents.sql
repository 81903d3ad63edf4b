with documents as (
    select
        document_number,
        document_kind,
        case_number,
        location_id,
        min(document_date) as document_date,
        max(corrects_document) as corrects_document,
        sum(line_total) as total,
        min(line_number) as first_line_number
    from {{ ref("int_statement_lines") }}
    group by document_number, document_kind, case_number, location_id
),

credits as (
    select
        corrects_document,
        sum(total) as credited
    from documents
    where document_kind = 'credit' and corrects_document is not null
    group by corrects_document
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
    on documents.document_number = credits.corrects_document
