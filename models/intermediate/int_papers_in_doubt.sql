{#
    Papers and the act that each must come before: paper, act's actions, the paper's columns (a stem
    of int_cases: <stem>_at, <stem>_date), and what else must hold for the paper to be due.
#}
{% set papers = [
    ("permit", irreversible_actions(), "permit_issued", "true"),
    ("cremation authorisation", "('cremation_started')", "cremation_authorised", "true"),
    ("medical clearance", "('cremation_started')", "medical_clearance", "true"),
    ("implant removal", "('cremation_started')", "implant_removed", "cases.implant_present = 'Y'"),
    ("embalming permission", "('embalming_started')", "embalming_approved", "true"),
] %}

with acts as (
    select
        case_number,
        event_id,
        action,
        occurred_at,
        occurred_at_local,
        place_id,
        is_held,
        file_id,
        line,
        row_number() over (partition by case_number, action order by event_number) as act_number
    from {{ ref("int_custody_events") }}
    where action in {{ irreversible_actions() }} or action = 'embalming_started'
),

pairs as (
    {% for paper, actions, stem, is_due in papers -%}
    select
        '{{ paper }}' as paper,
        acts.case_number,
        cases.location_id,
        acts.event_id,
        acts.action,
        acts.occurred_at,
        acts.occurred_at_local,
        acts.place_id,
        cases.{{ stem }}_at as paper_at,
        {{ local_time("cases." ~ stem ~ "_at", "cases.time_zone") }} as paper_at_local,
        cases.{{ stem }}_date as paper_date,
        acts.is_held or cases.is_held as is_held,
        acts.file_id,
        acts.line,
        cases.file_id as case_file_id,
        cases.line as case_line
    from acts
    inner join {{ ref("int_cases") }} as cases
        on acts.case_number = cases.case_number
    where acts.action in {{ actions }} and acts.act_number = 1 and {{ is_due }}
    {%- if not loop.last %}

    union all

    {% endif %}
    {%- endfor %}
),

judged as (
    -- A paper with a date alone proves nothing within its day.
    select
        *,
        case
            when paper_at is null and paper_date is null then 'missing'
            when paper_at is not null and paper_at > occurred_at then 'late'
            when paper_at is not null then 'in time'
            when paper_date > cast(occurred_at_local as date) then 'late'
            when paper_date = cast(occurred_at_local as date) then 'not provable'
            else 'in time'
        end as paper_state
    from pairs
)

select
    paper,
    paper_state,
    case_number,
    location_id,
    event_id,
    action,
    occurred_at,
    occurred_at_local,
    place_id,
    paper_at,
    paper_at_local,
    paper_date,
    case
        when paper_state = 'late' and paper_at is not null then {{ elapsed_minutes("occurred_at", "paper_at") }}
        when paper_state = 'late'
            then {{ elapsed_minutes("occurred_at_local", "cast(paper_date as timestamp)") }}
    end as minutes_late,
    is_held,
    file_id,
    line,
    case_file_id,
    case_line
from judged
where paper_state <> 'in time'
