with first_invoices as (
    select
        case_number,
        min(document_date) as invoice_date
    from {{ ref("int_statement_lines") }}
    where document_kind = 'invoice'
    group by case_number
),

instants as (
    select
        cases.case_number,
        cases.location_id,
        cases.time_zone,
        cases.case_kind,
        cases.disposition_kind,
        cases.is_trade_call,
        cases.case_status = 'closed' as is_closed,
        coalesce(milestones.has_held_event, false) as is_custody_missing,
        cases.first_call_at as call_at,
        cases.arrangement_at,
        cases.death_at,
        cases.date_of_death_latest,
        cases.certificate_signed_at as certificate_at,
        cases.certificate_signed_date as certificate_date,
        cases.permit_issued_at as permit_at,
        cases.permit_issued_date as permit_date,
        case when not milestones.has_held_event then milestones.received_at end as received_at,
        case
            when not milestones.has_held_event and milestones.identity_checked_at is not null
                then greatest(milestones.identity_checked_at, milestones.band_attached_at)
        end as checked_at,
        case
            when not milestones.has_held_event
                then least(milestones.refrigerated_at, milestones.embalming_finished_at)
        end as cared_at,
        case when not milestones.has_held_event then milestones.final_at end as final_at,
        case when not milestones.has_held_event then milestones.remains_gone_at end as remains_gone_at,
        invoices.invoice_date as first_invoice_date
    from {{ ref("int_cases") }} as cases
    left join {{ ref("int_case_milestones") }} as milestones
        on cases.case_number = milestones.case_number
    left join first_invoices as invoices
        on cases.case_number = invoices.case_number
    where not cases.is_held and cases.case_status <> 'cancelled' and cases.first_call_at <= {{ as_of() }}
),

dated as (
    select
        *,
        {{ local_date("call_at", "time_zone") }} as call_date,
        {{ local_date("arrangement_at", "time_zone") }} as arrangement_date,
        {{ local_date("received_at", "time_zone") }} as received_date,
        {{ local_date("checked_at", "time_zone") }} as checked_date,
        {{ local_date("cared_at", "time_zone") }} as cared_date,
        {{ local_date("final_at", "time_zone") }} as final_date,
        {{ local_date("remains_gone_at", "time_zone") }} as remains_gone_date,
        coalesce({{ local_date("death_at", "time_zone") }}, date_of_death_latest) as death_date
    from instants
)

-- An invoice has a date and no time: it counts from the end of its day, one of today from now. One that was written
-- before the disposition made nobody wait: zero hours.
select
    case_number,
    location_id,
    case_kind,
    disposition_kind,
    is_trade_call,
    is_closed,
    is_custody_missing,
    call_at,
    call_date,
    arrangement_at,
    arrangement_date,
    death_at,
    death_date,
    certificate_at,
    certificate_date,
    permit_at,
    permit_date,
    received_at,
    received_date,
    checked_at,
    checked_date,
    cared_at,
    cared_date,
    final_at,
    final_date,
    remains_gone_at,
    remains_gone_date,
    case
        when final_at is not null and first_invoice_date is not null
            then greatest(
                final_at,
                least(
                    {{ utc_of_local(
                        "cast(" ~ add_days("first_invoice_date", 1) ~ " as timestamp)", "time_zone"
                    ) }},
                    {{ as_of() }}
                )
            )
    end as invoice_at,
    case
        when final_at is not null and first_invoice_date is not null
            then greatest(final_date, first_invoice_date)
    end as invoice_date
from dated
