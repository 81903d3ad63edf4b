-- Items of the estimate that are billed at another price than was quoted. Cash advances are estimated in good
-- faith, 16 CFR 453.2(b)(5)(B); tax follows the amounts.
with items as (
    select
        *,
        part = 'discount' as is_discount
    from {{ ref("int_bill_items") }}
    where part in ('discount', 'goods and services') and estimated_amount is not null
)

select
    case_number,
    location_id,
    item_key,
    is_discount,
    estimated_unit_price,
    estimated_amount,
    billed_quantity,
    billed_amount,
    -- More of an item at the price that was quoted is an item added knowingly; a higher price is not.
    case
        when is_discount then billed_amount - estimated_amount
        else billed_amount - {{ as_money(product("billed_quantity", "estimated_unit_price")) }}
    end as excess
from items
where
    (is_discount and billed_amount <> estimated_amount)
    or (
        not is_discount
        and billed_quantity > 0
        and billed_amount <> {{ as_money(product("billed_quantity", "estimated_unit_price")) }}
    )
