with dated as (
    select
        lines.*,
        coalesce(cast(cases.arrangement_at_local as date), lines.document_date) as arrangement_date,
        case when cases.arrangement_at_local is null then 'document' else 'arrangement' end as arrangement_date_from,
        coalesce(goods.item_kind, 'none') as item_kind
    from {{ ref("stg_statement_lines") }} as lines
    left join {{ ref("stg_cases") }} as cases
        on lines.case_number = cases.case_number and not cases.is_held
    left join {{ ref("stg_supply_items") }} as goods
        on lines.item_code = goods.item_code
),

priced as (
    -- Each join finds one line at most: a list has one line per item, and one version a day.
    select
        dated.*,
        generals.effective_from as general_effective_from,
        coalesce(caskets.list_kind, containers.list_kind, others.list_kind) as list_kind,
        coalesce(caskets.effective_from, containers.effective_from, others.effective_from) as list_effective_from,
        coalesce(caskets.price, containers.price, others.price) as list_price,
        coalesce(caskets.price_to, containers.price_to, others.price_to) as list_price_high
    from dated
    left join {{ ref("int_price_list_versions") }} as generals
        on
            dated.location_id = generals.location_id
            and generals.list_kind = 'general'
            and dated.arrangement_date >= generals.effective_from
            and dated.arrangement_date < generals.effective_until
    {% for alias, kind in [("caskets", "casket"), ("containers", "outer_container"), ("others", "general")] %}
    left join {{ ref("int_price_list_lines") }} as {{ alias }}
        on
            dated.location_id = {{ alias }}.location_id
            and dated.item_code = {{ alias }}.item_code
            and {{ alias }}.list_kind = '{{ kind }}'
            and {{ alias }}.category <> 'list_header'
            and dated.arrangement_date >= {{ alias }}.effective_from
            and dated.arrangement_date < {{ alias }}.effective_until
    {% endfor %}
),

judged as (
    select
        priced.*,
        case
            when {{ is_advance("priced") }} then 'cash advance'
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
            then {{ as_money("line_total - cast(quantity * list_price_high as decimal(38, 2))") }}
        -- A credit at a lower price may be an allowance on a higher one: there is nothing to compare.
        when check_state = 'below list' and document_kind <> 'credit'
            then {{ as_money("line_total - cast(quantity * list_price as decimal(38, 2))") }}
    end as difference,
    check_state,
    file_id,
    line,
    list_kind,
    general_effective_from,
    arrangement_date_from,
    case
        when category <> 'merchandise' then category
        when item_kind in ('casket', 'alternative_container') then 'casket_range_or_prices'
        when item_kind = 'outer_container' then 'outer_burial_container_range_or_prices'
        else category
    end as list_category
from judged
