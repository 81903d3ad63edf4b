-- 16 CFR 453.3(d)(2): what law, cemetery or crematory requires is explained in writing on the statement.
with unexplained as (
    select
        *,
        row_number() over (
            partition by case_number, coalesce(item_code, category || ': ' || lower(trim(description)))
            order by document_date, document_number, line_number
        ) as line_rank
    from {{ ref("int_statement_lines") }}
    where
        is_required
        and document_kind in ('estimate', 'invoice')
        and coalesce(trim(required_reason), '') = ''
)

select
    {{ finding(
        "required_without_reason",
        case_number="unexplained.case_number",
        location_id="unexplained.location_id",
        occurred_at="cast(unexplained.document_date as timestamp)",
        a="unexplained",
        feed_a="statement_lines",
        measured_value="unexplained.line_total",
        value_unit="usd",
        detail="'Document ' || unexplained.document_number || ' line ' || cast(unexplained.line_number as varchar)
            || ': item ' || coalesce(unexplained.item_code, unexplained.category)
            || ' is marked as required and no reason is written.'"
    ) }}
from unexplained
where unexplained.line_rank = 1
