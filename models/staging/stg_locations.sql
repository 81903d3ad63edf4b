-- A place whose record is held back is still a place with people in it: what that record says and cannot be trusted is
-- empty, and is_held tells it. A code that is reserved names no place.
with faults as (
    select
        file_id,
        line,
        max(case when column_name = 'location_kind' then 1 else 0 end) as has_kind_fault,
        max(case when column_name = 'time_zone' then 1 else 0 end) as has_zone_fault,
        max(case when column_name = 'jurisdiction' then 1 else 0 end) as has_jurisdiction_fault,
        max(case when column_name = 'capacity' then 1 else 0 end) as has_capacity_fault,
        max(case when rule_code = 'location_code_reserved' then 1 else 0 end) as is_reserved
    from {{ source("quality", "rejects") }}
    where feed = 'locations'
    group by file_id, line
),

held as (
    select
        locations.location_id,
        locations.location_name,
        case when faults.has_kind_fault = 0 then locations.location_kind end as location_kind,
        case when faults.has_zone_fault = 0 then locations.time_zone end as time_zone,
        case when faults.has_jurisdiction_fault = 0 then locations.jurisdiction end as jurisdiction,
        locations.address,
        locations.telephone,
        case when faults.has_capacity_fault = 0 then locations.capacity end as capacity,
        locations.uncooled_units,
        locations.opened_date,
        locations.closed_date,
        locations.file_id,
        locations.line,
        row_number() over (partition by locations.location_id order by locations.file_id, locations.line) as copy_number
    from {{ source("held", "locations") }} as locations
    inner join faults
        on locations.file_id = faults.file_id and locations.line = faults.line
    where locations.location_id is not null and faults.is_reserved = 0
)

select
    location_id,
    location_name,
    location_kind,
    time_zone,
    jurisdiction,
    address,
    telephone,
    capacity,
    uncooled_units,
    opened_date,
    closed_date,
    false as is_held,
    file_id,
    line
from {{ source("accepted", "locations") }}

union all

select
    location_id,
    location_name,
    location_kind,
    time_zone,
    jurisdiction,
    address,
    telephone,
    capacity,
    uncooled_units,
    opened_date,
    closed_date,
    true as is_held,
    file_id,
    line
from held
where
    copy_number = 1
    and not exists (
        select 1
        from {{ source("accepted", "locations") }} as trusted
        where trusted.location_id = held.location_id
    )
