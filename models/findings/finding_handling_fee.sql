-- 16 CFR 453.4(b)(1)(i)-(ii): no fee because a family bought its casket, urn or container elsewhere.
select
    {{ finding(
        "handling_fee",
        case_number="null",
        location_id="lists.location_id",
        occurred_at="cast(lists.effective_from as timestamp)",
        a="lists",
        feed_a="price_lists",
        measured_value="lists.price",
        value_unit="usd",
        detail="'Item ' || lists.item_code || ' of the ' || lists.list_kind || ' list of ' || lists.location_id
            || ' from ' || cast(lists.effective_from as varchar)
            || ' is a fee for handling goods that the family bought elsewhere.'"
    ) }}
from {{ ref("int_handling_prices") }} as lists

union all

select
    {{ finding(
        "handling_fee",
        case_number="charges.case_number",
        location_id="charges.location_id",
        occurred_at="cast(charges.document_date as timestamp)",
        a="charges",
        feed_a="statement_lines",
        measured_value="charges.line_total",
        value_unit="usd",
        detail="'Document ' || charges.document_number || ' line ' || cast(charges.line_number as varchar)
            || ' bills ' || " ~ price_text("charges.line_total") ~ "
            || ' for handling goods that the family bought elsewhere.'"
    ) }}
from {{ ref("int_questioned_charges") }} as charges
where charges.is_handling
