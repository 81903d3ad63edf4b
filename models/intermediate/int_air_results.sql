{#
    A shift that goes over midnight is one: a sample of the next day belongs to the shift of the one before it where less
    than so many hours lie between. A short-term sample that ran for longer than so many minutes is no measure of 15: it
    counts into the day (both the group's own judgement; no source).
#}
{% set hours_within_shift, longest_short_term = 4, 30 %}
{% set of_worker = "partition by worker_key, limit_kind order by started_at, sample_id" %}
{% set monitored = "partition by worker_key, limit_kind, shift_number" %}

with given as (
    select
        *,
        {{ add_hours("started_at", "minutes / 60.0") }} as ended_at,
        lower(worker_code) as worker
    from {{ ref("stg_air_samples") }}
    where started_at <= {{ as_of() }}
),

-- A code that is sampled at two places at once is of two people that day: each place numbers its own.
shared_codes as (
    select distinct
        one.worker,
        cast(one.started_at_local as date) as sampled_date
    from given as one
    inner join given as other
        on
            one.worker = other.worker
            and one.location_id <> other.location_id
            and one.started_at < other.ended_at
            and one.ended_at > other.started_at
),

kinds as (
    select
        given.*,
        cast(given.started_at_local as date) as sampled_date,
        -- 29 CFR 1910.1048(c)(1) is about an employee's day, wherever it was spent and whatever was done. A sample
        -- without a worker is of the room: it stands alone. A code is written in capitals or not.
        coalesce(
            'worker:' || given.worker
            || case when shared_codes.worker is not null then '@' || given.location_id else '' end,
            'sample:' || given.sample_id
        ) as worker_key,
        case
            when given.sample_kind = 'short_term' and given.minutes <= {{ longest_short_term }} then 'short_term'
            else 'eight_hour'
        end as limit_kind
    from given
    left join shared_codes
        on
            given.worker = shared_codes.worker
            and cast(given.started_at_local as date) = shared_codes.sampled_date
),

beside_earlier as (
    select
        *,
        lag(sampled_date) over ({{ of_worker }}) as date_before,
        max(ended_at) over ({{ of_worker }} rows between unbounded preceding and 1 preceding) as ended_before_at
    from kinds
),

in_shifts as (
    select
        *,
        sum(
            case
                when date_before = sampled_date then 0
                when started_at < {{ add_hours("ended_before_at", hours_within_shift) }} then 0
                else 1
            end
        ) over ({{ of_worker }} rows between unbounded preceding and current row) as shift_number
    from beside_earlier
),

edges as (
    select
        worker_key,
        shift_number,
        started_at as edge_at
    from in_shifts
    where limit_kind = 'eight_hour'
    union
    select
        worker_key,
        shift_number,
        ended_at as edge_at
    from in_shifts
    where limit_kind = 'eight_hour'
),

stretches as (
    select
        *,
        lead(edge_at) over (partition by worker_key, shift_number order by edge_at) as until_at
    from edges
),

running as (
    select
        samples.sample_id,
        {{ elapsed_minutes("stretches.edge_at", "stretches.until_at") }} as minutes,
        count(*) over (partition by stretches.worker_key, stretches.shift_number, stretches.edge_at) as samples_at_once
    from stretches
    inner join in_shifts as samples
        on
            stretches.worker_key = samples.worker_key
            and stretches.shift_number = samples.shift_number
            and stretches.edge_at >= samples.started_at
            and stretches.until_at <= samples.ended_at
            and samples.limit_kind = 'eight_hour'
),

-- Nobody breathes a minute twice: where samples of a worker run at once, each stands for its part of the time.
shared_minutes as (
    select
        sample_id,
        sum(minutes * (1.0 - 1.0 / samples_at_once)) as minutes
    from running
    where samples_at_once > 1
    group by sample_id
),

measured as (
    select
        in_shifts.*,
        {{ product("in_shifts.formaldehyde_ppm", "in_shifts.minutes") }} - coalesce(
            cast({{ to_double("in_shifts.formaldehyde_ppm") }} * shared_minutes.minutes as decimal(38, 8)), 0
        ) as ppm_minutes
    from in_shifts
    left join shared_minutes
        on in_shifts.sample_id = shared_minutes.sample_id
),

averaged as (
    select
        *,
        -- 29 CFR 1910.1000(d)(1)(i): E = (CaTa + CbTb + ... + CnTn) / 8, whatever hours were sampled.
        case
            when limit_kind = 'eight_hour'
                then {{ settled(to_double("sum(ppm_minutes) over (" ~ monitored ~ ")") ~ " / 480.0") }}
        end as twa_8h_ppm,
        -- The worst 15 minutes are at least the mean of a longer sample; a shorter one is filled up with nothing.
        case
            when minutes >= 15 then {{ to_double("formaldehyde_ppm") }}
            else {{ to_double("formaldehyde_ppm") }} * {{ to_double("minutes") }} / 15.0
        end as short_term_ppm,
        case when limit_kind = 'eight_hour' then count(*) over ({{ monitored }}) else 1 end as samples_in_result,
        case
            when limit_kind = 'eight_hour'
                then row_number() over ({{ monitored }} order by ppm_minutes desc, sample_id asc)
            else 1
        end as rank_in_result
    from measured
)

select
    averaged.sample_id,
    averaged.location_id,
    averaged.started_at,
    averaged.sampled_date,
    {{ to_double("averaged.minutes") }} as minutes,
    {{ to_double("averaged.formaldehyde_ppm") }} as formaldehyde_ppm,
    averaged.sample_kind,
    averaged.worker_code,
    averaged.twa_8h_ppm,
    averaged.limit_kind,
    coalesce(averaged.twa_8h_ppm, averaged.short_term_ppm) as result_ppm,
    {{ to_double("limits.limit_ppm") }} as limit_ppm,
    averaged.short_term_ppm,
    {{ to_double("short_term.limit_ppm") }} as short_term_limit_ppm,
    averaged.samples_in_result,
    averaged.rank_in_result = 1 as is_result_of_record,
    averaged.file_id,
    averaged.line
from averaged
left join {{ ref("stg_exposure_limits") }} as limits
    on averaged.limit_kind = limits.limit_kind
left join {{ ref("stg_exposure_limits") }} as short_term
    on short_term.limit_kind = 'short_term'
