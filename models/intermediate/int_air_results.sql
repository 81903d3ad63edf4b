{#
    A shift that goes over midnight is one: a sample of the next day belongs to the shift of the one before it where less
    than so many hours lie between (the group's own judgement; no source).
#}
{% set hours_within_shift = 4 %}
{% set of_worker = "partition by location_id, sample_kind, worker_key order by started_at, sample_id" %}
{% set monitored = "partition by location_id, sample_kind, worker_key, shift_number" %}

with samples as (
    select
        *,
        cast(started_at_local as date) as sampled_date,
        -- A sample without a worker is of the room: it stands alone.
        coalesce('worker:' || worker_code, 'sample:' || sample_id) as worker_key,
        {{ product("formaldehyde_ppm", "minutes") }} as ppm_minutes,
        case when sample_kind = 'short_term' then 'short_term' else 'eight_hour' end as limit_kind
    from {{ ref("stg_air_samples") }}
    where started_at <= {{ as_of() }}
),

beside_earlier as (
    select
        *,
        lag(sampled_date) over ({{ of_worker }}) as date_before,
        max({{ add_hours("started_at", "minutes / 60.0") }}) over (
            {{ of_worker }} rows between unbounded preceding and 1 preceding
        ) as ended_before_at
    from samples
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

averaged as (
    select
        *,
        -- 29 CFR 1910.1000(d)(1)(i): E = (CaTa + CbTb + ... + CnTn) / 8, whatever hours were sampled.
        case
            when limit_kind = 'eight_hour'
                then {{ to_double("sum(ppm_minutes) over (" ~ monitored ~ ")") }} / 480.0
        end as twa_8h_ppm,
        -- The worst 15 minutes are at least the mean of a longer sample; a shorter one is filled up with nothing.
        case
            when minutes >= 15 then {{ to_double("formaldehyde_ppm") }}
            else {{ to_double("formaldehyde_ppm") }} * {{ to_double("minutes") }} / 15.0
        end as short_term_ppm,
        case
            when limit_kind = 'eight_hour'
                then row_number() over ({{ monitored }} order by ppm_minutes desc, sample_id asc)
            else 1
        end as rank_in_result
    from in_shifts
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
    averaged.rank_in_result = 1 as is_result_of_record,
    averaged.file_id,
    averaged.line
from averaged
left join {{ ref("stg_exposure_limits") }} as limits
    on averaged.limit_kind = limits.limit_kind
left join {{ ref("stg_exposure_limits") }} as short_term
    on short_term.limit_kind = 'short_term'
