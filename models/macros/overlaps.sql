{#
    Stays that begin while somebody else is still in the unit, each with the one who stays longest
    of those: one row per stay, however many share the unit. `stays` names a relation with
    place_id, storage_unit, started_at, started_at_local, ended_at (empty: not yet), case_number,
    event_id, is_held, file_id and line. Touching intervals are no overlap.
#}
{% macro overlapping_stays(stays) -%}
    select
        later.case_number,
        later.event_id,
        earlier.case_number as other_case_number,
        earlier.event_id as other_event_id,
        later.place_id,
        later.storage_unit,
        later.started_at,
        later.started_at_local,
        least(later.until_at, earlier.until_at) as both_until_at,
        later.is_held or earlier.is_held as is_held,
        later.file_id,
        later.line,
        earlier.file_id as other_file_id,
        earlier.line as other_line
    from (
        select
            keyed.*,
            max(until_at) over (
                partition by place_id, storage_unit
                order by started_at, case_number, event_id
                rows between unbounded preceding and 1 preceding
            ) as earlier_until_at,
            max(stay_key) over (
                partition by place_id, storage_unit
                order by started_at, case_number, event_id
                rows between unbounded preceding and 1 preceding
            ) as earlier_stay_key
        from ({{ keyed_stays(stays) }}) as keyed
    ) as later
    inner join ({{ keyed_stays(stays) }}) as earlier
        on
            later.place_id = earlier.place_id
            and later.storage_unit = earlier.storage_unit
            and later.earlier_stay_key = earlier.stay_key
    where
        later.started_at < later.earlier_until_at
        and later.started_at < later.until_at
        and later.case_number <> earlier.case_number
{%- endmacro %}

{# Stays with their end (so far) and a text that orders them by it and names each. #}
{% macro keyed_stays(stays) -%}
    select
        {{ stays }}.*,
        coalesce(ended_at, {{ as_of() }}) as until_at,
        cast(coalesce(ended_at, {{ as_of() }}) as varchar) || ' ' || case_number || ' ' || event_id as stay_key
    from {{ stays }}
{%- endmacro %}
