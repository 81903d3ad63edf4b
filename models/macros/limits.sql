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
