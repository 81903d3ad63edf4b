select
    {{ finding(
        "charge_above_list",
        case_number="charges.case_number",
        location_id="charges.location_id",
        occurred_at="cast(charges.document_date as timestamp)",
        a="charges",
        feed_a="statement_lines",
        b="lists",
        feed_b="price_lists",
        measured_value="charges.unit_price",
        limit_value="charges.list_price_high",
        value_unit="usd",
        detail="'Document ' || charges.document_number || ' line ' || cast(charges.line_number as varchar)
            || ': item ' || charges.item_code || ' at ' || " ~ price_text("charges.unit_price") ~ "
            || '; the list in force on ' || cast(charges.arrangement_date as varchar) || ' says '
            || " ~ price_text("charges.list_price_high") ~ " || '; '
            || " ~ price_text("charges.difference") ~ " || ' above it on the line.'"
    ) }}
from {{ ref("int_questioned_charges") }} as charges
inner join {{ ref("int_price_list_lines") }} as lists
    on
        charges.location_id = lists.location_id
        and charges.list_kind = lists.list_kind
        and charges.list_effective_from = lists.effective_from
        and charges.item_code = lists.item_code
where charges.check_state = 'above list' and charges.standing_excess > 0
