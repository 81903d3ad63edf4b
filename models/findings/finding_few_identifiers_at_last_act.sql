-- HTA standard T1(c), T1(e), taken here as good practice everywhere. What was compared at the act counts, and whatever
-- was since the person came to the crematory; of a burial, whatever was since the person came to our last place: a
-- casket is closed there. What was written down more than a day after the act proves nothing of before it.
with acts as (
    -- The few acts that show no check themselves; start and end are of one act.
    select
        events.case_number,
        events.event_number,
        events.event_id,
        events.action,
        events.place_id,
        events.occurred_at,
        events.occurred_at_local,
        events.is_held,
        events.file_id,
        events.line,
        row_number() over (partition by events.case_number order by events.event_number) as act_number,
        max(records.identifiers_matched) over (partition by events.case_number) as matched_at_act
    from {{ ref("int_custody_events") }} as events
    inner join {{ ref("stg_custody_events") }} as records
        on events.file_id = records.file_id and events.line = records.line
    where
        events.action in {{ irreversible_actions() }}
        and records.action in {{ irreversible_actions() }}
        and not events.is_after_end
),

unchecked as (
    select *
    from acts
    where act_number = 1 and coalesce(matched_at_act, 0) < 3
),

arrivals as (
    -- A burial's way may have stops: the last place of ours is where the casket was closed.
    select
        unchecked.case_number,
        max(events.event_number) as event_number
    from unchecked
    inner join {{ ref("int_custody_events") }} as events
        on unchecked.case_number = events.case_number and unchecked.event_number >= events.event_number
    left join {{ ref("stg_locations") }} as own_places
        on events.place_id = own_places.location_id
    where
        events.action in ('received', 'arrived')
        and (unchecked.action not in ('buried', 'entombed') or own_places.location_id is not null)
    group by unchecked.case_number
),

checks as (
    select
        unchecked.case_number,
        max(records.identifiers_matched) as identifiers_matched,
        -- A check by two people who left the number blank is no proof of too few.
        coalesce(
            bool_or({{ is_uncounted_check("records") }}), false
        ) as has_blank_check
    from unchecked
    left join arrivals
        on unchecked.case_number = arrivals.case_number
    inner join {{ ref("int_custody_events") }} as events
        on
            unchecked.case_number = events.case_number
            -- In one minute with the act is not after it.
            and (unchecked.event_number >= events.event_number or unchecked.occurred_at >= events.occurred_at)
            and events.event_number >= coalesce(arrivals.event_number, 1)
    inner join {{ ref("stg_custody_events") }} as records
        on events.file_id = records.file_id and events.line = records.line
    where coalesce(records.recorded_at <= {{ add_hours("unchecked.occurred_at", 24) }}, true)
    group by unchecked.case_number
)

select
    {{ finding(
        "few_identifiers_at_last_act",
        case_number="acts.case_number",
        location_id="coalesce(cases.location_id, acts.place_id)",
        occurred_at="acts.occurred_at",
        a="acts", feed_a="custody_events",
        measured_value="checks.identifiers_matched",
        limit_value="3",
        value_unit="identifiers",
        detail="case acts.action when 'buried' then 'Buried' when 'entombed' then 'Entombed' else 'Cremated' end"
            ~ " || ' at ' || " ~ minute_text("acts.occurred_at_local") ~ " || ' (event ' || acts.event_id || '); since the'"
            ~ " || ' person came ' || case when acts.action in ('buried', 'entombed') then 'to our last place'"
            ~ " else 'there' end || ', ' || case when checks.identifiers_matched is null then 'nobody has compared'"
            ~ " || ' identifiers' else 'no more than ' || cast(checks.identifiers_matched as varchar) || ' identifiers were'"
            ~ " || ' compared' end || '; three are needed.' || " ~ held_back_note("acts.is_held")
    ) }}
from unchecked as acts
inner join checks
    on acts.case_number = checks.case_number
left join {{ ref("int_cases") }} as cases
    on acts.case_number = cases.case_number
where
    coalesce(checks.identifiers_matched, 0) < 3
    and not checks.has_blank_check
    -- Where no export has the number, the rule is not checked; it tells nothing of anybody.
    and not exists (
        select 1
        from {{ source("quality", "rule_needs") }} as needs
        where needs.rule_code = 'few_identifiers_at_last_act' and not needs.is_available
    )
