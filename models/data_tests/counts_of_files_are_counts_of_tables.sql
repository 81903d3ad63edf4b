-- The account's figures are counted anew in the tables they speak of.
{% set feeds = var("group_feeds") %}

with records as (
    {% for feed in feeds -%}
    select
        file_id,
        1 as accepted,
        0 as held
    from {{ source("accepted", feed) }}

    union all

    select
        file_id,
        0 as accepted,
        1 as held
    from {{ source("held", feed) }}
    {%- if not loop.last %}

    union all

    {% endif %}
    {%- endfor %}
),

counted as (
    select
        file_id,
        sum(accepted) as accepted,
        sum(held) as held
    from records
    group by file_id
)

select
    accounts.file_name,
    accounts.accepted,
    counted.accepted as accepted_in_table,
    accounts.held_back,
    counted.held as held_in_table
from {{ source("quality", "file_accounts") }} as accounts
left join counted
    on accounts.file_id = counted.file_id
where
    accounts.feed in ('{{ feeds | join("', '") }}')
    and (
        accounts.accepted <> coalesce(counted.accepted, 0)
        or accounts.held_back <> coalesce(counted.held, 0)
    )
