-- A new price is a new list with a new day; a list that was in force judges the bills of its days by what it said
-- then. An amount that is written otherwise, or is what it was again, is no change. One finding per list, with its
-- worst price.
with first_prices as (
    {{ first_exported("price_lists", ["price", "price_high"]) }}
),

priced as (
    select
        lists.*,
        case when first_prices.column_name = 'price' then lists.price else lists.price_high end as price_now,
        {{ decimal_of_text("first_prices.was") }} as price_was,
        first_prices.older_file_id,
        first_prices.older_line
    from {{ ref("stg_price_lists") }} as lists
    inner join first_prices
        on lists.file_id = first_prices.file_id and lists.line = first_prices.line and first_prices.value_number = 1
    -- A list of a day to come is mended before it is handed to anybody.
    where lists.effective_from < cast(first_prices.changed_at as date)
),

changed as (
    select
        *,
        count(*) over (partition by location_id, list_kind, effective_from) as price_count,
        row_number() over (
            partition by location_id, list_kind, effective_from
            order by abs(price_now - price_was) desc, item_code asc, price_now asc
        ) as price_rank
    from priced
    where price_now <> price_was
)

select
    {{ finding(
        "list_price_changed",
        case_number="null",
        location_id="changed.location_id",
        occurred_at="cast(changed.effective_from as timestamp)",
        a="changed", feed_a="price_lists",
        b="changed", feed_b="price_lists", file_id_b="older_file_id", line_b="older_line",
        measured_value="changed.price_now",
        limit_value="changed.price_was",
        value_unit="usd",
        detail="'The ' || replace(changed.list_kind, '_', ' ') || ' price list of ' || changed.location_id || ' from '
            || cast(changed.effective_from as varchar) || ' had ' || changed.item_code || ' at ' || "
            ~ price_text("changed.price_was") ~ " || ' in an earlier export, and has it at ' || "
            ~ price_text("changed.price_now") ~ " || ' now, under the same day; prices of it that changed: '
            || cast(changed.price_count as varchar) || '. Bills since that day are judged by the new ones.'"
    ) }}
from changed
where changed.price_rank = 1
