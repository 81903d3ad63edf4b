-- The joins of the check keep every line; so with one line more or less than accepted one was doubled or lost.
with before as (
    select
        count(*) as line_count,
        sum(line_total) as line_total
    from {{ ref("int_statement_lines") }}
),

after as (
    select
        count(*) as line_count,
        sum(line_total) as line_total
    from {{ ref("charges_checked") }}
),

documents as (
    select sum(total) as line_total
    from {{ ref("int_statement_documents") }}
)

select
    before.line_count as accepted_lines,
    after.line_count as checked_lines,
    before.line_total as accepted_total,
    after.line_total as checked_total,
    documents.line_total as documents_total
from before
cross join after
cross join documents
where
    before.line_count <> after.line_count
    or before.line_total is distinct from after.line_total
    or before.line_total is distinct from documents.line_total
