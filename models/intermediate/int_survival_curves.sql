{% set kinds = [
    ("week", "steps.started_week", "true"),
    (recent_weeks() ~ " weeks", "steps.first_week", "steps.is_recent"),
] %}
{% set places = ["steps.location_id", "'(group)'"] %}

-- A number for each cohort: tens of millions of rows are sorted by it.
with times as (
    {% for kind, cohort_start, condition in kinds -%}
    {% set is_last_kind = loop.last -%}
    {% for place in places -%}
    select
        cohorts.cohort_id,
        steps.hours,
        cast(count(case when steps.is_finished then 1 end) as bigint) as finished_count,
        cast(count(case when not steps.is_finished then 1 end) as bigint) as open_count
    from {{ ref("int_started_steps") }} as steps
    inner join {{ ref("int_start_cohorts") }} as cohorts
        on
            steps.step_code = cohorts.step_code
            and cohorts.cohort_kind = '{{ kind }}'
            and {{ cohort_start }} = cohorts.cohort_start
            and {{ place }} = cohorts.location_id
    where {{ condition }}
    group by cohorts.cohort_id, steps.hours
    {%- if not (loop.last and is_last_kind) %}

    union all

    {% endif %}
    {%- endfor %}
    {%- endfor %}
)

{{ survival_curve("times", ["cohort_id"]) }}
