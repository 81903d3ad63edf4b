-- A new price is a new list with a new day; a list that was in force judges the bills of its days by what it said
-- then. An amount that is written otherwise, or is what it was again, is no change. One finding per list, with its
-- worst price.
with first_prices as (
    -- The record that counts now is the one that took the place of the older, whichever export that is from.
    select
        outdated.by_file_id as file_id,
        outdated.by_line as line,
        changes.column_name,
        changes.was,
        changes.older_file_id,
        changes.older_line,
        changes.changed_at,
        row_number() over (
            partition by outdated.by_file_id, outdated.by_line, changes.column_name
            order by changes.changed_at, changes.older_file_id, changes.older_line
        ) as price_number
    from {{ source("quality", "changes") }} as changes
    inner join {{ source("quality", "outdated") }} as outdated
        on
            changes.feed = outdated.feed
            and changes.older_file_id = outdated.file_id
            and changes.older_line = outdated.line
    where
        changes.feed = 'price_lists'
        and changes.column_name in ('price', 'price_high')
        and changes.was is not null
        and changes.changed_at <= {{ as_of() }}
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
        on lists.file_id = first_prices.file_id and lists.line = first_prices.line and first_prices.price_number = 1
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
