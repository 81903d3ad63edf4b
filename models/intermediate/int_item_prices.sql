-- An item may stand on several lists of a day; its own kind of list speaks first. Days are cut where
-- any of them begins or ends, so that a day has one price.
with lines as (
    select *
    from {{ ref("int_price_list_lines") }}
    where category <> 'list_header'
),

bounds as (
    select
        location_id,
        item_code,
        effective_from as bound_date
    from lines
    union
    select
        location_id,
        item_code,
        effective_until as bound_date
    from lines
),

spans as (
    select
        location_id,
        item_code,
        bound_date as valid_from,
        lead(bound_date) over (partition by location_id, item_code order by bound_date) as valid_until
    from bounds
),

candidates as (
    select
        spans.location_id,
        spans.item_code,
        spans.valid_from,
        spans.valid_until,
        lines.list_kind,
        lines.effective_from,
        lines.category,
        lines.price,
        lines.price_to,
        row_number() over (
            partition by spans.location_id, spans.item_code, spans.valid_from
            order by case lines.list_kind when 'casket' then 1 when 'outer_container' then 2 else 3 end
        ) as preference
    from spans
    inner join lines
        on
            spans.location_id = lines.location_id
            and spans.item_code = lines.item_code
            and spans.valid_from >= lines.effective_from
            and spans.valid_from < lines.effective_until
)

select
    location_id,
    item_code,
    valid_from,
    valid_until,
    list_kind,
    effective_from,
    category,
    price,
    price_to
from candidates
where preference = 1
