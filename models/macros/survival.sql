{#
    How long a step takes when some cases have not finished it yet: the product limit with its
    interval, and the log-rank test. Sets of grouped times in, no case by case. The relations given
    have one row per key and time, with hours, finished_count (events) and open_count (censored at
    those hours); at a tie events come before censorings.
#}

{# Complete weeks that count as recent: a quarter, as the group reviews its homes. #}
{% macro recent_weeks() -%}
    13
{%- endmacro %}

{# Standard normal quantile of 0.975: two-sided intervals of 95 %. #}
{% macro normal_975() -%}
    1.959963984540054
{%- endmacro %}

{#
    The product limit (Kaplan and Meier 1958, J. Am. Stat. Assoc. 53:457) per key, one row per time,
    with the standard error of Greenwood (1926) and its 95 % interval on the scale log(-log)
    (Kalbfleisch and Prentice 1980). While nobody has finished the share is 1, and once everybody
    has it is 0: log(-log) is not defined there, and the interval is left empty. The sum of
    logarithms leaves out the last event, ln(0).
#}
{% macro survival_curve(times, keys) -%}
    {%- set over_all = "over (partition by " ~ keys | join(", ") ~ " order by hours rows between unbounded preceding" -%}
    select
        {{ keys | join(", ") }},
        hours,
        at_risk_count,
        finished_count,
        open_count,
        case when at_risk_count = finished_count then 0 else exp(log_open) end as still_open_share,
        case when at_risk_count > finished_count then exp(log_open) * sqrt(greenwood) end as still_open_se,
        case
            when at_risk_count > finished_count and log_open < 0
                then exp(log_open * exp({{ normal_975() }} * sqrt(greenwood) / -log_open))
        end as still_open_low_share,
        case
            when at_risk_count > finished_count and log_open < 0
                then exp(log_open * exp(-{{ normal_975() }} * sqrt(greenwood) / -log_open))
        end as still_open_high_share,
        finished_so_far / nullif(finished_in_all, 0) as finished_share
    from (
        select
            at_risk.*,
            sum(
                case
                    when at_risk_count > finished_count
                        then ln(1 - {{ to_double("finished_count") }} / at_risk_count)
                    else 0
                end
            ) {{ over_all }} and current row) as log_open,
            sum(
                case
                    when at_risk_count > finished_count
                        then
                            {{ to_double("finished_count") }} / at_risk_count
                            / (at_risk_count - finished_count)
                    else 0
                end
            ) {{ over_all }} and current row) as greenwood
        from (
            select
                {{ keys | join(", ") }},
                hours,
                finished_count,
                open_count,
                cast(
                    sum(finished_count + open_count) {{ over_all }} and unbounded following)
                    - sum(finished_count + open_count) {{ over_all }} and current row)
                    + finished_count + open_count as bigint
                ) as at_risk_count,
                {{ to_double("sum(finished_count) " ~ over_all ~ " and current row)") }} as finished_so_far,
                {{ to_double("sum(finished_count) " ~ over_all ~ " and unbounded following)") }} as finished_in_all
            from {{ times }}
        ) as at_risk
    ) as summed
{%- endmacro %}

{#
    Medians per key of curves as survival_curve makes them. The median is the first time
    at which half or fewer are still open; where the curve lies at exactly one half, the middle of
    that stretch (as of an even number of values). A share counts as one half within 1e-9: it is the
    exponential of a sum. The interval (Brookmeyer and Crowley 1982, Biometrics 38:29): from the
    first time at which the lower curve is at or below one half to the first at which the upper is;
    where everybody has finished the lower curve is 0 and the upper one unknown.
    naive_median_hours is the interpolated median of the finished alone.
#}
{% macro survival_medians(curves, keys) -%}
    select
        {{ keys | join(", ") }},
        (
            min(case when still_open_share < 0.500000001 then hours end)
            + coalesce(
                min(case when still_open_share < 0.499999999 then hours end),
                min(case when still_open_share < 0.500000001 then hours end)
            )
        ) / 2 as median_hours,
        min(case when still_open_low_share <= 0.5 or still_open_share = 0 then hours end) as median_low_hours,
        min(case when still_open_high_share <= 0.5 then hours end) as median_high_hours,
        (
            min(case when finished_share >= 0.5 then hours end)
            + min(case when finished_share > 0.5 then hours end)
        ) / 2 as naive_median_hours
    from {{ curves }}
    group by {{ keys | join(", ") }}
{%- endmacro %}

{#
    Stratified log-rank of each location against all others (Mantel 1966, Cancer Chemother. Rep.
    50:163; the variance is the hypergeometric one): per key and location the events observed,
    expected and their variance. `times` has one row per key, stratum, location and hours.

    With n at risk and d finished at a time, n_h at risk at the location, c = d (n - d) / (n - 1):
    expected = sum of d n_h / n, variance = sum of c n_h / n - c (n_h / n)^2, over all times of the
    stratum. A location's case is at risk at every time up to its own, so that each sum over times
    is one over the location's own rows, of sums run up to there: no row per location and time.
    n_h^2 counts pairs of the location's cases both still at risk; n_h^2 less its square just after
    is the number of pairs of which a row's time is the earlier.
#}
{% macro log_rank(times, keys, strata) -%}
    {%- set stratum = (keys + strata) | join(", ") -%}
    select
        {% for key in keys -%}
        own.{{ key }},
        {% endfor -%}
        own.location_id,
        cast(sum(own.finished_count + own.open_count) as bigint) as started_count,
        cast(sum(own.finished_count) as bigint) as finished_count,
        cast(sum(own.open_count) as bigint) as open_count,
        sum((own.finished_count + own.open_count) * pooled.hazard) as expected_count,
        sum(
            (own.finished_count + own.open_count) * pooled.variance_once
            - (
                own.at_risk * own.at_risk
                - (own.at_risk - own.finished_count - own.open_count)
                * (own.at_risk - own.finished_count - own.open_count)
            ) * pooled.variance_pairs
        ) as variance
    from (
        select
            {{ stratum }},
            location_id,
            hours,
            finished_count,
            open_count,
            {{ to_double(
                "sum(finished_count + open_count) over (partition by " ~ stratum ~ ", location_id "
                ~ "order by hours desc rows between unbounded preceding and current row)"
            ) }} as at_risk
        from {{ times }}
    ) as own
    inner join (
        select
            {{ stratum }},
            hours,
            sum(finished / at_risk) over run_up as hazard,
            sum(finished * (at_risk - finished) / nullif(at_risk - 1, 0) / at_risk) over run_up as variance_once,
            sum(finished * (at_risk - finished) / nullif(at_risk - 1, 0) / at_risk / at_risk) over run_up
                as variance_pairs
        from (
            select
                {{ stratum }},
                hours,
                {{ to_double("sum(finished_count)") }} as finished,
                {{ to_double(
                    "sum(sum(finished_count + open_count)) over (partition by " ~ stratum
                    ~ " order by hours desc rows between unbounded preceding and current row)"
                ) }} as at_risk
            from {{ times }}
            group by {{ stratum }}, hours
        ) as counted
        window run_up as (partition by {{ stratum }} order by hours rows between unbounded preceding and current row)
    ) as pooled
        on
            own.hours = pooled.hours
            {%- for column in keys + strata %}
            and own.{{ column }} = pooled.{{ column }}
            {%- endfor %}
    group by {% for key in keys %}own.{{ key }}, {% endfor %}own.location_id
{%- endmacro %}

{#
    Squared difference of observed and expected over its variance, one degree of freedom. A home
    that has no one to be compared with in any stratum has no variance; sums leave some 1e-12 of it,
    where one true comparison has more than 1e-7 (one case among ten million).
#}
{% macro chi_square(observed, expected, variance) -%}
    (
        ({{ observed }} - {{ expected }}) * ({{ observed }} - {{ expected }})
        / case when {{ variance }} > 0.00000001 then {{ variance }} end
    )
{%- endmacro %}

{#
    The chance of a chi-square of one degree of freedom as large or larger: erfc(sqrt(x / 2)), by
    Abramowitz and Stegun 1964, 7.1.26, absolute error below 1.5e-7. Some engines end a query at
    exp(-800) instead of giving 0: beyond 1400 the chance is 0 to 300 decimals in any case.
#}
{% macro chi_square_tail(chi_square) -%}
    {#- Not least(): it passes over an empty value. -#}
    {%- set x = "(case when " ~ chi_square ~ " > 1400 then 1400 else " ~ chi_square ~ " end / 2)" -%}
    {%- set t = "(1 / (1 + 0.3275911 * sqrt(" ~ x ~ ")))" -%}
    (
        {{ t }} * (
            0.254829592 + {{ t }} * (
                -0.284496736 + {{ t }} * (1.421413741 + {{ t }} * (-1.453152027 + {{ t }} * 1.061405429))
            )
        ) * exp(-{{ x }})
    )
{%- endmacro %}
