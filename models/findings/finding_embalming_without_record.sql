-- A package is billed whole, whether or not the family took each of its parts.
select
    {{ finding(
        "embalming_without_record",
        case_number="charges.case_number",
        location_id="charges.location_id",
        occurred_at="cast(charges.document_date as timestamp)",
        a="charges",
        feed_a="statement_lines",
        b="issues",
        feed_b="supply_movements",
        measured_value="charges.line_total",
        value_unit="usd",
        detail="'Document ' || charges.document_number || ' bills embalming of case ' || charges.case_number
            || '; no embalming stands among its custody events and '
            || case
                when issues.case_number is null then 'no arterial fluid was issued to it.'
                else 'arterial fluid was issued by movement ' || issues.movement_id || '.'
            end"
    ) }}
from {{ ref("int_embalming_charges") }} as charges
left join {{ ref("int_embalmings") }} as embalmings
    on charges.case_number = embalmings.case_number
left join {{ ref("int_arterial_issues") }} as issues
    on charges.case_number = issues.case_number
where embalmings.case_number is null and not charges.is_in_package
