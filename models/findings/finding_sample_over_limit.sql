select
    {{ finding(
        "sample_over_limit",
        case_number="null",
        location_id="results.location_id",
        occurred_at="results.started_at",
        a="results",
        feed_a="air_samples",
        measured_value="results.result_ppm",
        limit_value="results.limit_ppm",
        value_unit="ppm",
        detail="'Sample ' || results.sample_id || ' at ' || results.location_id || ': '
            || case when results.limit_kind = 'short_term' then '15-minute' else '8-hour' end || ' average '
            || " ~ measured_text("results.result_ppm", "results.limit_ppm", 3) ~ " || ' ppm'
            || case
                when results.samples_in_result > 1
                    then ' over the ' || results.samples_in_result || ' samples of the worker''s day'
                else ''
            end
            || ', limit ' || " ~ quantity_text("results.limit_ppm") ~ " || ' ppm.'"
    ) }}
from {{ ref("int_air_results") }} as results
where results.is_result_of_record and results.result_ppm > results.limit_ppm

union all

-- A sample of a task or a shift whose mean is above the short-term limit had 15 minutes above it.
select
    {{ finding(
        "sample_over_limit",
        case_number="null",
        location_id="results.location_id",
        occurred_at="results.started_at",
        a="results",
        feed_a="air_samples",
        measured_value="results.short_term_ppm",
        limit_value="results.short_term_limit_ppm",
        value_unit="ppm",
        detail="'Sample ' || results.sample_id || ' at ' || results.location_id || ': '
            || " ~ number_text("results.formaldehyde_ppm", 3) ~ " || ' ppm over '
            || " ~ number_text("results.minutes", 0) ~ " || ' minutes, so the worst 15-minute average was at least '
            || " ~ measured_text("results.short_term_ppm", "results.short_term_limit_ppm", 3) ~ " || ' ppm, limit '
            || " ~ quantity_text("results.short_term_limit_ppm") ~ " || ' ppm.'"
    ) }}
from {{ ref("int_air_results") }} as results
where results.limit_kind = 'eight_hour' and results.short_term_ppm > results.short_term_limit_ppm
