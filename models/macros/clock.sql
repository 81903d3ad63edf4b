{# Instants and elapsed time. Every instant in the warehouse is a naive timestamp in UTC. #}

{# The instant that the run calls "now". No model reads a clock. #}
{% macro as_of() -%}
    cast('{{ var("as_of") }}' as timestamp)
{%- endmacro %}

{# An instant if it had come by the as-of instant, else nothing. #}
{% macro by_now(instant) -%}
    case when {{ instant }} <= {{ as_of() }} then {{ instant }} end
{%- endmacro %}

{# The local date of the run's instant at a place: `place` is an alias of int_local_today, joined to the left. #}
{% macro today(place) -%}
    coalesce({{ place }}.today_date, cast({{ as_of() }} as date))
{%- endmacro %}

{# The local date of a paper (<stem>_at, <stem>_date) if it was there at the as-of instant, else nothing. #}
{% macro day_by_now(stem, zone) -%}
    case
        when coalesce({{ stem }}_at <= {{ as_of() }}, {{ stem }}_date <= {{ local_date(as_of(), zone) }})
            then {{ stem }}_date
    end
{%- endmacro %}

{#
    Elapsed minutes between two UTC instants, as a double. A count of boundaries (date_diff) would
    call 10:59 to 11:01 one hour; subtraction of instants does not.
#}
{% macro elapsed_minutes(started_at, finished_at) -%}
    ({{ adapter.dispatch("elapsed_seconds", "ledgerstone")(started_at, finished_at) }} / 60.0)
{%- endmacro %}

{# Elapsed hours between two UTC instants, as a double. #}
{% macro elapsed_hours(started_at, finished_at) -%}
    ({{ adapter.dispatch("elapsed_seconds", "ledgerstone")(started_at, finished_at) }} / 3600.0)
{%- endmacro %}

{% macro default__elapsed_seconds(started_at, finished_at) -%}
    cast(extract(epoch from ({{ finished_at }} - {{ started_at }})) as double precision)
{%- endmacro %}

{% macro duckdb__elapsed_seconds(started_at, finished_at) -%}
    (cast(epoch_us({{ finished_at }}) - epoch_us({{ started_at }}) as double) / 1000000.0)
{%- endmacro %}

{#
    An instant some hours later; the hours may be fractional and come from a column. Beyond ten
    thousand years they mean "never": one absurd figure must not end the run.
#}
{% macro add_hours(instant, hours) -%}
    {{ adapter.dispatch("add_hours", "ledgerstone")(instant, "least(" ~ hours ~ ", 87600000)") }}
{%- endmacro %}

{% macro default__add_hours(instant, hours) -%}
    ({{ instant }} + cast({{ hours }} as double precision) * interval '1 hour')
{%- endmacro %}

{% macro duckdb__add_hours(instant, hours) -%}
    ({{ instant }} + to_microseconds(cast(cast({{ hours }} as double) * 3600000000.0 as bigint)))
{%- endmacro %}

{# The local date of a UTC instant in a named zone (IANA). #}
{% macro local_date(instant, zone) -%}
    cast({{ local_time(instant, zone) }} as date)
{%- endmacro %}

{# The wall time of a UTC instant in a named zone (IANA). #}
{% macro local_time(instant, zone) -%}
    {{ adapter.dispatch("local_time", "ledgerstone")(instant, zone) }}
{%- endmacro %}

{% macro default__local_time(instant, zone) -%}
    (({{ instant }} at time zone 'UTC') at time zone {{ zone }})
{%- endmacro %}

{#
    The UTC instant of a wall time in a named zone; in the doubled hour the earlier, as the parser
    reads it. The engine takes the later. Three hours before, the clocks had not gone back yet.
#}
{% macro utc_of_local(wall_time, zone) -%}
    {%- set early -%}
    ({{ engine_utc_of_local("(" ~ wall_time ~ " - interval '3' hour)", zone) }} + interval '3' hour)
    {%- endset -%}
    case
        when {{ local_time(early, zone) }} = {{ wall_time }} then {{ early }}
        else {{ engine_utc_of_local(wall_time, zone) }}
    end
{%- endmacro %}

{# The UTC instant that the engine gives a wall time: in the doubled hour any of the two. #}
{% macro engine_utc_of_local(wall_time, zone) -%}
    {{ adapter.dispatch("engine_utc_of_local", "ledgerstone")(wall_time, zone) }}
{%- endmacro %}

{% macro default__engine_utc_of_local(wall_time, zone) -%}
    (({{ wall_time }} at time zone {{ zone }}) at time zone 'UTC')
{%- endmacro %}
