{#
    A file's money total is the sum of its line totals; feeds without amounts have none. What a file
    holds now: records of a key whose newer version stands in a later file count there.
#}
with amounts as (
    {% for feed in ["statement_lines", "supplier_bill_lines"] -%}
    {% set feed_loop = loop -%}
    {% for layer in ["accepted", "held"] -%}
    select
        file_id,
        {% if layer == "accepted" %}line_total{% else %}cast(null as decimal(18, 2)){% endif %} as amount_accepted,
        {% if layer == "held" %}line_total{% else %}cast(null as decimal(18, 2)){% endif %} as amount_held
    from {{ source(layer, feed) }}
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
)

select
    accounts.feed,
    accounts.file_name,
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
    end as amount_held
from {{ source("quality", "file_accounts") }} as accounts
left join totals
    on accounts.file_id = totals.file_id
