-- A home that writes invoices closed the case and wrote none. What was begun before its first exported invoice may have
-- been billed before; a held line could be the one that is missing.
with homes as (
    select
        location_id,
        min(document_date) as first_date
    from {{ ref("int_statement_lines") }}
    where document_kind = 'invoice'
    group by location_id
),

invoiced as (
    select case_number
    from {{ ref("int_statement_lines") }}
    where document_kind = 'invoice'

    union

    select case_number
    from {{ ref("stg_held_statement_lines") }}
)

select
    {{ finding(
        "not_invoiced",
        case_number="cases.case_number",
        location_id="cases.location_id",
        occurred_at="cases.closed_at",
        a="cases", feed_a="cases",
        detail="'Case ' || cases.case_number || ' is closed since ' || "
            ~ minute_text(local_time("cases.closed_at", "cases.time_zone"))
            ~ " || ', and no invoice of it was exported.' || " ~ held_back_note("cases.is_held")
    ) }}
from {{ ref("int_cases") }} as cases
inner join homes
    on
        cases.location_id = homes.location_id
        and coalesce(cases.first_call_at, cases.closed_at) >= cast(homes.first_date as timestamp)
left join invoiced
    on cases.case_number = invoiced.case_number
where cases.case_status = 'closed' and invoiced.case_number is null
