-- HTA standard T1(a), T1(c), taken here as good practice everywhere. Wherever the check was made, it counts; a check by
-- two people who left the number blank is no proof of too few.
with checked as (
    select
        records.case_number,
        min(records.occurred_at) as checked_at
    from {{ ref("stg_custody_events") }} as records
    where
        records.occurred_at <= {{ as_of() }}
        and records.action <> 'voided'
        and (
            records.identifiers_matched >= 3
            or {{ is_uncounted_check("records") }}
        )
        and not exists (
            select 1
            from {{ ref("stg_custody_events") }} as corrections
            where
                corrections.case_number = records.case_number
                and corrections.corrects_event_id = records.event_id
                and corrections.event_id <> records.event_id
        )
    group by records.case_number
),

unchecked as (
    select
        milestones.case_number,
        milestones.in_care_since
    from {{ ref("int_case_milestones") }} as milestones
    where
        milestones.in_care_since is not null
        and not exists (
            select 1
            from checked
            where
                checked.case_number = milestones.case_number
                -- What was compared after the end is of the cremated remains.
                and coalesce(checked.checked_at <= milestones.final_at, true)
        )
        -- Where no export has the number, the rule is not checked; it tells nothing of anybody.
        and not exists (
            select 1
            from {{ source("quality", "rule_needs") }} as needs
            where needs.rule_code = 'identity_not_checked' and not needs.is_available
        )
),

firsts as (
    select
        unchecked.case_number,
        min(events.event_number) as event_number
    from unchecked
    inner join {{ ref("int_custody_events") }} as events
        on unchecked.case_number = events.case_number and unchecked.in_care_since = events.occurred_at
    where events.action in {{ in_care_actions() }}
    group by unchecked.case_number
)

select
    {{ finding(
        "identity_not_checked",
        case_number="events.case_number",
        location_id="cases.location_id",
        occurred_at="events.occurred_at",
        a="events", feed_a="custody_events",
        limit_value="3",
        value_unit="identifiers",
        detail="'In our care since ' || " ~ minute_text("events.occurred_at_local")
            ~ " || ' (' || replace(events.action, '_', ' ') || ', event ' || events.event_id"
            ~ " || '), and no event compares three identifiers with the person.' || "
            ~ held_back_note("events.is_held")
    ) }}
from firsts
inner join {{ ref("int_custody_events") }} as events
    on firsts.case_number = events.case_number and firsts.event_number = events.event_number
left join {{ ref("int_cases") }} as cases
    on firsts.case_number = cases.case_number
