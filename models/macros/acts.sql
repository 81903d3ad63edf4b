{# The first event of each act that cannot be undone, of every case. #}
{% macro first_acts() -%}
    select
        case_number,
        event_number,
        event_id,
        action,
        occurred_at,
        occurred_at_local,
        place_id,
        is_held,
        file_id,
        line
    from (
        select
            *,
            row_number() over (partition by case_number, {{ act_of("action") }} order by event_number) as place_in_act
        from {{ ref("int_custody_events") }}
        where action in {{ irreversible_actions() }} and not is_after_end
    ) as events
    where place_in_act = 1
{%- endmacro %}

{# 'Cremation began at ... (event ...)', the beginning of a detail about an act. #}
{% macro act_sentence(acts) -%}
    case {{ acts }}.action
        when 'cremation_started' then 'Cremation began at '
        when 'cremation_finished' then 'Cremation ended at '
        when 'embalming_started' then 'Embalming began at '
        when 'embalming_finished' then 'Embalming ended at '
        when 'released' then 'The person was handed over at '
        when 'remains_received' then 'The remains came back from an outside crematory at '
        else 'The person was ' || {{ acts }}.action || ' at '
    end
    || {{ minute_text(acts ~ ".occurred_at_local") }} || ' (event ' || {{ acts }}.event_id || ')'
{%- endmacro %}
