-- Lines of invoices that stand (no credit took them back) and that a price rule asks about. The rule is for families:
-- what another firm is billed is not asked about.
with credits as (
    -- A credit at the price billed takes the excess back; one at another price is an allowance on it.
    select
        documents.case_number,
        documents.corrects_document,
        coalesce(charges.item_code, '') as item_key,
        sum(charges.line_total) as credited,
        sum(case when charges.check_state = 'above list' then charges.difference else charges.line_total end)
            as credited_excess
    from {{ ref("charges_checked") }} as charges
    inner join {{ ref("int_statement_documents") }} as documents
        on charges.document_number = documents.document_number and charges.case_number = documents.case_number
    where charges.document_kind = 'credit' and documents.corrects_document is not null
    group by documents.case_number, documents.corrects_document, coalesce(charges.item_code, '')
),

worded as (
    select
        charges.*,
        handling.item_code is not null or coalesce({{ mentions_handling("charges.description") }}, false) as is_handling
    from {{ ref("charges_checked") }} as charges
    left join {{ ref("int_handling_prices") }} as handling
        on
            charges.location_id = handling.location_id
            and charges.list_kind = handling.list_kind
            and charges.list_effective_from = handling.effective_from
            and charges.item_code = handling.item_code
    where
        charges.document_kind = 'invoice'
        and charges.quantity > 0
        and charges.check_state <> 'cash advance'
        and not coalesce(charges.is_trade_call, false)
),

questioned as (
    select *
    from worded
    where check_state in ('above list', 'not on list') or is_handling
)

select
    questioned.document_number,
    questioned.line_number,
    questioned.document_date,
    questioned.case_number,
    questioned.location_id,
    questioned.arrangement_date,
    questioned.item_code,
    questioned.list_category,
    questioned.quantity,
    questioned.unit_price,
    questioned.line_total,
    questioned.list_kind,
    questioned.list_effective_from,
    questioned.general_effective_from,
    questioned.list_price_high,
    questioned.difference,
    questioned.check_state,
    questioned.is_handling,
    sum(questioned.difference)
        over (
            partition by questioned.document_number, questioned.case_number, questioned.item_code
        )
    + coalesce(credits.credited_excess, 0) as standing_excess,
    questioned.file_id,
    questioned.line
from questioned
inner join {{ ref("int_statement_documents") }} as documents
    on questioned.document_number = documents.document_number and questioned.case_number = documents.case_number
left join credits
    on
        questioned.document_number = credits.corrects_document
        and questioned.case_number = credits.case_number
        and coalesce(questioned.item_code, '') = credits.item_key
where documents.net_total > 0 and questioned.line_total + coalesce(credits.credited, 0) > 0
