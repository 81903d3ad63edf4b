-- 16 CFR 453.2(b)(4)(iii)(A): the range on the general list is that of the casket list of the same day.
with ranges as (
    select
        location_id,
        effective_from,
        effective_until,
        min(price) as price,
        max(price_to) as price_to,
        min(item_code) as item_code
    from {{ ref("int_price_list_lines") }}
    where list_kind = 'general' and category = 'casket_range_or_prices'
    group by location_id, effective_from, effective_until
),

caskets as (
    select lines.*
    from {{ ref("int_price_list_lines") }} as lines
    left join {{ ref("stg_supply_items") }} as goods
        on lines.item_code = goods.item_code
    where
        lines.list_kind = 'casket'
        and lines.category <> 'list_header'
        and not coalesce(lines.is_of_partial, false)
        and coalesce(lines.variant <> 'alternative_container', true)
        and coalesce(goods.item_kind = 'casket', true)
),

compared as (
    select
        ranges.location_id,
        ranges.effective_from as general_from,
        ranges.item_code as general_item_code,
        ranges.price as range_price,
        ranges.price_to as range_price_to,
        greatest(ranges.effective_from, caskets.effective_from) as shared_from,
        caskets.effective_from,
        caskets.item_code,
        caskets.price,
        caskets.price_to,
        min(caskets.price) over lists_compared as lowest_price,
        max(caskets.price_to) over lists_compared as highest_price
    from ranges
    inner join caskets
        on
            ranges.location_id = caskets.location_id
            and ranges.effective_from < caskets.effective_until
            and ranges.effective_until > caskets.effective_from
    window lists_compared as (partition by ranges.location_id, ranges.effective_from, caskets.effective_from)
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
        "casket_range_contradicts",
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
            || ' says caskets cost ' || " ~ number_text("ends.range_price", 2) ~ " || ' to '
            || " ~ number_text("ends.range_price_to", 2) ~ " || '; the casket list from '
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
        and lists.list_kind = 'casket'
        and ends.effective_from = lists.effective_from
        and ends.item_code = lists.item_code
where ends.end_rank = 1
