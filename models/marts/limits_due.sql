-- Limits that still run for people in care, by the law that the findings go by: care follows the first of our places
-- that the person came to, or the one at which the person was taken out of the cold, holding and permits the last, the
-- certificate the arranging home. For whoever was cremated the limit from which the remains are unclaimed runs on.
with stays as (
    {{ first_and_last_places(ref("int_place_stays")) }}
),

receipts as (
    select
        events.case_number,
        records.from_party,
        row_number() over (partition by events.case_number order by events.event_number) as receipt_number
    from {{ ref("int_custody_events") }} as events
    inner join {{ ref("stg_custody_events") }} as records
        on events.file_id = records.file_id and events.line = records.line
    where events.action = 'received'
),

people as (
    select
        cases.*,
        receipts.from_party,
        out_of_refrigeration.started_at as out_of_refrigeration_at,
        coalesce(taken_out_at.location_id, stays.first_location_id, cases.location_id) as care_location_id,
        coalesce(stays.last_location_id, cases.location_id) as last_location_id
    from {{ ref("int_cases") }} as cases
    inner join {{ ref("int_case_milestones") }} as milestones
        on cases.case_number = milestones.case_number
    left join receipts
        on cases.case_number = receipts.case_number and receipts.receipt_number = 1
    left join stays
        on cases.case_number = stays.case_number
    left join {{ ref("int_out_of_refrigeration") }} as out_of_refrigeration
        on cases.case_number = out_of_refrigeration.case_number and out_of_refrigeration.ended_at is null
    left join {{ ref("stg_locations") }} as taken_out_at
        on out_of_refrigeration.place_id = taken_out_at.location_id
    where
        cases.case_status <> 'cancelled'
        -- Somebody whose receipt has no true instant has the limits that do not hang on it.
        and (
            milestones.in_care_since is not null
            or (milestones.has_untimed_care and cases.case_status <> 'closed')
        )
        and milestones.final_at is null
),

kinds_by_place as (
    select
        locations.location_id,
        locations.location_kind,
        locations.jurisdiction,
        locations.time_zone,
        listed.limit_kind
    from {{ ref("stg_locations") }} as locations
    cross join (
        values ('preservation'), ('holding'), ('permit_within'), ('certificate_filing')
    ) as listed (limit_kind)
),

kinds as (
    select
        people.*,
        kinds_by_place.location_id as limit_location_id,
        kinds_by_place.limit_kind,
        kinds_by_place.location_kind,
        kinds_by_place.jurisdiction as limit_jurisdiction,
        kinds_by_place.time_zone as limit_time_zone
    from people
    inner join kinds_by_place
        on
            kinds_by_place.location_id = case kinds_by_place.limit_kind
                when 'preservation' then people.care_location_id
                when 'certificate_filing' then people.location_id
                else people.last_location_id
            end
),

clocks as (
    select
        people.case_number,
        people.location_id,
        limits.limit_kind,
        people.limit_location_id,
        case
            when limits.limit_kind = 'preservation' and people.out_of_refrigeration_at is not null
                then people.out_of_refrigeration_at
            when limits.limit_kind = 'preservation'
                then {{ care_clock_starts("limits", "people", "milestones", "people.from_party") }}
            else {{ limit_starts("limits", "people", "milestones", "death_latest_at") }}
        end as started_at,
        coalesce(limits.cremated_within_hours, limits.hours) as hours,
        limits.counts,
        coalesce(people.limit_time_zone, people.time_zone) as time_zone,
        limits.citation,
        people.file_id,
        people.line
    from kinds as people
    inner join {{ ref("int_case_milestones") }} as milestones
        on people.case_number = milestones.case_number
    inner join {{ ref("stg_jurisdiction_limits") }} as limits
        on {{ limit_holds("limits", "people.limit_kind", "people.limit_jurisdiction", "people") }}
    where
        (
            limits.limit_kind = 'preservation'
            and (
                milestones.refrigerated_at is null
                or (people.out_of_refrigeration_at is not null and limits.cremated_within_hours is null)
            )
            and milestones.embalming_finished_at is null
            and milestones.cremation_started_at is null
        )
        or limits.limit_kind = 'holding'
        or (
            limits.limit_kind = 'permit_within'
            and people.permit_issued_at is null
            and people.permit_issued_date is null
            and not people.is_trade_call
        )
        or (
            limits.limit_kind = 'certificate_filing'
            and people.certificate_filed_at is null
            and people.certificate_filed_date is null
            and not people.is_trade_call
        )
),

ends as (
    select
        clocks.*,
        {{ limit_ends("clocks", "clocks.started_at", "clocks.time_zone") }} as due_at
    from clocks
    where clocks.started_at is not null
)

select
    case_number,
    location_id,
    limit_location_id,
    limit_kind,
    started_at,
    {{ to_double("hours") }} as limit_hours,
    due_at,
    {{ elapsed_hours(as_of(), "due_at") }} as hours_left,
    citation,
    file_id,
    line
from ends

union all

select
    case_number,
    location_id,
    place_id as limit_location_id,
    'unclaimed_remains' as limit_kind,
    came_at as started_at,
    limit_hours,
    unclaimed_at as due_at,
    {{ elapsed_hours(as_of(), "unclaimed_at") }} as hours_left,
    citation,
    file_id,
    line
from {{ ref("remains_in_keeping") }}
where unclaimed_at is not null
