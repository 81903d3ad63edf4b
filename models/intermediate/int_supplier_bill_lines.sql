-- Bills as they stood at the as-of instant; marts.later_records counts those of a later day.
select bills.*
from {{ ref("stg_supplier_bill_lines") }} as bills
left join {{ ref("int_local_today") }} as today
    on bills.location_id = today.location_id
where bills.bill_date <= {{ today("today") }}
