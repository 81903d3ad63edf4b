-- 16 CFR 453.3(f): a cash advance may not be said to cost what it did not, unless the charge is disclosed.
with lines as (
    select
        charges.*,
        row_number() over (
            partition by charges.case_number, charges.item_code
            order by
                case when charges.document_kind = 'invoice' then 0 else 1 end,
                charges.document_date, charges.document_number, charges.line_number
        ) as line_rank
    from {{ ref("charges_checked") }} as charges
    where
        {{ is_billed("charges.document_kind") }}
        and charges.check_state = 'cash advance'
        and charges.item_code is not null
),

billed as (
    select
        case_number,
        item_code,
        sum(line_total) as billed_amount
    from lines
    group by case_number, item_code
),

bills as (
    select
        *,
        row_number() over (
            partition by case_number, item_code order by bill_date, supplier_code, bill_number, line_number
        ) as line_rank
    from {{ ref("stg_supplier_bill_lines") }}
    where case_number is not null
),

paid as (
    select
        case_number,
        item_code,
        sum(line_total) as paid_amount
    from bills
    group by case_number, item_code
),

disclosed as (
    select distinct
        location_id,
        effective_from
    from {{ ref("int_price_list_lines") }}
    where
        list_kind = 'general'
        and position(';cash_advance_markup;' in ';' || replace(disclosure_keys, ' ', '') || ';') > 0
)

select
    {{ finding(
        "advance_above_cost",
        case_number="billed.case_number",
        location_id="lines.location_id",
        occurred_at="cast(lines.document_date as timestamp)",
        a="lines",
        feed_a="statement_lines",
        b="bills",
        feed_b="supplier_bill_lines",
        measured_value="billed.billed_amount",
        limit_value="paid.paid_amount",
        value_unit="usd",
        detail="'Document ' || lines.document_number || ': cash advance ' || billed.item_code || ' billed at '
            || " ~ number_text("billed.billed_amount", 2) ~ " || ', paid '
            || " ~ number_text("paid.paid_amount", 2) ~ " || ' by bill ' || bills.bill_number || ' of '
            || bills.supplier_code || '; no charge for obtaining it is disclosed.'"
    ) }}
from billed
inner join paid
    on billed.case_number = paid.case_number and billed.item_code = paid.item_code
inner join lines
    on billed.case_number = lines.case_number and billed.item_code = lines.item_code and lines.line_rank = 1
inner join bills
    on billed.case_number = bills.case_number and billed.item_code = bills.item_code and bills.line_rank = 1
left join disclosed
    on lines.location_id = disclosed.location_id and lines.general_effective_from = disclosed.effective_from
where
    billed.billed_amount > paid.paid_amount
    and disclosed.location_id is null
    and not exists (
        select 1
        from {{ ref("stg_held_supplier_bill_lines") }} as held
        where held.case_number = billed.case_number and coalesce(held.item_code = billed.item_code, true)
    )
