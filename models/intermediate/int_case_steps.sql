{#
    Steps: code, start and finish (a stem of `facts`: <stem>_at and <stem>_date), whether custody
    records give one of its instants, and whether it is over once the person has left our care.
#}
{% set steps = [
    ("call_to_received", "call", "received", true, true),
    ("received_to_checked", "received", "checked", true, true),
    ("received_to_cared", "received", "cared", true, true),
    ("call_to_arrangement", "call", "arrangement", false, false),
    ("death_to_certificate", "death", "certificate", false, false),
    ("certificate_to_permit", "certificate", "permit", false, false),
    ("permit_to_disposition", "permit", "final", true, false),
    ("disposition_to_remains", "final", "remains_gone", true, false),
    ("call_to_disposition", "call", "final", true, false),
    ("disposition_to_invoice", "final", "invoice", true, false),
] %}

with first_invoices as (
    select
        case_number,
        min(document_date) as invoice_date
    from {{ ref("stg_statement_lines") }}
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
    where not cases.is_held and cases.case_status <> 'cancelled'
),

dated as (
    select
        instants.*,
        {{ local_date("call_at", "time_zone") }} as call_date,
        {{ local_date("arrangement_at", "time_zone") }} as arrangement_date,
        {{ local_date("received_at", "time_zone") }} as received_date,
        {{ local_date("checked_at", "time_zone") }} as checked_date,
        {{ local_date("cared_at", "time_zone") }} as cared_date,
        {{ local_date("final_at", "time_zone") }} as final_date,
        {{ local_date("remains_gone_at", "time_zone") }} as remains_gone_date,
        coalesce({{ local_date("death_at", "time_zone") }}, date_of_death_latest) as death_date
    from instants
),

facts as (
    -- An invoice has a date and no time: it counts from the end of its day. One that was written
    -- before the disposition made nobody wait: zero hours.
    select
        dated.*,
        case
            when final_at is not null and first_invoice_date is not null
                then greatest(
                    final_at,
                    {{ utc_of_local(
                        "cast(" ~ add_days("first_invoice_date", 1) ~ " as timestamp)", "time_zone"
                    ) }}
                )
        end as invoice_at,
        case
            when final_at is not null and first_invoice_date is not null
                then greatest(final_date, first_invoice_date)
        end as invoice_date
    from dated
),

steps as (
    {% for code, start, finish, is_from_custody, is_over_when_gone in steps -%}
    select
        case_number,
        location_id,
        case_kind,
        disposition_kind,
        '{{ code }}' as step_code,
        {{ start }}_at as started_at,
        {{ start }}_date as started_date,
        {{ finish }}_at as finished_at,
        {{ finish }}_date as finished_date,
        is_closed
        {%- if is_from_custody %} or is_custody_missing{% endif %}
        {%- if is_over_when_gone %} or final_at is not null{% endif %} as is_over
    from facts
    {%- if code == "disposition_to_remains" %}
    where disposition_kind = 'cremation'
    {%- endif %}
    {%- if not loop.last %}

    union all

    {% endif %}
    {%- endfor %}
),

measured as (
    select
        steps.*,
        targets.step_name,
        targets.target_hours,
        case
            when started_at is not null and finished_at is not null
                then case when finished_at < started_at then 'negative' else 'finished' end
            when started_at is not null and finished_date is null and not is_over then 'open'
            when started_date is null and finished_date is null and not is_over then 'not started'
            else 'no time given'
        end as step_state,
        {{ elapsed_hours("started_at", "coalesce(finished_at, " ~ as_of() ~ ")") }} as hours
    from steps
    left join {{ ref("stg_step_targets") }} as targets
        on steps.step_code = targets.step_code
)

select
    case_number,
    location_id,
    case_kind,
    disposition_kind,
    step_code,
    coalesce(step_name, step_code) as step_name,
    started_at,
    finished_at,
    case when step_state in ('finished', 'open', 'negative') then hours end as hours,
    step_state,
    {{ to_double("target_hours") }} as target_hours,
    case
        when step_state = 'finished' then hours <= target_hours
        when step_state = 'open' and hours > target_hours then false
    end as is_within_target,
    {{ iso_week_monday("started_date") }} as started_week,
    {{ iso_week_monday("finished_date") }} as finished_week
from measured
