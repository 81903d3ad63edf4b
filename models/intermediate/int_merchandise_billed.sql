with covering as (
    -- A price may cover goods, such as the container of a direct cremation.
    select
        lines.location_id,
        lines.list_kind,
        lines.effective_from,
        lines.item_code,
        items.item_code as covered_item_code,
        items.item_kind
    from {{ ref("int_price_list_lines") }} as lines
    inner join {{ ref("int_merchandise_items") }} as items
        on position(';' || items.item_code || ';' in ';' || replace(lines.includes_items, ' ', '') || ';') > 0
    where lines.includes_items is not null
)

select
    charges.case_number,
    charges.location_id,
    charges.item_code,
    items.item_kind,
    charges.document_number,
    charges.line_number,
    charges.document_kind,
    charges.document_date,
    charges.quantity,
    charges.line_total as amount,
    false as is_covered,
    charges.file_id,
    charges.line
from {{ ref("charges_checked") }} as charges
inner join {{ ref("int_merchandise_items") }} as items
    on charges.item_code = items.item_code
where {{ is_billed("charges.document_kind") }} and charges.check_state <> 'cash advance'

union all

select
    charges.case_number,
    charges.location_id,
    covering.covered_item_code as item_code,
    covering.item_kind,
    charges.document_number,
    charges.line_number,
    charges.document_kind,
    charges.document_date,
    charges.quantity,
    cast(0 as decimal(18, 2)) as amount,
    true as is_covered,
    charges.file_id,
    charges.line
from {{ ref("charges_checked") }} as charges
inner join covering
    on
        charges.location_id = covering.location_id
        and charges.list_kind = covering.list_kind
        and charges.list_effective_from = covering.effective_from
        and charges.item_code = covering.item_code
where {{ is_billed("charges.document_kind") }}
