-- Nobody in care is left out of the census, of the list of who may move on, or of the hour that is now.
with hour_now as (
    select
        location_id,
        peak_count
    from {{ ref("place_hours") }}
    where hour_start = date_trunc('hour', {{ as_of() }})
),

here as (
    select
        place_id as location_id,
        count(*) as people
    from {{ ref("census") }}
    group by place_id
)

select
    people.case_number,
    cast(null as bigint) as people
from {{ ref("custody_cases") }} as people
left join {{ ref("census") }} as census
    on people.case_number = census.case_number
left join {{ ref("clearances") }} as clearances
    on people.case_number = clearances.case_number
where
    people.is_in_care
    and (census.case_number is null or clearances.case_number is null or census.certainty is null)

union all

select
    hour_now.location_id as case_number,
    here.people
from hour_now
inner join here
    on hour_now.location_id = here.location_id
where hour_now.peak_count < here.people
