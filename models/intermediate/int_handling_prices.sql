-- A direct cremation and an immediate burial must be priced with the purchaser's own container and
-- casket, 16 CFR 453.2(b)(4)(ii)(C)-(D); anything else conditional on one is a fee for handling it.
select
    location_id,
    list_kind,
    effective_from,
    item_code,
    price,
    file_id,
    line
from {{ ref("int_price_list_lines") }}
where
    price_to > 0
    and category not in ('direct_cremation', 'immediate_burial', 'list_header')
    and (
        {{ mentions_handling("description") }}
        or coalesce(variant in ('purchaser_casket', 'purchaser_container'), false)
    )
