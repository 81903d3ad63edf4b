{# The detail of a paper that is missing or late, for the findings on papers. #}
{% macro paper_detail(doubts) -%}
    {{ act_sentence(doubts) }}
    || case {{ doubts }}.paper_state
        when 'missing'
            then case when {{ doubts }}.case_file_id is null then '; the group has no record of the case' else '' end
            || ' and no ' || {{ doubts }}.paper || ' is on the case.'
        when 'late'
            then
                '; the ' || {{ doubts }}.paper || ' is of '
                || coalesce({{ minute_text(doubts ~ ".paper_at_local") }}, cast({{ doubts }}.paper_date as varchar))
                || ', '
                || case
                    when {{ doubts }}.minutes_late < 1 and {{ doubts }}.paper_at_local is not null
                        then 'less than a minute'
                    else
                        case when {{ doubts }}.paper_at_local is null then 'at least ' else '' end
                        || {{ number_text(doubts ~ ".minutes_late", 0) }} || ' minutes'
                end
                || ' later.'
        else
            '; the ' || {{ doubts }}.paper || ' has the same date and no time, so its order cannot be proven.'
    end
    || {{ held_back_note(doubts ~ ".is_held") }}
{%- endmacro %}

{# One finding per paper in doubt that the condition picks. #}
{% macro paper_finding(rule_code, where) -%}
    select
        {{ finding(
            rule_code,
            case_number="doubts.case_number",
            location_id="doubts.location_id",
            occurred_at="doubts.occurred_at",
            a="doubts", feed_a="custody_events",
            b="doubts", feed_b="cases", file_id_b="case_file_id", line_b="case_line",
            measured_value="doubts.minutes_late",
            limit_value="case when doubts.paper_state = 'late' then 0 end",
            value_unit="minutes",
            detail=paper_detail("doubts")
        ) }}
    from {{ ref("int_papers_in_doubt") }} as doubts
    where {{ where }}
{%- endmacro %}
