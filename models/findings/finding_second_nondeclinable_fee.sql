-- 16 CFR 453.2(b)(4)(iv): the basic services fee is the only one that a family may not decline.
with undeclinable as (
    select
        *,
        row_number() over (
            partition by location_id, effective_from, category order by item_code
        ) as rank_in_category
    from {{ ref("int_price_list_lines") }}
    where
        list_kind = 'general'
        and not is_declinable
        and category not in ('cash_advance', 'tax', 'list_header')
)

select
    {{ finding(
        "second_nondeclinable_fee",
        case_number="null",
        location_id="fees.location_id",
        occurred_at="cast(fees.effective_from as timestamp)",
        a="fees",
        feed_a="price_lists",
        measured_value="fees.price",
        value_unit="usd",
        detail="'Item ' || fees.item_code || ' (' || replace(fees.category, '_', ' ') || ') of the general price list of '
            || fees.location_id || ' from ' || cast(fees.effective_from as varchar)
            || ' may not be declined and is not the basic services fee.'"
    ) }}
from undeclinable as fees
where fees.category <> 'basic_services_fee' or fees.rank_in_category > 1
