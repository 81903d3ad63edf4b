with firsts as (
    select
        case_number,
        min(case when action in ('remains_packed', 'remains_released', 'remains_scattered') then event_number end)
            as remains_number,
        min(case when action in ('cremation_finished', 'remains_received') then event_number end) as source_number
    from {{ ref("int_custody_events") }}
    group by case_number
)

select
    {{ finding(
        "remains_without_cremation",
        case_number="events.case_number",
        location_id="cases.location_id",
        occurred_at="events.occurred_at",
        a="events", feed_a="custody_events",
        detail=first_words("events.action") ~ " || ' at ' || " ~ minute_text("events.occurred_at_local") ~ " || ' (event '"
            ~ " || events.event_id || ') with no finished cremation and no receipt of remains before it.' || "
            ~ held_back_note("events.is_held")
    ) }}
from firsts
inner join {{ ref("int_custody_events") }} as events
    on firsts.case_number = events.case_number and firsts.remains_number = events.event_number
left join {{ ref("int_cases") }} as cases
    on firsts.case_number = cases.case_number
where coalesce(firsts.source_number > firsts.remains_number, true)
