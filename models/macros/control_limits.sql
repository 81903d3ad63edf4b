{#
    Is a change more than chance: individuals and moving range charts, as sets. `points` names a
    relation with the keys, point_number (whole, one more from point to point) and value; a number
    that is left out, or an empty value, is a gap, and no moving range bridges it.
#}

{# Ten points make a centre line worth drawing (NHS Education for Scotland, run charts). #}
{% macro fewest_points() -%}
    10
{%- endmacro %}

{#
    Per key the mean, and 3 times the mean moving range over d2 = 1.128 to either side of it
    (NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2). Empty under ten points. Gives the
    keys, point_count, centre_value, lower_value, upper_value.
#}
{% macro usual_limits(points, keys) -%}
    {%- set in_order = "over (partition by " ~ keys | join(", ") ~ " order by point_number)" -%}
    select
        {{ keys | join(", ") }},
        point_count,
        case when is_enough then {{ settled("centre_value") }} end as centre_value,
        case when is_enough then {{ settled("centre_value - reach") }} end as lower_value,
        case when is_enough then {{ settled("centre_value + reach") }} end as upper_value
    from (
        select
            {{ keys | join(", ") }},
            count(value) as point_count,
            count(value) >= {{ fewest_points() }} and count(moving_range) > 0 as is_enough,
            {{ settled_mean("value") }} as centre_value,
            3 * ({{ settled_mean("moving_range") }}) / 1.128 as reach
        from (
            select
                {{ keys | join(", ") }},
                value,
                case
                    when point_number - lag(point_number) {{ in_order }} = 1
                        then abs(value - lag(value) {{ in_order }})
                end as moving_range
            from {{ points }}
        ) as moves
        group by {{ keys | join(", ") }}
    ) as ranges
{%- endmacro %}

{#
    The lower 5 % point of the crossings of the centre that `points` values make by chance, binomial
    of points - 1 and one half (PLoS ONE 2014, 9(11) e113825); for 10 to 60 points.
#}
{% macro fewest_crossings(points) -%}
    case {{ points }}
    {%- for count in range(10, 61) %}
        {%- set sum = namespace(term=1, total=1, crossings=0) %}
        {%- for step in range(1, count) if sum.total * 20 < 2 ** (count - 1) %}
            {%- set sum.term = sum.term * (count - step) // step %}
            {%- set sum.total = sum.total + sum.term %}
            {%- set sum.crossings = step %}
        {%- endfor %}
        when {{ count }} then {{ sum.crossings }}
    {%- endfor %}
    end
{%- endmacro %}

{#
    The longest run on one side of the centre that so many values make by chance, same paper:
    round(log2(points) + 3). For 12 to 22 points a run of eight is longer, as in the run rule of the
    NIST/SEMATECH e-Handbook, 6.3.2.
#}
{% macro longest_usual_run(points) -%}
    round(ln({{ to_double(points) }}) / ln(2) + 3)
{%- endmacro %}

{#
    What a row of points does about its limits (centre_value, lower_value, upper_value stand beside
    each): points outside, the longest run on one side of the centre, crossings of it. A point on
    the centre is on neither side and does not end a run. Gives the keys, judged_count,
    outside_count, sided_count, longest_run, crossing_count.
#}
{% macro run_counts(points, keys) -%}
    {%- set key_list = keys | join(", ") -%}
    select
        {{ key_list }},
        sum(run_points) as judged_count,
        sum(outside_points) as outside_count,
        sum(case when side <> 0 then run_points else 0 end) as sided_count,
        max(case when side <> 0 then run_points else 0 end) as longest_run,
        greatest(count(case when side <> 0 then 1 end) - 1, 0) as crossing_count
    from (
        select
            {{ key_list }},
            side,
            run_number,
            count(*) as run_points,
            count(case when is_outside then 1 end) as outside_points
        from (
            select
                {{ key_list }},
                side,
                is_outside,
                row_number() over (partition by {{ key_list }}, abs(side) order by point_number)
                - row_number() over (partition by {{ key_list }}, side order by point_number) as run_number
            from (
                select
                    {{ key_list }},
                    point_number,
                    case when value > centre_value then 1 when value < centre_value then -1 else 0 end as side,
                    not value between lower_value and upper_value as is_outside
                from {{ points }}
                where value is not null and centre_value is not null
            ) as sided
        ) as numbered
        group by {{ key_list }}, side, run_number
    ) as runs
    group by {{ key_list }}
{%- endmacro %}

{#
    How far from one half the share of all cases below the median of `count` of them lies, for 95 %
    of samples: Beta((n + 1) / 2, (n + 1) / 2) by its normal approximation, variance 1 / (4 (n + 2)).
#}
{% macro median_reach(count) -%}
    ({{ normal_975() }} * 0.5 / sqrt({{ to_double(count ~ " + 2") }}))
{%- endmacro %}
