{#
    Findings of a range on the general list that is not the lowest and highest price of the list of the same days.
    `category` is that of the range, `list_kind` the list behind it, `item_kind` what counts on it where the goods are
    known, `what` its name.
#}
{% macro range_finding(rule_code, category, list_kind, item_kind, what) -%}
with ranges as (
    select
        location_id,
        effective_from,
        effective_until,
        min(price) as price,
        max(price_to) as price_to,
        min(item_code) as item_code
    from {{ ref("int_price_list_lines") }}
    where list_kind = 'general' and category = '{{ category }}'
    group by location_id, effective_from, effective_until
),

goods as (
    select lines.*
    from {{ ref("int_price_list_lines") }} as lines
    left join {{ ref("stg_supply_items") }} as items
        on lines.item_code = items.item_code
    where
        lines.list_kind = '{{ list_kind }}'
        and lines.category <> 'list_header'
        and not coalesce(lines.is_of_partial, false)
        and coalesce(lines.variant <> 'alternative_container', true)
        and coalesce(items.item_kind = '{{ item_kind }}', true)
),

compared as (
    select
        ranges.location_id,
        ranges.effective_from as general_from,
        ranges.item_code as general_item_code,
        ranges.price as range_price,
        ranges.price_to as range_price_to,
        greatest(ranges.effective_from, goods.effective_from) as shared_from,
        goods.effective_from,
        goods.item_code,
        goods.price,
        goods.price_to,
        min(goods.price) over lists_compared as lowest_price,
        max(goods.price_to) over lists_compared as highest_price
    from ranges
    inner join goods
        on
            ranges.location_id = goods.location_id
            and ranges.effective_from < goods.effective_until
            and ranges.effective_until > goods.effective_from
    window lists_compared as (partition by ranges.location_id, ranges.effective_from, goods.effective_from)
),

wrong_ends as (
    select
        *,
        price_to = highest_price and highest_price <> range_price_to as is_high_end,
        row_number() over (
            partition by location_id, general_from, effective_from
            order by case when price_to = highest_price and highest_price <> range_price_to then 0 else 1 end, item_code
        ) as end_rank
    from compared
    where
        shared_from <= cast({{ as_of() }} as date)
        and (
            (price_to = highest_price and highest_price <> range_price_to)
            or (price = lowest_price and lowest_price <> range_price)
        )
)

select
    {{ finding(
        rule_code,
        case_number="null",
        location_id="ends.location_id",
        occurred_at="cast(ends.shared_from as timestamp)",
        a="generals",
        feed_a="price_lists",
        b="lists",
        feed_b="price_lists",
        measured_value="case when ends.is_high_end then ends.highest_price else ends.lowest_price end",
        limit_value="case when ends.is_high_end then ends.range_price_to else ends.range_price end",
        value_unit="usd",
        detail="'General list of ' || ends.location_id || ' from ' || cast(ends.general_from as varchar)
            || ' says " ~ what ~ " cost ' || " ~ number_text("ends.range_price", 2) ~ " || ' to '
            || " ~ number_text("ends.range_price_to", 2) ~ " || '; the list of " ~ what ~ " from '
            || cast(ends.effective_from as varchar) || ' has '
            || " ~ number_text("ends.lowest_price", 2) ~ " || ' to '
            || " ~ number_text("ends.highest_price", 2) ~ " || '.'"
    ) }}
from wrong_ends as ends
inner join {{ ref("int_price_list_lines") }} as generals
    on
        ends.location_id = generals.location_id
        and generals.list_kind = 'general'
        and ends.general_from = generals.effective_from
        and ends.general_item_code = generals.item_code
inner join {{ ref("int_price_list_lines") }} as lists
    on
        ends.location_id = lists.location_id
        and lists.list_kind = '{{ list_kind }}'
        and ends.effective_from = lists.effective_from
        and ends.item_code = lists.item_code
where ends.end_rank = 1
{%- endmacro %}
