-- Documents as they stood at the as-of instant; marts.later_records counts those of a later day.
select lines.*
from {{ ref("stg_statement_lines") }} as lines
left join {{ ref("int_local_today") }} as today
    on lines.location_id = today.location_id
where lines.document_date <= {{ today("today") }}
