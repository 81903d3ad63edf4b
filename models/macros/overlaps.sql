{#
    Pairs of people who were in one unit at one time. `stays` names a relation with unit columns
    place_id and storage_unit, an interval started_at to ended_at (null: not yet), case_number and
    event_id. Touching intervals are no overlap. Only units where a stay starts before every earlier
    one ended are looked at pair by pair, so that the join stays small.
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
        least(
            coalesce(later.ended_at, {{ as_of() }}), coalesce(earlier.ended_at, {{ as_of() }})
        ) as both_until_at,
        later.is_held or earlier.is_held as is_held,
        later.file_id,
        later.line,
        earlier.file_id as other_file_id,
        earlier.line as other_line
    from (
        select
            {{ stays }}.*,
            max(coalesce(ended_at, {{ as_of() }})) over (
                partition by place_id, storage_unit
                order by started_at, case_number, event_id
                rows between unbounded preceding and 1 preceding
            ) as earlier_ended_at
        from {{ stays }}
    ) as later
    inner join {{ stays }} as earlier
        on
            later.place_id = earlier.place_id
            and later.storage_unit = earlier.storage_unit
            and later.case_number <> earlier.case_number
            and (
                later.started_at > earlier.started_at
                or (later.started_at = earlier.started_at and later.case_number > earlier.case_number)
            )
            and later.started_at < coalesce(earlier.ended_at, {{ as_of() }})
    where
        later.started_at < later.earlier_ended_at
        and later.started_at < coalesce(later.ended_at, {{ as_of() }})
{%- endmacro %}
