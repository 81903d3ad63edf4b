{#
    Papers and the act that each must come before: paper, act's actions, the paper's columns (a stem
    of int_cases: <stem>_at, <stem>_date), what else must hold for the paper to be due at the act, and
    what makes an open case need it before the act.
#}
{% set papers = [
    ("permit", irreversible_actions(), "permit_issued", "true", "not cases.is_trade_call"),
    ("cremation authorisation", "('cremation_started')", "cremation_authorised", "true",
        "cases.disposition_kind = 'cremation'"),
    ("medical clearance", "('cremation_started')", "medical_clearance", "true",
        "cases.disposition_kind = 'cremation'"),
    ("implant removal", "('cremation_started')", "implant_removed", "cases.implant_present = 'Y'",
        "cases.disposition_kind = 'cremation'"),
    ("embalming permission", "('embalming_started')", "embalming_approved", "true",
        "cases.embalming_approved_date is not null"),
    ("instruction", irreversible_actions(), "instruction_given", "cases.instruction_given_date is not null", "true"),
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
    {% for paper, actions, stem, is_due, is_expected in papers -%}
    select
        '{{ paper }}' as paper,
        cases.case_number,
        cases.location_id,
        acts.event_id,
        acts.action,
        acts.occurred_at,
        acts.occurred_at_local,
        acts.place_id,
        cases.{{ stem }}_at as paper_at,
        {{ local_time("cases." ~ stem ~ "_at", "cases.time_zone") }} as paper_at_local,
        cases.{{ stem }}_date as paper_date,
        coalesce(acts.is_held, false) or cases.is_held as is_held,
        coalesce(acts.file_id, cases.file_id) as file_id,
        coalesce(acts.line, cases.line) as line,
        cases.file_id as case_file_id,
        cases.line as case_line
    from {{ ref("int_cases") }} as cases
    left join acts
        on
            cases.case_number = acts.case_number
            and acts.act_number = 1
            and acts.action in {{ actions }}
    where
        {{ is_due }}
        and (acts.case_number is not null or (cases.case_status = 'open' and {{ is_expected }}))
    {%- if not loop.last %}

    union all

    {% endif %}
    {%- endfor %}
)

-- A paper with a date alone proves nothing within its day.
select
    *,
    case
        when action is null and paper_date is null and paper_at is null then 'outstanding'
        when action is null then 'on file'
        when paper_at is null and paper_date is null then 'missing'
        when paper_at is not null and paper_at > occurred_at then 'late'
        when paper_at is not null then 'in time'
        when paper_date > cast(occurred_at_local as date) then 'late'
        when paper_date = cast(occurred_at_local as date) then 'not provable'
        else 'in time'
    end as paper_state
from pairs
