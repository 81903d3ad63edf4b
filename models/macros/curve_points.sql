{#
    What a chart draws of curves as survival_curve makes them: each at 0 hours, at the hours of one
    grid for all keys, and where it ends; at most 201 rows per key. The values are those of the whole
    curve, only read less often. The grid is the narrowest part of a day that reaches the longest
    end in 200 steps. A curve ends with the last time at which min_count are at risk: beyond it one
    case moves it far (Pocock, Clayton and Altman 2002, Lancet 359:1686); a key with fewer has none.
    finished_count is of all times up to the hours; at_risk_count of those not yet over at them.
#}
{% macro curve_points(curves, keys) -%}
    {%- set names = keys | join(", ") -%}
    with numbers as (
        select number
        from ({{ numbers_to_999() }}) as listed
        where number < 200
    ),

    ends as (
        select
            {{ names }},
            max(hours) as end_hours,
            case
                {% for grid_hours in [1, 2, 3, 4, 6, 8, 12] -%}
                when max(max(hours)) over () < {{ 200 * grid_hours }} then {{ grid_hours }}
                {% endfor -%}
                else 24
            end as grid_hours
        from {{ curves }}
        where at_risk_count >= {{ var("min_count") }}
        group by {{ names }}
    ),

    from_the_start as (
        select
            {{ names }}, hours, at_risk_count, finished_count, open_count,
            still_open_share, still_open_low_share, still_open_high_share
        from {{ curves }}

        union all

        select
            {{ names }}, 0 as hours, max(at_risk_count) as at_risk_count, 0 as finished_count, 0 as open_count,
            1 as still_open_share, null as still_open_low_share, null as still_open_high_share
        from {{ curves }}
        group by {{ names }}
        having min(hours) > 0
    ),

    held as (
        select
            from_the_start.*,
            sum(finished_count) over (
                partition by {{ names }} order by hours rows between unbounded preceding and current row
            ) as finished_so_far,
            lead(hours) over (partition by {{ names }} order by hours) as next_hours
        from from_the_start
    ),

    reached as (
        select
            held.*,
            ends.end_hours,
            ends.grid_hours,
            ceil(held.hours / ends.grid_hours) as first_number,
            coalesce(
                ceil(held.next_hours / ends.grid_hours) - 1, floor(ends.end_hours / ends.grid_hours)
            ) as last_number
        from held
        inner join ends
            on
                held.hours <= ends.end_hours
                {%- for key in keys %}
                and held.{{ key }} = ends.{{ key }}
                {%- endfor %}
    )

    select
        {% for key in keys -%}
        reached.{{ key }},
        {% endfor -%}
        {{ to_double("numbers.number * reached.grid_hours") }} as hours,
        case
            when reached.hours = numbers.number * reached.grid_hours then reached.at_risk_count
            else reached.at_risk_count - reached.finished_count - reached.open_count
        end as at_risk_count,
        reached.finished_so_far as finished_count,
        reached.still_open_share,
        reached.still_open_low_share,
        reached.still_open_high_share
    from reached
    inner join numbers
        on
            numbers.number between reached.first_number and reached.last_number
            and numbers.number * reached.grid_hours <= reached.end_hours

    union all

    select
        {{ names }},
        hours,
        at_risk_count,
        finished_so_far as finished_count,
        still_open_share,
        still_open_low_share,
        still_open_high_share
    from reached
    where hours = end_hours and ceil(hours / grid_hours) * grid_hours <> hours
{%- endmacro %}
