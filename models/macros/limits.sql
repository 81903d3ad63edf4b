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

{# What a detail says after the hours of a limit that the law counts in days. #}
{% macro by_days_note(limits) -%}
    case when {{ limits }}.counts = 'days' then ', to the end of the last day,' else '' end
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
