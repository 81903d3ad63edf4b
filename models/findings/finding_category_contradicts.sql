{% set goods = "('merchandise', 'casket_range_or_prices', 'outer_burial_container_range_or_prices')" %}

-- 16 CFR 453.1(b), 453.3(f): what the home itself sells is no cash advance. Another category than that of the list
-- takes a line out of the rules that would judge it. What a credit took back is told no more.
with contradicted as (
    select
        *,
        case when check_state = 'cash advance' then 'cash_advance' else category end as billed_as
    from {{ ref("charges_checked") }}
    where
        document_kind = 'invoice'
        and quantity > 0
        and not is_trade_call
        and listed_as <> case when check_state = 'cash advance' then 'cash_advance' else category end
        and not (listed_as in {{ goods }} and category in {{ goods }} and check_state <> 'cash advance')
)

select
    {{ finding(
        "category_contradicts",
        case_number="charges.case_number",
        location_id="charges.location_id",
        occurred_at="cast(charges.document_date as timestamp)",
        a="charges",
        feed_a="statement_lines",
        b="lists",
        feed_b="price_lists",
        measured_value="charges.unit_price",
        limit_value="charges.list_price_high",
        value_unit="usd",
        detail="'Document ' || charges.document_number || ' line ' || cast(charges.line_number as varchar) || ': item '
            || charges.item_code || ' at ' || " ~ price_text("charges.unit_price") ~ " || ' is billed as '
            || replace(charges.billed_as, '_', ' ') || '; the list of ' || charges.location_id || ' in force on '
            || cast(charges.arrangement_date as varchar) || ' sells it as ' || replace(charges.listed_as, '_', ' ')
            || ' at ' || " ~ price_text("charges.list_price_high") ~ " || '.'"
    ) }}
from contradicted as charges
inner join {{ ref("int_price_list_lines") }} as lists
    on
        charges.location_id = lists.location_id
        and charges.list_kind = lists.list_kind
        and charges.list_effective_from = lists.effective_from
        and charges.item_code = lists.item_code
where
    not exists (
        select 1
        from {{ ref("int_statement_lines") }} as credits
        inner join {{ ref("int_statement_documents") }} as documents
            on credits.document_number = documents.document_number and credits.case_number = documents.case_number
        where
            credits.document_kind = 'credit'
            and credits.case_number = charges.case_number
            and documents.corrects_document = charges.document_number
            and credits.item_code = charges.item_code
    )
