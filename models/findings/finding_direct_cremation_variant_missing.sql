-- 16 CFR 453.2(b)(4)(ii)(C): a price with a container that the purchaser provides, and one with an alternative one.
-- A list that does not say which way its prices are is not judged.
with directs as (
    select
        *,
        row_number() over (partition by location_id, effective_from order by item_code) as line_rank,
        count(case when variant = 'purchaser_container' then 1 end) over lists as own_count,
        count(case when variant = 'alternative_container' then 1 end) over lists as alternative_count,
        count(case when variant is null then 1 end) over lists as unsaid_count
    from {{ ref("int_price_list_lines") }}
    where list_kind = 'general' and category = 'direct_cremation' and not is_of_partial
    window lists as (partition by location_id, effective_from)
)

select
    {{ finding(
        "direct_cremation_variant_missing",
        case_number="null",
        location_id="directs.location_id",
        occurred_at="cast(directs.effective_from as timestamp)",
        a="directs",
        feed_a="price_lists",
        detail="'The general price list of ' || directs.location_id || ' from '
            || cast(directs.effective_from as varchar) || ' prices direct cremation and has no price for it with '
            || case
                when directs.own_count = 0 then 'a container that the purchaser provides.'
                else 'an alternative container.'
            end"
    ) }}
from directs
where
    directs.line_rank = 1
    and directs.unsaid_count = 0
    and (directs.own_count = 0 or directs.alternative_count = 0)
    and not exists (
        select 1
        from {{ ref("stg_held_price_lists") }} as held
        where
            held.location_id = directs.location_id
            and coalesce(held.list_kind = 'general', true)
            and coalesce(held.category = 'direct_cremation', true)
    )
