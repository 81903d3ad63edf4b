-- Limits that still run for cases that are not at their end. Care and holding follow the place where the person
-- is, a permit that of disposition as far as it is one of ours, the certificate that of the arranging home.
with receipts as (
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
        coalesce(places.location_id, cases.location_id) as limit_location_id,
        coalesce(places.jurisdiction, cases.jurisdiction) as place_jurisdiction
    from {{ ref("int_cases") }} as cases
    inner join {{ ref("int_case_milestones") }} as milestones
        on cases.case_number = milestones.case_number
    left join receipts
        on cases.case_number = receipts.case_number and receipts.receipt_number = 1
    left join {{ ref("stg_locations") }} as places
        on milestones.place_id = places.location_id
    where
        cases.case_status <> 'cancelled'
        and milestones.in_care_since is not null
        and milestones.final_at is null
),

clocks as (
    select
        people.case_number,
        people.location_id,
        limits.limit_kind,
        case when limits.limit_kind = 'certificate_filing' then people.location_id else people.limit_location_id end
            as limit_location_id,
        case
            when limits.limit_kind = 'preservation'
                then {{ care_clock_starts("limits", "people", "milestones", "people.from_party") }}
            else {{ limit_starts("limits", "people", "milestones", "death_latest_at") }}
        end as started_at,
        limits.hours as limit_hours,
        limits.citation,
        people.file_id,
        people.line
    from people
    inner join {{ ref("int_case_milestones") }} as milestones
        on people.case_number = milestones.case_number
    inner join {{ ref("stg_jurisdiction_limits") }} as limits
        on
            limits.jurisdiction = case
                when limits.limit_kind = 'certificate_filing' then people.jurisdiction
                else people.place_jurisdiction
            end
    where
        (
            limits.limit_kind = 'preservation'
            and milestones.refrigerated_at is null
            and milestones.embalming_finished_at is null
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
)

select
    case_number,
    location_id,
    limit_location_id,
    limit_kind,
    started_at,
    {{ to_double("limit_hours") }} as limit_hours,
    {{ add_hours("started_at", "limit_hours") }} as due_at,
    {{ elapsed_hours(as_of(), add_hours("started_at", "limit_hours")) }} as hours_left,
    citation,
    file_id,
    line
from clocks
where started_at is not null
