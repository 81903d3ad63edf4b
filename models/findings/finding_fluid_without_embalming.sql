-- Where embalming is billed too, embalming_without_record names all three records.
select
    {{ finding(
        "fluid_without_embalming",
        case_number="issues.case_number",
        location_id="issues.location_id",
        occurred_at="issues.occurred_at",
        a="issues",
        feed_a="supply_movements",
        measured_value="issues.net_ml",
        value_unit="mL",
        detail="'Movement ' || issues.movement_id || ' issues arterial fluid ' || issues.item_code || ' to case '
            || issues.case_number || ', which has no embalming among its custody events.'"
    ) }}
from {{ ref("int_arterial_issues") }} as issues
left join {{ ref("int_embalmings") }} as embalmings
    on issues.case_number = embalmings.case_number
left join {{ ref("int_embalming_charges") }} as charges
    on issues.case_number = charges.case_number and not charges.is_in_package
where embalmings.case_number is null and charges.case_number is null
