with packages as (
    -- A package that covers two kinds of embalming is one line all the same.
    select distinct
        location_id,
        list_kind,
        effective_from,
        item_code,
        is_embalming
    from {{ ref("int_package_contents") }}
    where is_embalming
),

lines as (
    -- What the list in force sells as embalming, or covers with a price, is embalming, whatever the statement calls it.
    select
        statements.*,
        coalesce(statements.category <> 'embalming' and packages.is_embalming, false) as is_package,
        row_number() over (
            partition by statements.case_number
            order by
                case when statements.document_kind = 'invoice' then 0 else 1 end,
                statements.document_date,
                statements.document_number,
                statements.line_number
        ) as line_rank
    from {{ ref("int_statement_lines") }} as statements
    left join {{ ref("charges_checked") }} as charges
        on
            statements.document_number = charges.document_number
            and statements.line_number = charges.line_number
            and statements.case_number = charges.case_number
    left join packages
        on
            charges.location_id = packages.location_id
            and charges.list_kind = packages.list_kind
            and charges.list_effective_from = packages.effective_from
            and charges.item_code = packages.item_code
    where
        {{ is_billed("statements.document_kind") }}
        and (statements.category = 'embalming' or charges.listed_as = 'embalming' or packages.is_embalming)
)

select
    case_number,
    sum(quantity) as net_quantity,
    -- A charge that the law requires needs no approval, 16 CFR 453.5(a)(1), when the reason is written and is law.
    coalesce(
        bool_or(
            is_required
            and trim(required_reason) <> ''
            and not {{ is_rule_without_law("required_reason") }}
        ),
        false
    ) as is_required_by_law,
    bool_and(is_package) as is_in_package,
    min(case when line_rank = 1 then location_id end) as location_id,
    min(case when line_rank = 1 then document_number end) as document_number,
    min(case when line_rank = 1 then document_date end) as document_date,
    min(case when line_rank = 1 then line_total end) as line_total,
    min(case when line_rank = 1 then file_id end) as file_id,
    min(case when line_rank = 1 then line end) as line
from lines
group by case_number
having sum(quantity) > 0
