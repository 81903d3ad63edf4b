{#
    Steps: code, start and finish (a stem of int_case_instants: <stem>_at and <stem>_date), whether custody
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

with steps as (
    {% for code, start, finish, is_from_custody, is_over_when_gone in steps -%}
    select
        case_number,
        location_id,
        case_kind,
        disposition_kind,
        is_trade_call,
        '{{ code }}' as step_code,
        {{ start }}_at as started_at,
        {{ start }}_date as started_date,
        {{ finish }}_at as finished_at,
        {{ finish }}_date as finished_date,
        is_closed
        {%- if is_from_custody %} or is_custody_missing{% endif %}
        {%- if is_over_when_gone %} or final_at is not null{% endif %} as is_over
    from {{ ref("int_case_instants") }}
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
        targets.step_number,
        targets.owed_by,
        coalesce(own_targets.target_hours, targets.target_hours) as target_hours,
        case
            when steps.started_at is not null and steps.finished_at is not null
                then case when steps.finished_at < steps.started_at then 'negative' else 'finished' end
            when steps.started_at is not null and steps.finished_date is null and not steps.is_over then 'open'
            when steps.started_date is null and steps.finished_date is null and not steps.is_over
                then 'not started'
            else 'no time given'
        end as step_state,
        {{ elapsed_hours("steps.started_at", "coalesce(steps.finished_at, " ~ as_of() ~ ")") }} as hours
    from steps
    left join {{ ref("stg_step_targets") }} as targets
        on steps.step_code = targets.step_code and targets.location_id = '(group)'
    left join {{ ref("stg_step_targets") }} as own_targets
        on steps.step_code = own_targets.step_code and steps.location_id = own_targets.location_id
)

select
    case_number,
    location_id,
    case_kind,
    disposition_kind,
    is_trade_call,
    step_code,
    coalesce(step_name, step_code) as step_name,
    cast(step_number as integer) as step_number,
    owed_by,
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
