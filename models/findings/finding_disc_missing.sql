-- Of a cremation of ours: what the crematory of others wrote is not in our records. Wherever the disc was written
-- down, on the case or on the way into the chamber and out of it, it counts; first on the packed remains is too late.
with cremations as (
    select
        case_number,
        min(event_number) as event_number,
        max(event_number) as end_number
    from {{ ref("int_custody_events") }}
    where action in ('cremation_started', 'cremation_finished') and not is_after_end
    group by case_number
),

with_disc as (
    select distinct cremations.case_number
    from cremations
    inner join {{ ref("int_discs") }} as discs
        on cremations.case_number = discs.case_number and cremations.end_number >= discs.event_number
)

select
    {{ finding(
        "disc_missing",
        case_number="events.case_number",
        location_id="coalesce(cases.location_id, events.place_id)",
        occurred_at="events.occurred_at",
        a="events", feed_a="custody_events",
        detail=act_sentence("events") ~ " || ', and no disc is on record up to its end, nor on the case: nothing ties the remains to the chamber.' || "
            ~ held_back_note("events.is_held")
    ) }}
from cremations
inner join {{ ref("int_custody_events") }} as events
    on cremations.case_number = events.case_number and cremations.event_number = events.event_number
left join {{ ref("int_cases") }} as cases
    on events.case_number = cases.case_number
where
    cases.remains_disc_number is null
    and not exists (
        select 1
        from with_disc
        where with_disc.case_number = cremations.case_number
    )
    -- Where no export has the column, the rule is not checked; it tells nothing of anybody.
    and not exists (
        select 1
        from {{ source("quality", "rule_needs") }} as needs
        where needs.rule_code = 'disc_missing' and not needs.is_available
    )
