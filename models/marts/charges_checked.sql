with dated as (
    select
        lines.document_number,
        lines.line_number,
        lines.document_kind,
        lines.document_date,
        lines.case_number,
        lines.location_id,
        coalesce(
            case when cases.arrangement_at <= {{ as_of() }} then cast(cases.arrangement_at_local as date) end,
            lines.document_date
        ) as arrangement_date,
        coalesce(cases.arrangement_at <= {{ as_of() }}, false) as has_arrangement_date,
        lines.item_code,
        lines.category,
        coalesce(goods.item_kind, 'none') as item_kind,
        lines.description,
        lines.quantity,
        lines.unit_price,
        lines.line_total,
        {{ is_advance("lines") }} as is_advance,
        coalesce(cases.is_trade_call, false) as is_trade_call,
        lines.file_id,
        lines.line
    from {{ ref("int_statement_lines") }} as lines
    left join {{ ref("stg_cases") }} as cases
        on lines.case_number = cases.case_number and not cases.is_held
    left join {{ ref("stg_supply_items") }} as goods
        on lines.item_code = goods.item_code
),

priced as (
    -- Each join finds one row at most: a home has one general list a day, and an item one price.
    select
        dated.*,
        generals.effective_from as general_effective_from,
        prices.list_kind,
        prices.effective_from as list_effective_from,
        prices.category as listed_as,
        prices.price as list_price,
        prices.price_to as list_price_high
    from dated
    left join {{ ref("int_price_list_versions") }} as generals
        on
            dated.location_id = generals.location_id
            and generals.list_kind = 'general'
            and not coalesce(generals.is_partial, false)
            and dated.arrangement_date >= generals.effective_from
            and dated.arrangement_date < generals.effective_until
    left join {{ ref("int_item_prices") }} as prices
        on
            dated.location_id = prices.location_id
            and dated.item_code = prices.item_code
            and dated.arrangement_date >= prices.valid_from
            and dated.arrangement_date < prices.valid_until
),

judged as (
    select
        *,
        case
            when is_advance then 'cash advance'
            when category in ('tax', 'discount', 'list_header') then 'not a list item'
            when unit_price > list_price_high then 'above list'
            when unit_price < list_price then 'below list'
            when list_price is not null then 'agrees'
            when general_effective_from is null then 'no list in force'
            -- The rule asks for lists of caskets, alternative and outer containers, not of other goods.
            when item_kind in ('urn', 'other') then 'not a list item'
            when category = 'merchandise' and item_kind not in ('casket', 'alternative_container', 'outer_container')
                then 'not a list item'
            else 'not on list'
        end as check_state
    from priced
)

select
    document_number,
    line_number,
    document_kind,
    document_date,
    case_number,
    location_id,
    arrangement_date,
    item_code,
    category,
    description,
    quantity,
    unit_price,
    line_total,
    list_effective_from,
    list_price,
    list_price_high,
    case
        when check_state = 'agrees' then cast(0 as decimal(18, 2))
        when check_state = 'above list'
            then {{ as_money("line_total - cast(" ~ product("quantity", "list_price_high") ~ " as decimal(38, 2))") }}
        -- A credit at a lower price may be an allowance on a higher one: there is nothing to compare.
        when check_state = 'below list' and document_kind <> 'credit'
            then {{ as_money("line_total - cast(" ~ product("quantity", "list_price") ~ " as decimal(38, 2))") }}
    end as difference,
    check_state,
    file_id,
    line,
    list_kind,
    general_effective_from,
    has_arrangement_date,
    case
        when category <> 'merchandise' then category
        when item_kind in ('casket', 'alternative_container') then 'casket_range_or_prices'
        when item_kind = 'outer_container' then 'outer_burial_container_range_or_prices'
        else category
    end as list_category,
    listed_as,
    is_trade_call
from judged
