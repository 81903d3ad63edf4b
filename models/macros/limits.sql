{#
    The instant at which a limit of jurisdiction_limits starts its clock. Where the instant of death
    is not known the caller says which end of what is known counts: a finding must be certain.
#}
{% macro limit_starts(limits, cases, milestones, death) -%}
    case {{ limits }}.starts_at
        when 'death' then {{ cases }}.{{ death }}
        when 'pronounced' then coalesce({{ cases }}.pronounced_at, {{ cases }}.{{ death }})
        when 'received' then {{ milestones }}.received_at
        when 'released' then {{ milestones }}.received_at
        when 'cremated' then {{ milestones }}.cremation_finished_at
    end
{%- endmacro %}

{#
    The instant at which such a limit ends: hours after its start or, where the law counts days, with the last of them,
    the day of the start not counted.
#}
{% macro limit_ends(limits, start, zone) -%}
    case
        when {{ limits }}.counts = 'days'
            then
                {{ utc_of_local(
                    "cast(" ~ add_days(local_date(start, zone), "floor(least(" ~ limits ~ ".hours, 87600000) / 24) + 1")
                    ~ " as timestamp)", zone
                ) }}
        else {{ add_hours(start, limits ~ ".hours") }}
    end
{%- endmacro %}

{#
    How late something was, and the limit: '49.5 hours after death; the limit is 48 hours (source; ...).' Where the law
    counts days, both are days of the calendar: a day of 23 hours would read as within the limit.
#}
{% macro late_text(limits, start, at, zone) -%}
    case
        when {{ limits }}.counts = 'days'
            then {{ number_text(calendar_days(start, at, zone), 0) }} || ' calendar days after ' || {{ limits }}.starts_at
                || '; the limit is ' || {{ quantity_text("floor(" ~ limits ~ ".hours / 24)") }}
                || case when {{ limits }}.hours < 48 then ' day' else ' days' end
        else
            {{ measured_text(elapsed_hours(start, at), limits ~ ".hours") }} || ' hours after ' || {{ limits }}.starts_at
            || '; the limit is ' || {{ quantity_text(limits ~ ".hours") }} || ' hours'
    end
    || ' (' || {{ limits }}.citation || '; check with counsel or the licensing board).'
{%- endmacro %}

{# Days from the local date of an instant to that of another, as the law counts them: without the first. #}
{% macro calendar_days(start, at, zone) -%}
    ({{ elapsed_hours(
        "cast(" ~ local_date(start, zone) ~ " as timestamp)", "cast(" ~ local_date(at, zone) ~ " as timestamp)"
    ) }} / 24.0)
{%- endmacro %}

{#
    The row of jurisdiction_limits of a kind that holds at a place: that of its law, where it is one for this kind of
    place. `law` is the jurisdiction, of the place or of what stands for it; `places` may be no place of ours.
#}
{% macro limit_holds(limits, limit_kind, law, places) -%}
    {{ limits }}.limit_kind = {{ limit_kind }}
    and {{ limits }}.jurisdiction = {{ law }}
    and coalesce({{ limits }}.place_kind = {{ places }}.location_kind, {{ limits }}.place_kind is null)
{%- endmacro %}
