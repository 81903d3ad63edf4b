with containers as (
    select
        events.case_number,
        events.event_number,
        records.action,
        records.item_count
    from {{ ref("stg_custody_events") }} as records
    inner join {{ ref("int_custody_events") }} as events
        on records.file_id = events.file_id and records.line = events.line
    where records.action in ('remains_packed', 'remains_received', 'remains_released', 'remains_scattered')
),

steps as (
    -- Where nobody of us packed, what came back from an outside crematory is what there was.
    select
        case_number,
        event_number,
        item_count,
        case
            when action = 'remains_packed' then 'packed'
            when action <> 'remains_received' then 'gone'
            when count(case when action = 'remains_packed' then 1 end) over (partition by case_number) = 0 then 'packed'
        end as step
    from containers
),

sums as (
    select
        case_number,
        sum({{ to_double("case when step = 'packed' then item_count end") }}) as packed_count,
        sum({{ to_double("case when step = 'gone' then item_count end") }}) as gone_count,
        min(case when step = 'packed' then event_number end) as packed_event_number,
        max(case when step = 'gone' then event_number end) as gone_event_number
    from steps
    group by case_number
)

select
    {{ finding(
        "containers_short",
        case_number="sums.case_number",
        location_id="cases.location_id",
        occurred_at="gone.occurred_at",
        a="gone", feed_a="custody_events",
        b="packed", feed_b="custody_events",
        measured_value="sums.gone_count",
        limit_value="sums.packed_count",
        value_unit="containers",
        detail=number_text("sums.packed_count", 0) ~ " || case packed.action when 'remains_received' then ' came back' else ' packed' end || ' (event ' || packed.event_id || '), ' || "
            ~ number_text("sums.gone_count", 0) ~ " || ' released or scattered (last event ' || gone.event_id"
            ~ " || ').' || " ~ not_proven_note("gone.is_held")
    ) }}
from sums
inner join {{ ref("int_custody_events") }} as gone
    on sums.case_number = gone.case_number and sums.gone_event_number = gone.event_number
inner join {{ ref("int_custody_events") }} as packed
    on sums.case_number = packed.case_number and sums.packed_event_number = packed.event_number
left join {{ ref("int_cases") }} as cases
    on sums.case_number = cases.case_number
where
    -- Fewer gone than packed is lawful while the case is open: the rest waits on the shelf.
    sums.gone_count > sums.packed_count
    or (sums.gone_count < sums.packed_count and cases.case_status = 'closed')
