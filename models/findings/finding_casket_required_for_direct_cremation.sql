-- 16 CFR 453.3(b)(1): no casket other than an alternative container may be said to be required for a direct cremation.
with directs as (
    select
        case_number,
        document_number
    from {{ ref("charges_checked") }}
    where
        (category = 'direct_cremation' or listed_as = 'direct_cremation')
        and document_kind in ('estimate', 'invoice')
        and not is_trade_call
    group by case_number, document_number
),

claims as (
    -- Goods that no list of items knows are told by their words.
    select
        lines.*,
        row_number() over (
            partition by lines.case_number, lines.location_id
            order by lines.document_date, lines.document_number, lines.line_number
        ) as line_rank
    from {{ ref("int_statement_lines") }} as lines
    inner join directs
        on lines.case_number = directs.case_number and lines.document_number = directs.document_number
    left join {{ ref("stg_supply_items") }} as goods
        on lines.item_code = goods.item_code
    where
        lines.is_required
        and lines.document_kind in ('estimate', 'invoice')
        and lines.quantity > 0
        and lines.category in ('casket_range_or_prices', 'merchandise')
        and case
            when goods.item_kind is not null then goods.item_kind = 'casket'
            else
                {{ says_any(spaced_words("lines.description"), ["casket ", "coffin "]) }}
                and not {{ says_any(spaced_words("lines.description"), ["container ", "alternative "]) }}
        end
)

select
    {{ finding(
        "casket_required_for_direct_cremation",
        case_number="claims.case_number",
        location_id="claims.location_id",
        occurred_at="cast(claims.document_date as timestamp)",
        a="claims",
        feed_a="statement_lines",
        measured_value="claims.line_total",
        value_unit="usd",
        detail="'Document ' || claims.document_number || ' line ' || cast(claims.line_number as varchar)
            || ' marks casket ' || coalesce(claims.item_code, '(no code)') || ' at '
            || " ~ price_text("claims.line_total") ~ " || ' as required beside a direct cremation.'"
    ) }}
from claims
where claims.line_rank = 1
