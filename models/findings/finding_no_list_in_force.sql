-- One finding per home: without a list no other rule of prices can say anything of its bills.
with unlisted as (
    select
        *,
        row_number() over (
            partition by location_id order by document_date, document_number, line_number
        ) as line_rank,
        count(*) over (partition by location_id) as line_count,
        max(document_date) over (partition by location_id) as last_date,
        sum(line_total) over (partition by location_id) as amount
    from {{ ref("charges_checked") }}
    where document_kind = 'invoice' and quantity > 0 and check_state = 'no list in force' and not is_trade_call
)

select
    {{ finding(
        "no_list_in_force",
        case_number="null",
        location_id="unlisted.location_id",
        occurred_at="cast(unlisted.document_date as timestamp)",
        a="unlisted",
        feed_a="statement_lines",
        measured_value="unlisted.amount",
        value_unit="usd",
        detail="'Invoices of ' || unlisted.location_id || ' from ' || cast(unlisted.document_date as varchar) || ' to '
            || cast(unlisted.last_date as varchar) || ' have ' || cast(unlisted.line_count as varchar)
            || case when unlisted.line_count = 1 then ' line of ' else ' lines of ' end
            || " ~ price_text("unlisted.amount") ~ "
            || ' for arrangements of days on which no general price list of it was in force.'"
    ) }}
from unlisted
where
    unlisted.line_rank = 1
    and not exists (
        select 1
        from {{ ref("stg_held_price_lists") }} as held
        where held.location_id = unlisted.location_id and coalesce(held.list_kind = 'general', true)
    )
