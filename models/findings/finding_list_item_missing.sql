with lists as (
    select
        *,
        row_number() over (
            partition by location_id, effective_from
            order by case when category = 'list_header' then 0 else 1 end, item_code
        ) as line_rank
    from {{ ref("int_price_list_lines") }}
    where list_kind = 'general'
),

sales as (
    select
        *,
        row_number() over (
            partition by location_id, general_effective_from, list_category
            order by document_date, document_number, line_number
        ) as sale_rank
    from {{ ref("charges_checked") }}
    where document_kind = 'invoice' and quantity > 0 and check_state in ('not on list', 'agrees', 'above list', 'below list')
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
from {{ ref("price_list_completeness") }} as absent
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
    absent.state = 'not listed'
    and not exists (
        select 1
        from {{ ref("stg_held_price_lists") }} as held
        where
            held.location_id = absent.location_id
            and coalesce(held.list_kind = 'general', true)
            and coalesce(held.category = absent.category, true)
    )
