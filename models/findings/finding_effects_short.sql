with effects as (
    select
        events.case_number,
        events.event_number,
        records.action,
        records.item_count
    from {{ ref("stg_custody_events") }} as records
    inner join {{ ref("int_custody_events") }} as events
        on records.file_id = events.file_id and records.line = events.line
    where records.action in ('effects_listed', 'effects_returned')
),

-- The newest list counts everything that is still here: an earlier one is taken over by it.
last_lists as (
    select
        case_number,
        max(event_number) as listed_event_number
    from effects
    where action = 'effects_listed' and item_count is not null
    group by case_number
),

returned as (
    select
        last_lists.case_number,
        last_lists.listed_event_number,
        sum({{ to_double("effects.item_count") }}) as returned_count,
        max(effects.event_number) as returned_event_number,
        count(case when effects.event_number is not null and effects.item_count is null then 1 end) as uncounted
    from last_lists
    left join effects
        on
            last_lists.case_number = effects.case_number
            and effects.action = 'effects_returned'
            and last_lists.listed_event_number < effects.event_number
    group by last_lists.case_number, last_lists.listed_event_number
),

compared as (
    select
        returned.*,
        {{ to_double("lists.item_count") }} as listed_count
    from returned
    inner join effects as lists
        on returned.case_number = lists.case_number and returned.listed_event_number = lists.event_number
)

select
    {{ finding(
        "effects_short",
        case_number="compared.case_number",
        location_id="cases.location_id",
        occurred_at="coalesce(gone.occurred_at, cases.closed_at, listed.occurred_at)",
        a="listed", feed_a="custody_events",
        b="gone", feed_b="custody_events",
        measured_value="coalesce(compared.returned_count, 0)",
        limit_value="compared.listed_count",
        value_unit="items",
        detail=number_text("compared.listed_count", 0) ~ " || ' listed (event ' || listed.event_id || '), ' || "
            ~ number_text("coalesce(compared.returned_count, 0)", 0) ~ " || ' returned'"
            ~ " || coalesce(' (last event ' || gone.event_id || ')', '') || '.' || "
            ~ held_back_note("listed.is_held or coalesce(gone.is_held, false)")
    ) }}
from compared
inner join {{ ref("int_custody_events") }} as listed
    on compared.case_number = listed.case_number and compared.listed_event_number = listed.event_number
left join {{ ref("int_custody_events") }} as gone
    on compared.case_number = gone.case_number and compared.returned_event_number = gone.event_number
left join {{ ref("int_cases") }} as cases
    on compared.case_number = cases.case_number
where
    -- Fewer returned than listed is lawful while the case is open; a return that was not counted proves nothing.
    coalesce(compared.returned_count, 0) > compared.listed_count
    or (
        coalesce(compared.returned_count, 0) < compared.listed_count
        and cases.case_status = 'closed'
        and compared.uncounted = 0
    )
