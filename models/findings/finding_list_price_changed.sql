-- A new price is a new list with a new day; a list that was in force judges the bills of its days by what it said then.
-- An amount that is written otherwise, or is what it was again, is no change.
with first_prices as (
    select
        record_key,
        was,
        older_file_id,
        older_line,
        row_number() over (partition by record_key order by changed_at, older_file_id, older_line) as price_number
    from {{ source("quality", "changes") }}
    where feed = 'price_lists' and column_name = 'price' and was is not null and changed_at <= {{ as_of() }}
),

last_changes as (
    select
        record_key,
        newer_file_id,
        newer_line,
        changed_at,
        row_number() over (
            partition by record_key order by changed_at desc, newer_file_id asc, newer_line asc
        ) as change_number
    from {{ source("quality", "changes") }}
    where feed = 'price_lists' and column_name = 'price' and changed_at <= {{ as_of() }}
),

changed as (
    select
        lists.*,
        {{ decimal_of_text("first_prices.was") }} as price_was,
        first_prices.older_file_id,
        first_prices.older_line,
        last_changes.changed_at
    from {{ ref("stg_price_lists") }} as lists
    inner join last_changes
        on
            lists.file_id = last_changes.newer_file_id
            and lists.line = last_changes.newer_line
            and last_changes.change_number = 1
    inner join first_prices
        on last_changes.record_key = first_prices.record_key and first_prices.price_number = 1
)

select
    {{ finding(
        "list_price_changed",
        case_number="null",
        location_id="changed.location_id",
        occurred_at="cast(changed.effective_from as timestamp)",
        a="changed", feed_a="price_lists",
        b="changed", feed_b="price_lists", file_id_b="older_file_id", line_b="older_line",
        measured_value="changed.price",
        limit_value="changed.price_was",
        value_unit="usd",
        detail="'The ' || replace(changed.list_kind, '_', ' ') || ' price list of ' || changed.location_id || ' from '
            || cast(changed.effective_from as varchar) || ' had ' || changed.item_code || ' at ' || "
            ~ price_text("changed.price_was") ~ " || ' in an earlier export, and has it at ' || "
            ~ price_text("changed.price") ~ " || ' now, under the same day. Bills since that day are judged by the new price.'"
    ) }}
from changed
where
    changed.price_was <> changed.price
    -- A list of a day to come is mended before it is handed to anybody.
    and changed.effective_from < cast(changed.changed_at as date)
