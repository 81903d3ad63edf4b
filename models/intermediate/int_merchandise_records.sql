-- The first invoice line and the first issue behind each difference.
with billed as (
    select
        lines.case_number,
        lines.item_code,
        cast(lines.document_date as timestamp) as occurred_at,
        'document ' || lines.document_number || ' line ' || cast(lines.line_number as varchar) as record_name,
        lines.file_id,
        lines.line,
        row_number() over (
            partition by lines.case_number, lines.item_code
            order by lines.document_date, lines.document_number, lines.line_number
        ) as record_rank
    from {{ ref("int_merchandise_billed") }} as lines
    inner join {{ ref("int_merchandise_differences") }} as differences
        on lines.case_number = differences.case_number and lines.item_code = differences.item_code
    where lines.document_kind = 'invoice' and not lines.is_covered
),

issued as (
    select
        issues.case_number,
        issues.item_code,
        issues.occurred_at,
        'movement ' || issues.movement_id as record_name,
        issues.file_id,
        issues.line,
        row_number() over (
            partition by issues.case_number, issues.item_code order by issues.occurred_at, issues.movement_id
        ) as record_rank
    from {{ ref("int_merchandise_issued") }} as issues
    inner join {{ ref("int_merchandise_differences") }} as differences
        on issues.case_number = differences.case_number and issues.item_code = differences.item_code
    where issues.movement_kind = 'issued'
)

select
    case_number,
    item_code,
    'billed' as side,
    occurred_at,
    record_name,
    file_id,
    line
from billed
where record_rank = 1

union all

select
    case_number,
    item_code,
    'issued' as side,
    occurred_at,
    record_name,
    file_id,
    line
from issued
where record_rank = 1
