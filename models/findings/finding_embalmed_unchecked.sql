-- HTA standard T1(c), T1(e), taken here as good practice everywhere. Wherever a check before it was made, it counts,
-- and one at the embalming itself; a check by two people who left the number blank is no proof of too few.
with starts as (
    select
        case_number,
        min(event_number) as event_number,
        min(occurred_at) as started_at
    from {{ ref("int_custody_events") }}
    where action in {{ embalming_actions() }} and not is_after_end
    group by case_number
),

checks as (
    select
        starts.case_number,
        max(records.identifiers_matched) as identifiers_matched,
        coalesce(
            bool_or({{ is_uncounted_check("records") }}), false
        ) as has_blank_check
    from starts
    inner join {{ ref("int_custody_events") }} as events
        on
            starts.case_number = events.case_number
            and (starts.started_at >= events.occurred_at or events.action in {{ embalming_actions() }})
    inner join {{ ref("stg_custody_events") }} as records
        on events.file_id = records.file_id and events.line = records.line
    group by starts.case_number
)

select
    {{ finding(
        "embalmed_unchecked",
        case_number="events.case_number",
        location_id="coalesce(cases.location_id, events.place_id)",
        occurred_at="events.occurred_at",
        a="events", feed_a="custody_events",
        measured_value="checks.identifiers_matched",
        limit_value="3",
        value_unit="identifiers",
        detail=act_sentence("events") ~ " || '; before it '"
            ~ " || case when checks.identifiers_matched is null then 'nobody had compared identifiers'"
            ~ " else 'no more than ' || cast(checks.identifiers_matched as varchar) || ' identifiers had been compared' end"
            ~ " || '; three are needed.' || " ~ held_back_note("events.is_held")
    ) }}
from starts
inner join checks
    on starts.case_number = checks.case_number
inner join {{ ref("int_custody_events") }} as events
    on starts.case_number = events.case_number and starts.event_number = events.event_number
left join {{ ref("int_cases") }} as cases
    on starts.case_number = cases.case_number
where
    coalesce(checks.identifiers_matched, 0) < 3
    and not checks.has_blank_check
    -- Where no export has the number, the rule is not checked; it tells nothing of anybody.
    and not exists (
        select 1
        from {{ source("quality", "rule_needs") }} as needs
        where needs.rule_code = 'embalmed_unchecked' and not needs.is_available
    )
