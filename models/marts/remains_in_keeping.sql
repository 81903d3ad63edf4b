-- The law of the place where the remains are, else of the arranging home, says from when on they are unclaimed.
with remains as (
    select
        remains.*,
        cases.location_id,
        cases.family_name,
        cases.given_name,
        coalesce(cases.is_unidentified, false) as is_unidentified,
        cases.disposition_instruction,
        cases.remains_receivers,
        cases.case_status,
        coalesce(cases.is_held, true) as is_case_held,
        limits.hours,
        limits.counts,
        limits.citation,
        coalesce(places.time_zone, cases.time_zone, 'UTC') as time_zone
    from {{ ref("int_remains") }} as remains
    left join {{ ref("int_cases") }} as cases
        on remains.case_number = cases.case_number
    left join {{ ref("stg_locations") }} as places
        on remains.place_id = places.location_id
    left join {{ ref("stg_jurisdiction_limits") }} as limits
        on
            {{ limit_holds(
                "limits", "'unclaimed_remains'", "coalesce(places.jurisdiction, cases.jurisdiction)", "places"
            ) }}
    where remains.is_in_keeping
),

ended as (
    select
        remains.*,
        case
            when remains.hours is not null
                then {{ limit_ends("remains", "remains.occurred_at", "remains.time_zone") }}
        end as unclaimed_at
    from remains
)

select
    ended.case_number,
    ended.location_id,
    ended.family_name,
    ended.given_name,
    ended.is_unidentified,
    ended.place_id,
    ended.storage_unit,
    ended.party_id,
    ended.disc_number,
    ended.packed_count,
    ended.packed_count - coalesce(ended.gone_count, 0) as left_count,
    holds.event_id as hold_event_id,
    ended.disposition_instruction,
    ended.remains_receivers,
    ended.case_status,
    case when milestones.has_held_event or ended.is_case_held then 'not proven' else 'proven' end as custody_status,
    ended.action as came_by,
    ended.occurred_at as came_at,
    {{ elapsed_hours("ended.occurred_at", as_of()) }} / 24.0 as days_in_keeping,
    {{ to_double("ended.hours") }} as limit_hours,
    ended.unclaimed_at,
    {{ elapsed_hours(as_of(), "ended.unclaimed_at") }} / 24.0 as days_left,
    ended.citation,
    ended.file_id,
    ended.line
from ended
left join {{ ref("int_case_milestones") }} as milestones
    on ended.case_number = milestones.case_number
left join {{ ref("int_standing_holds") }} as holds
    on ended.case_number = holds.case_number
