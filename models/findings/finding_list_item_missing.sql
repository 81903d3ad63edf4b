with absent as (
    select *
    from {{ ref("price_list_completeness") }}
    where state = 'not listed' and is_sold
),

lists as (
    select
        lines.*,
        row_number() over (
            partition by lines.location_id, lines.effective_from
            order by case when lines.category = 'list_header' then 0 else 1 end, lines.item_code
        ) as line_rank
    from {{ ref("int_price_list_lines") }} as lines
    where lines.list_kind = 'general'
),

sales as (
    select
        charges.*,
        row_number() over (
            partition by charges.location_id, charges.general_effective_from, charges.list_category
            order by charges.document_date, charges.document_number, charges.line_number
        ) as sale_rank
    from {{ ref("charges_checked") }} as charges
    inner join absent
        on
            charges.location_id = absent.location_id
            and charges.general_effective_from = absent.effective_from
            and charges.list_category = absent.category
    where
        charges.document_kind = 'invoice'
        and charges.quantity > 0
        and charges.check_state <> 'cash advance'
        and not charges.is_trade_call
)

select
    {{ finding(
        "list_item_missing",
        case_number="null",
        location_id="absent.location_id",
        occurred_at="cast(absent.effective_from as timestamp)",
        a="lists",
        feed_a="price_lists",
        b="sales",
        feed_b="statement_lines",
        detail="'The general price list of ' || absent.location_id || ' in force from '
            || cast(absent.effective_from as varchar) || ' has no price for item '
            || cast(absent.item_number as varchar) || ' (' || absent.item_name || '), sold by document '
            || sales.document_number || '.'"
    ) }}
from absent
inner join lists
    on
        absent.location_id = lists.location_id
        and absent.effective_from = lists.effective_from
        and lists.line_rank = 1
inner join sales
    on
        absent.location_id = sales.location_id
        and absent.effective_from = sales.general_effective_from
        and absent.category = sales.list_category
        and sales.sale_rank = 1
where
    not exists (
        select 1
        from {{ ref("stg_held_price_lists") }} as held
        where
            held.location_id = absent.location_id
            and coalesce(held.list_kind = 'general', true)
            and coalesce(held.category = absent.category, true)
    )
