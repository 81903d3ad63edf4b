-- A held invoice line or movement of the case and item could be the one that is missing.
with held_records as (
    select
        case_number,
        item_code
    from {{ ref("stg_held_statement_lines") }}
    union
    select
        case_number,
        item_code
    from {{ ref("stg_held_supply_movements") }}
)

select
    matched.case_number,
    matched.location_id,
    matched.item_code,
    matched.item_kind,
    matched.billed_quantity,
    matched.billed_amount,
    matched.issued_quantity,
    matched.issued_cost,
    matched.match_state,
    matched.swapped_item_code
from {{ ref("merchandise_matched") }} as matched
where
    matched.match_state in ('billed not issued', 'issued not billed', 'swapped', 'quantity differs')
    and matched.is_due
    and not exists (
        select 1
        from held_records as held
        where
            held.case_number = matched.case_number
            and (held.item_code = matched.item_code or held.item_code = matched.swapped_item_code)
    )
