-- Median hours from first call to final disposition, and the range in which chance alone would put the median of as
-- many cases of all homes. The last 26 weeks.
with ranked as (
    select
        hours,
        row_number() over (order by hours) as hours_rank,
        count(*) over () as all_count
    from {{ ref("int_case_mix") }}
),

homes as (
    select
        location_id,
        count(*) as case_count,
        {{ quantile("hours", 0.5) }} as median_hours,
        {{ quantile("hours", 0.9) }} as p90_hours,
        {{ median_reach("count(*)") }} as reach
    from {{ ref("int_case_mix") }}
    group by location_id
),

limits as (
    select
        homes.location_id,
        max(case when ranked.hours_rank <= greatest((0.5 - homes.reach) * ranked.all_count, 1) then ranked.hours end)
            as usual_low_hours,
        min(case when ranked.hours_rank >= (0.5 + homes.reach) * ranked.all_count then ranked.hours end)
            as usual_high_hours
    from homes
    cross join ranked
    group by homes.location_id
)

select
    homes.location_id,
    cast(homes.case_count as bigint) as case_count,
    case when homes.case_count >= {{ var("min_count") }} then homes.median_hours end as median_hours,
    case when homes.case_count >= {{ var("min_count") }} then homes.p90_hours end as p90_hours,
    case when homes.case_count >= {{ var("min_count") }} then limits.usual_low_hours end as usual_low_hours,
    case when homes.case_count >= {{ var("min_count") }} then limits.usual_high_hours end as usual_high_hours,
    case
        when homes.case_count < {{ var("min_count") }} then 'too few to judge'
        when homes.median_hours < limits.usual_low_hours then 'beyond the 95% range, below: look'
        when homes.median_hours > limits.usual_high_hours then 'beyond the 95% range, above: look'
        else 'within what chance gives'
    end as verdict
from homes
inner join limits
    on homes.location_id = limits.location_id
