{# Judgement of the group: a list of five items or more that is less than half of an earlier one is a part of a list. #}
{% set least_items = 5 %}

with counted as (
    select
        location_id,
        list_kind,
        effective_from,
        count(case when coalesce(category <> 'list_header', true) then 1 end) as line_count
    from {{ ref("stg_price_lists") }}
    group by location_id, list_kind, effective_from
),

compared as (
    select
        *,
        max(line_count) over (
            partition by location_id, list_kind
            order by effective_from
            rows between unbounded preceding and 1 preceding
        ) as earlier_line_count,
        lag(line_count) over (partition by location_id, list_kind order by effective_from) as line_count_before
    from counted
),

judged as (
    select
        *,
        coalesce(
            earlier_line_count >= {{ least_items }}
            and line_count * 2 < earlier_line_count
            -- As short as the one before, it is the list that the home has now.
            and not (
                line_count >= {{ least_items }}
                and line_count * 2 >= line_count_before
                and line_count <= line_count_before * 2
            ),
            false
        ) as is_partial
    from compared
)

-- A part ends nothing: what it leaves out stays in force until the next whole list.
select
    location_id,
    list_kind,
    effective_from,
    coalesce(
        min(case when not is_partial then effective_from end) over (
            partition by location_id, list_kind
            order by effective_from
            rows between 1 following and unbounded following
        ),
        cast('9999-12-31' as date)
    ) as effective_until,
    line_count,
    earlier_line_count,
    is_partial
from judged
