with versions as (
    select distinct
        location_id,
        list_kind,
        effective_from
    from {{ ref("stg_price_lists") }}
)

select
    location_id,
    list_kind,
    effective_from,
    coalesce(
        lead(effective_from) over (partition by location_id, list_kind order by effective_from),
        cast('9999-12-31' as date)
    ) as effective_until
from versions
