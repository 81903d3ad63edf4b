{#
    Papers and the act that each must come before: paper, acts, the paper's columns (a stem
    of int_cases: <stem>_at, <stem>_date), what else must hold for the paper to be due at the act, and
    what makes an open case need it before the act.
#}
{% set papers = [
    ("permit", "('cremation', 'buried', 'entombed', 'released')", "permit_issued", "true", "not cases.is_trade_call"),
    ("cremation authorisation", "('cremation', 'released')", "cremation_authorised", "true",
        "cases.disposition_kind = 'cremation'"),
    ("medical clearance", "('cremation', 'released')", "medical_clearance", "true",
        "cases.disposition_kind = 'cremation'"),
    ("implant removal", "('cremation', 'released')", "implant_removed", "cases.implant_present = 'Y'",
        "cases.disposition_kind = 'cremation'"),
    ("embalming permission", "('embalming')", "embalming_approved", "true",
        "cases.embalming_approved_date is not null"),
    ("instruction", "('cremation', 'buried', 'entombed')", "instruction_given",
        "cases.instruction_given_date is not null", "true"),
] %}

{#
    Where we hand somebody over for disposition, the permit goes along. Another firm gets its own, unless the person leaves
    the state; a medical examiner needs none. To a crematory of others the papers of a cremation go along as well: what is
    not there then cannot be asked for before the act.
#}
{% set disposing_receivers = "('carrier', 'cemetery', 'crematory', 'institution')" %}

{% set cremating_receivers = "('crematory', 'funeral_home', 'institution')" %}

{# Papers that say something of a person who has died: one from before the death is another's, or its date is wrong. #}
{% set papers_of_the_dead = "('permit', 'medical clearance', 'implant removal')" %}

{% set ends = "('cremation_finished', 'embalming_finished', 'remains_received')" %}

with acts as (
    -- Remains that came back after we let the person go were cremated elsewhere, and before.
    select
        case_number,
        split_part(party_id, ':', 1) as receiver_kind,
        event_id,
        action,
        {{ act_of("action") }} as act,
        occurred_at,
        occurred_at_local,
        place_id,
        is_held,
        file_id,
        line,
        -- Who came back from another firm may be handed over after it.
        row_number() over (
            partition by
                case_number,
                {{ act_of("action") }},
                case when action = 'released' then split_part(party_id, ':', 1) = 'funeral_home' end
            order by event_number
        ) as act_number,
        max(
            case
                when action = 'released' and split_part(party_id, ':', 1) in {{ disposing_receivers }} then 1 else 0
            end
        ) over (partition by case_number) as handed_over_count,
        -- A crematory of others had the papers with the person; an institution and another firm cremate by their own.
        max(
            case
                when action = 'released' and split_part(party_id, ':', 1) in {{ cremating_receivers }} then 1 else 0
            end
        ) over (partition by case_number) as cremated_by_others_count
    from {{ ref("int_custody_events") }}
    where
        action in {{ irreversible_actions() }}
        or action in {{ embalming_actions() }}
        or (action = 'remains_received' and is_after_end and not coalesce(is_remains_alone, false))
        or (
            action = 'released'
            and not is_after_end
            and split_part(party_id, ':', 1) in ('carrier', 'cemetery', 'crematory', 'funeral_home', 'institution')
        )
),

came_as_remains as (
    -- Of whom remains alone were brought, no paper of ours is awaited.
    select distinct case_number
    from {{ ref("int_custody_events") }}
    where is_remains_alone
),

pairs as (
    {% for paper, acts, stem, is_due, is_expected in papers -%}
    {#- What went along with the person is told at the handing over, not once more where the remains come back. #}
    {%- set is_due_elsewhere = {
        "instruction": "false",
        "permit": "not cases.is_trade_call and acts.handed_over_count + acts.cremated_by_others_count = 0",
    }.get(
        paper,
        "not cases.is_trade_call and acts.cremated_by_others_count = 0 and coalesce(cases.disposition_code <> 'D', true)"
    ) %}
    {%- set goes_along = {
        "permit": "acts.receiver_kind in " ~ disposing_receivers ~ " or cases.disposition_code = 'R'",
    }.get(paper, "acts.receiver_kind = 'crematory'") %}
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
        -- The zone of the place of death is not known: hours are held against it with some to spare. A death after the
        -- first call has its own rule.
        case
            when '{{ paper }}' not in {{ papers_of_the_dead }} then false
            when cases.{{ stem }}_at is not null
                then coalesce(
                    cases.{{ stem }}_at
                    < {{ add_hours("least(cases.death_earliest_at, cases.first_call_at)", -6) }},
                    false
                )
            else coalesce(
                cases.{{ stem }}_date
                < least(cases.date_of_death_earliest, {{ local_date("cases.first_call_at", "cases.time_zone") }}),
                false
            )
        end as is_before_death,
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
            and acts.act in {{ acts }}
            and (acts.action <> 'remains_received' or ({{ is_due_elsewhere }}))
            and (
                acts.action <> 'released'
                or (
                    not cases.is_trade_call
                    and cases.case_status <> 'cancelled'
                    and ({{ goes_along }})
                )
            )
    left join came_as_remains
        on cases.case_number = came_as_remains.case_number
    where
        {{ is_due }}
        and (
            acts.case_number is not null
            or (cases.case_status = 'open' and came_as_remains.case_number is null and {{ is_expected }})
        )

    union all

    {% endfor -%}
    -- Somebody of whom the group has no case has no paper either: told once.
    select
        'permit' as paper,
        acts.case_number,
        acts.place_id as location_id,
        acts.event_id,
        acts.action,
        acts.occurred_at,
        acts.occurred_at_local,
        acts.place_id,
        cast(null as timestamp) as paper_at,
        cast(null as timestamp) as paper_at_local,
        cast(null as date) as paper_date,
        false as is_before_death,
        true as is_held,
        acts.file_id,
        acts.line,
        cast(null as varchar) as case_file_id,
        cast(null as bigint) as case_line
    from acts
    where
        acts.act_number = 1
        and acts.action in {{ irreversible_actions() }}
        and not exists (
            select 1
            from {{ ref("int_cases") }} as cases
            where cases.case_number = acts.case_number
        )
)

-- A paper with a date alone proves nothing within its day. Of an act whose end alone is known a paper from before it is
-- on file, no more.
select
    *,
    case
        when is_before_death then 'before death'
        when action is null and paper_date is null and paper_at is null then 'outstanding'
        when action is null then 'on file'
        when paper_at is null and paper_date is null then 'missing'
        when paper_at is not null and paper_at > occurred_at then 'late'
        when action in {{ ends }} and paper_at is not null then 'on file'
        when paper_at is not null then 'in time'
        when paper_date > cast(occurred_at_local as date) then 'late'
        when action in {{ ends }} and paper_date < cast(occurred_at_local as date) then 'on file'
        when paper_date = cast(occurred_at_local as date) then 'not provable'
        else 'in time'
    end as paper_state
from pairs
