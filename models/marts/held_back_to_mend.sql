-- The records of a case's chain are mended together: one breaks it, and the others wait for that one. Every other
-- record is mended by itself.
with held as (
    select
        location_id,
        mended_by,
        rule_code,
        severity,
        file_id,
        file_name,
        line,
        case_number,
        column_name,
        value,
        detail,
        mend,
        rule_code = 'chain_held' as is_waiting,
        case
            when feed = 'custody_events' and case_number is not null then {{ hash_key(["case_number"]) }}
            else {{ hash_key(["file_id", "line"]) }}
        end as mend_key
    from {{ ref("held_back_records") }}
),

records as (
    select
        mend_key,
        file_name,
        line,
        bool_and(is_waiting) as is_waiting,
        file_name || ' line ' || cast(line as varchar) || coalesce(', ' || {{ list_text("column_name") }}, '') as record
    from held
    group by mend_key, file_id, file_name, line
),

counted as (
    select
        mend_key,
        {{ list_text("case when not is_waiting then record end", "; ", order_by="file_name, line") }} as records,
        count(*) filter (where is_waiting) as waiting_count,
        count(*) as record_count
    from records
    group by mend_key
),

told as (
    select
        mend_key,
        max(location_id) as location_id,
        max(case_number) as case_number,
        case
            when bool_or(severity = 'critical') then 'critical'
            when bool_or(severity = 'major') then 'major'
            else max(severity)
        end as severity,
        {{ list_text("rule_code") }} as rule_codes,
        {{ list_text("column_name || ': ' || value", "; ") }} as values_found,
        {{ list_text("detail", " ") }} as detail,
        {{ list_text("mend", " ") }} as mend,
        {{ list_text("mended_by") }} as mended_by
    from held
    where not is_waiting
    group by mend_key
)

select
    told.location_id,
    told.case_number,
    told.severity,
    told.rule_codes,
    counted.records,
    told.values_found,
    told.detail,
    told.mend,
    told.mended_by,
    cast(counted.waiting_count as bigint) as waiting_count,
    cast(counted.record_count as bigint) as record_count
from counted
left join told
    on counted.mend_key = told.mend_key
