select
    {{ finding(
        "containers_short",
        case_number="remains.case_number",
        location_id="cases.location_id",
        occurred_at="gone.occurred_at",
        a="gone", feed_a="custody_events",
        b="packed", feed_b="custody_events",
        measured_value="remains.gone_count",
        limit_value="remains.packed_count",
        value_unit="containers",
        detail=number_text("remains.packed_count", 0) ~ " || case packed.action when 'remains_received' then ' came back' else ' packed' end || ' (event ' || packed.event_id || '), ' || "
            ~ number_text("remains.gone_count", 0) ~ " || ' released or scattered (last event ' || gone.event_id"
            ~ " || ').' || " ~ held_back_note("gone.is_held")
    ) }}
from {{ ref("int_remains") }} as remains
inner join {{ ref("int_custody_events") }} as gone
    on remains.case_number = gone.case_number and remains.gone_event_number = gone.event_number
inner join {{ ref("int_custody_events") }} as packed
    on remains.case_number = packed.case_number and remains.packed_event_number = packed.event_number
left join {{ ref("int_cases") }} as cases
    on remains.case_number = cases.case_number
where
    -- Fewer gone than packed is lawful while the case is open: the rest waits on the shelf.
    remains.gone_count > remains.packed_count
    or (
        remains.gone_count < remains.packed_count
        and cases.case_status = 'closed'
        -- Handed out without a number, nobody can say that any is missing; what came back is here.
        and not remains.has_uncounted
        and coalesce(remains.back_event_number < remains.gone_event_number, true)
    )
