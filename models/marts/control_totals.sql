{#
    A file's money total is the sum of its line totals; feeds without amounts have none. What a file
    holds now: records of a key whose newer version stands in a later file count there. A line of totals is no amount.
    What is dated after the as-of instant is accepted, stands in no other mart, and is counted here.
#}
with sums as (
    select
        file_id,
        line
    from {{ source("quality", "rejects") }}
    where rule_code = 'totals_row'
),

amounts as (
    {% for feed in ["statement_lines", "supplier_bill_lines"] -%}
    {% set feed_loop = loop -%}
    {% for layer in ["accepted", "held"] -%}
    select
        file_id,
        {% if layer == "accepted" %}line_total{% else %}cast(null as decimal(18, 2)){% endif %} as amount_accepted,
        {% if layer == "held" %}line_total{% else %}cast(null as decimal(18, 2)){% endif %} as amount_held
    from {{ source(layer, feed) }} as records
    where
        not exists (
            select 1
            from sums
            where sums.file_id = records.file_id and sums.line = records.line
        )
    {%- if not (loop.last and feed_loop.last) %}

    union all

    {% endif %}
    {%- endfor %}
    {%- endfor %}
),

totals as (
    select
        file_id,
        sum(amount_accepted) as amount_accepted,
        sum(amount_held) as amount_held
    from amounts
    group by file_id
),

later as (
    select
        events.file_id,
        cast(null as decimal(18, 2)) as amount
    from {{ ref("stg_custody_events") }} as events
    where not events.is_held and events.occurred_at > {{ as_of() }}

    union all

    select
        records.file_id,
        cast(null as decimal(18, 2)) as amount
    from {{ ref("stg_cases") }} as records
    left join {{ ref("int_cases") }} as cases
        on records.case_number = cases.case_number
    where not records.is_held and cases.case_number is null

    union all

    select
        file_id,
        cast(null as decimal(18, 2)) as amount
    from {{ ref("stg_supply_movements") }}
    where occurred_at > {{ as_of() }}

    union all

    select
        file_id,
        cast(null as decimal(18, 2)) as amount
    from {{ ref("stg_air_samples") }}
    where started_at > {{ as_of() }}

    {% for feed, dated in [("statement_lines", "document_date"), ("supplier_bill_lines", "bill_date")] -%}
    union all

    select
        lines.file_id,
        lines.line_total as amount
    from {{ ref("stg_" ~ feed) }} as lines
    left join {{ ref("int_local_today") }} as today
        on lines.location_id = today.location_id
    where lines.{{ dated }} > {{ today("today") }}
    {%- if not loop.last %}

    {% endif %}
    {%- endfor %}
),

later_totals as (
    select
        file_id,
        count(*) as later_count,
        sum(amount) as amount_later
    from later
    group by file_id
)

select
    accounts.feed,
    accounts.file_name,
    -- What came with the program bears the first day of 1970, so that any file of the group is newer.
    coalesce(accounts.exported_at <= cast('1970-01-01' as timestamp), false) as is_shipped,
    accounts.records_read,
    accounts.accepted as accepted_count,
    accounts.held_back as held_count,
    case
        when accounts.feed in ('statement_lines', 'supplier_bill_lines')
            then cast(coalesce(totals.amount_accepted, 0) as decimal(38, 2))
    end as amount_accepted,
    case
        when accounts.feed in ('statement_lines', 'supplier_bill_lines')
            then cast(coalesce(totals.amount_held, 0) as decimal(38, 2))
    end as amount_held,
    cast(coalesce(later_totals.later_count, 0) as bigint) as later_count,
    case
        when accounts.feed in ('statement_lines', 'supplier_bill_lines')
            then cast(coalesce(later_totals.amount_later, 0) as decimal(38, 2))
    end as amount_later
from {{ source("quality", "file_accounts") }} as accounts
left join totals
    on accounts.file_id = totals.file_id
left join later_totals
    on accounts.file_id = later_totals.file_id
