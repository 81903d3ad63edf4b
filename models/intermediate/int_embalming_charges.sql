with lines as (
    select
        *,
        row_number() over (
            partition by case_number
            order by case when document_kind = 'invoice' then 0 else 1 end, document_date, document_number, line_number
        ) as line_rank
    from {{ ref("int_statement_lines") }}
    where category = 'embalming' and {{ is_billed("document_kind") }}
)

select
    case_number,
    sum(quantity) as net_quantity,
    -- A charge that the law requires needs no approval, 16 CFR 453.5(a)(1), when the reason is written.
    coalesce(bool_or(is_required and trim(required_reason) <> ''), false) as is_required_by_law,
    min(case when line_rank = 1 then location_id end) as location_id,
    min(case when line_rank = 1 then document_number end) as document_number,
    min(case when line_rank = 1 then document_date end) as document_date,
    min(case when line_rank = 1 then line_total end) as line_total,
    min(case when line_rank = 1 then file_id end) as file_id,
    min(case when line_rank = 1 then line end) as line
from lines
group by case_number
having sum(quantity) > 0
