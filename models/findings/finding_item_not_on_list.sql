-- A category of the sixteen that is missing as a whole, and a handling fee, are findings of their own.
select
    {{ finding(
        "item_not_on_list",
        case_number="charges.case_number",
        location_id="charges.location_id",
        occurred_at="cast(charges.document_date as timestamp)",
        a="charges",
        feed_a="statement_lines",
        measured_value="charges.line_total",
        value_unit="usd",
        detail="'Document ' || charges.document_number || ' line ' || cast(charges.line_number as varchar)
            || ': item ' || coalesce(charges.item_code, '(no code)') || ' is on no list of '
            || charges.location_id || ' in force on ' || cast(charges.arrangement_date as varchar) || '.'"
    ) }}
from {{ ref("int_questioned_charges") }} as charges
left join {{ ref("price_list_completeness") }} as absent
    on
        charges.location_id = absent.location_id
        and charges.general_effective_from = absent.effective_from
        and charges.list_category = absent.category
        and absent.state = 'not listed'
where
    charges.check_state = 'not on list'
    and not charges.is_handling
    and absent.category is null
    and not exists (
        select 1
        from {{ ref("stg_held_price_lists") }} as held
        where held.location_id = charges.location_id and coalesce(held.item_code = charges.item_code, true)
    )
