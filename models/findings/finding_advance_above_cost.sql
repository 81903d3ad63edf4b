-- 16 CFR 453.3(f): a cash advance may not be said to cost what it did not, unless the charge is disclosed.
with billed as (
    select
        case_number,
        item_code,
        {{ as_money("sum(line_total)") }} as billed_amount
    from {{ ref("charges_checked") }}
    where {{ is_billed("document_kind") }} and check_state = 'cash advance' and item_code is not null
    group by case_number, item_code
),

paid as (
    select
        case_number,
        item_code,
        {{ as_money("sum(line_total)") }} as paid_amount
    from {{ ref("int_supplier_bill_lines") }}
    where case_number is not null
    group by case_number, item_code
),

marked_up as (
    select
        billed.case_number,
        billed.item_code,
        billed.billed_amount,
        paid.paid_amount
    from billed
    inner join paid
        on billed.case_number = paid.case_number and billed.item_code = paid.item_code
    where billed.billed_amount > paid.paid_amount
),

lines as (
    select
        charges.*,
        marked_up.billed_amount,
        marked_up.paid_amount,
        row_number() over (
            partition by charges.case_number, charges.item_code
            order by charges.document_date, charges.document_number, charges.line_number
        ) as line_rank
    from {{ ref("charges_checked") }} as charges
    inner join marked_up
        on charges.case_number = marked_up.case_number and charges.item_code = marked_up.item_code
    where charges.document_kind = 'invoice' and charges.check_state = 'cash advance'
),

bills as (
    select
        records.*,
        row_number() over (
            partition by records.case_number, records.item_code
            order by records.bill_date, records.supplier_code, records.bill_number, records.line_number
        ) as line_rank
    from {{ ref("int_supplier_bill_lines") }} as records
    inner join marked_up
        on records.case_number = marked_up.case_number and records.item_code = marked_up.item_code
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
        case_number="lines.case_number",
        location_id="lines.location_id",
        occurred_at="cast(lines.document_date as timestamp)",
        a="lines",
        feed_a="statement_lines",
        b="bills",
        feed_b="supplier_bill_lines",
        measured_value="lines.billed_amount",
        limit_value="lines.paid_amount",
        value_unit="usd",
        detail="'Document ' || lines.document_number || ': cash advance ' || lines.item_code || ' billed at '
            || " ~ number_text("lines.billed_amount", 2) ~ " || ', paid '
            || " ~ number_text("lines.paid_amount", 2) ~ " || ' by bill ' || bills.bill_number || ' of '
            || bills.supplier_code || '; no charge for obtaining it is disclosed.'"
    ) }}
from lines
inner join bills
    on lines.case_number = bills.case_number and lines.item_code = bills.item_code and bills.line_rank = 1
left join disclosed
    on lines.location_id = disclosed.location_id and lines.general_effective_from = disclosed.effective_from
where
    lines.line_rank = 1
    and disclosed.location_id is null
    and not exists (
        select 1
        from {{ ref("stg_held_supplier_bill_lines") }} as held
        where held.case_number = lines.case_number and coalesce(held.item_code = lines.item_code, true)
    )
