{% set monitored = "partition by location_id, sample_kind, worker_key, sampled_date" %}

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
            when limit_kind = 'short_term'
                then {{ to_double("formaldehyde_ppm") }} * least({{ to_double("minutes") }}, 15.0) / 15.0
        end as short_term_ppm,
        case
            when limit_kind = 'eight_hour'
                then row_number() over ({{ monitored }} order by ppm_minutes desc, sample_id asc)
            else 1
        end as rank_in_result
    from samples
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
    averaged.rank_in_result = 1 as is_result_of_record,
    averaged.file_id,
    averaged.line
from averaged
left join {{ ref("stg_exposure_limits") }} as limits
    on averaged.limit_kind = limits.limit_kind
