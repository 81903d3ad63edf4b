-- 29 CFR 1910.1048(d): a first sample; at or above the action level again within 6 months, at or above
-- the short-term limit again within a year; an end after two results at least 7 days apart below.
with results as (
    select
        air.location_id,
        air.sample_id,
        air.sampled_date,
        air.started_at,
        air.limit_kind,
        air.result_ppm,
        {{ to_double("triggers.limit_ppm") }} as trigger_ppm,
        air.result_ppm >= {{ to_double("triggers.limit_ppm") }} as is_triggering,
        air.is_result_of_record,
        air.file_id,
        air.line
    from {{ ref("int_air_results") }} as air
    inner join {{ ref("stg_exposure_limits") }} as triggers
        on triggers.limit_kind = case when air.limit_kind = 'eight_hour' then 'action_level' else 'short_term' end
),

last_high as (
    select
        location_id,
        limit_kind,
        max(sampled_date) as high_date
    from results
    where is_triggering
    group by location_id, limit_kind
),

since_high as (
    select
        last_high.location_id,
        last_high.limit_kind,
        max(results.sampled_date) as newest_date,
        min(case when results.sampled_date > last_high.high_date then results.sampled_date end) as first_low_date
    from last_high
    inner join results
        on last_high.location_id = results.location_id and last_high.limit_kind = results.limit_kind
    group by last_high.location_id, last_high.limit_kind
),

repeats as (
    select
        location_id,
        limit_kind,
        newest_date,
        case
            when limit_kind = 'eight_hour' then cast(newest_date + interval '6 month' as date)
            else cast(newest_date + interval '12 month' as date)
        end as due_date
    from since_high
    where first_low_date is null or newest_date < {{ add_days("first_low_date", 7) }}
),

repeats_due as (
    select
        results.*,
        repeats.due_date,
        row_number() over (
            partition by results.location_id
            order by
                repeats.due_date asc,
                results.result_ppm desc,
                case when results.is_result_of_record then 0 else 1 end asc,
                results.sample_id asc
        ) as due_rank
    from repeats
    inner join results
        on
            repeats.location_id = results.location_id
            and repeats.limit_kind = results.limit_kind
            and repeats.newest_date = results.sampled_date
    left join {{ ref("int_local_today") }} as today
        on repeats.location_id = today.location_id
    where repeats.due_date < {{ today("today") }}
),

never_sampled as (
    select
        issues.*,
        row_number() over (
            partition by issues.location_id order by issues.occurred_at, issues.movement_id
        ) as issue_rank
    from {{ ref("int_stock_movements") }} as issues
    where
        issues.movement_kind = 'issued'
        and issues.formaldehyde_g > 0
        and not exists (
            select 1
            from {{ ref("int_air_results") }} as samples
            where samples.location_id = issues.location_id
        )
        and not exists (
            select 1
            from {{ ref("stg_held_air_samples") }} as held
            where held.location_id = issues.location_id
        )
)

select
    {{ finding(
        "sample_overdue",
        case_number="null",
        location_id="due.location_id",
        occurred_at="cast(due.due_date as timestamp)",
        a="due",
        feed_a="air_samples",
        measured_value="due.result_ppm",
        limit_value="due.trigger_ppm",
        value_unit="ppm",
        detail="'Last sample ' || due.sample_id || ' at ' || due.location_id || ' on '
            || cast(due.sampled_date as varchar) || '; the next was due on ' || cast(due.due_date as varchar) || '.'"
    ) }}
from repeats_due as due
where
    due.due_rank = 1
    and not exists (
        select 1
        from {{ ref("stg_held_air_samples") }} as held
        where held.location_id = due.location_id and coalesce(held.started_at > due.started_at, true)
    )

union all

select
    {{ finding(
        "sample_overdue",
        case_number="null",
        location_id="never.location_id",
        occurred_at="never.occurred_at",
        a="never",
        feed_a="supply_movements",
        detail="'Formaldehyde is used at ' || never.location_id || ' since movement ' || never.movement_id
            || ' and no air sample was ever taken there.'"
    ) }}
from never_sampled as never
where never.issue_rank = 1
