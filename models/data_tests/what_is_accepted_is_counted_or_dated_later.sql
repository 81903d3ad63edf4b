-- Nothing is dropped in silence: each accepted line of a document is checked, or is told to be of a later day.
with told as (
    select
        sum(accepted_count) as accepted_count,
        sum(later_count) as later_count,
        sum(amount_accepted) as amount_accepted,
        sum(amount_later) as amount_later
    from {{ ref("control_totals") }}
    where feed = 'statement_lines'
),

checked as (
    select
        count(*) as checked_count,
        sum(line_total) as amount_checked
    from {{ ref("charges_checked") }}
)

select
    told.accepted_count,
    told.later_count,
    checked.checked_count,
    told.amount_accepted,
    told.amount_later,
    checked.amount_checked
from told
cross join checked
where
    told.accepted_count <> told.later_count + checked.checked_count
    or coalesce(told.amount_accepted, 0) <> coalesce(told.amount_later, 0) + coalesce(checked.amount_checked, 0)
