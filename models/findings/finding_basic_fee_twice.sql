-- 16 CFR 453.2(b)(4)(iii)(C)(1): direct cremation, immediate burial, forwarding and receiving already
-- hold the basic services fee. Per case and home, net of credits; and two homes that each bill the fee bill it twice:
-- it is the one that nobody may decline. Who sends a person on to another firm bills that beside the other's fee.
with lines as (
    select
        *,
        category = 'basic_services_fee' as is_basic
    from {{ ref("int_statement_lines") }}
    where
        {{ is_billed("document_kind") }}
        and (category = 'basic_services_fee' or category in {{ categories_with_basic_fee() }})
),

sums as (
    select
        case_number,
        location_id,
        coalesce(sum(case when is_basic then quantity end), 0) as basic_quantity,
        coalesce(sum(case when not is_basic then quantity end), 0) as inclusive_quantity
    from lines
    group by case_number, location_id
),

fee_homes as (
    -- Homes that each bill the fee once: the last of them bills what another billed.
    select
        *,
        row_number() over (partition by case_number order by first_date desc, location_id desc) as home_rank
    from (
        select
            sums.case_number,
            sums.location_id,
            min(lines.document_date) as first_date
        from sums
        inner join lines
            on
                sums.case_number = lines.case_number
                and sums.location_id = lines.location_id
                and lines.is_basic
                and lines.document_kind = 'invoice'
        where sums.basic_quantity = 1 and sums.inclusive_quantity = 0
        group by sums.case_number, sums.location_id
    ) as homes
),

twice as (
    select
        case_number,
        location_id,
        location_id as other_location_id,
        basic_quantity,
        inclusive_quantity
    from sums
    where basic_quantity > 1 or (basic_quantity > 0 and inclusive_quantity > 0)

    union all

    select
        last_home.case_number,
        last_home.location_id,
        home_before.location_id as other_location_id,
        2 as basic_quantity,
        0 as inclusive_quantity
    from fee_homes as last_home
    inner join fee_homes as home_before
        on last_home.case_number = home_before.case_number and home_before.home_rank = 2
    -- Whole bills of two homes that are the same are told as such.
    left join {{ ref("finding_case_billed_twice") }} as whole_bills
        on last_home.case_number = whole_bills.case_number
    where last_home.home_rank = 1 and whole_bills.case_number is null
),

first_lines as (
    select
        lines.*,
        row_number() over (
            partition by lines.case_number, lines.location_id, lines.is_basic
            order by lines.document_date, lines.document_number, lines.line_number
        ) as line_rank
    from lines
    where lines.document_kind = 'invoice'
)

select
    {{ finding(
        "basic_fee_twice",
        case_number="twice.case_number",
        location_id="twice.location_id",
        occurred_at="cast(fees.document_date as timestamp)",
        a="fees",
        feed_a="statement_lines",
        b="others",
        feed_b="statement_lines",
        measured_value="twice.basic_quantity + twice.inclusive_quantity",
        limit_value="1",
        value_unit="fees",
        detail="'Document ' || fees.document_number || ' bills the basic services fee to case ' || twice.case_number
            || case
                when twice.location_id <> twice.other_location_id
                    then ', which document ' || others.document_number || ' of ' || others.location_id
                        || ' bills already.'
                when twice.inclusive_quantity > 0
                    then ', which document ' || others.document_number || ' bills already within '
                        || replace(others.category, '_', ' ') || '.'
                else ', ' || " ~ quantity_text("twice.basic_quantity") ~ " || ' times in all.'
            end"
    ) }}
from twice
inner join first_lines as fees
    on
        twice.case_number = fees.case_number
        and twice.location_id = fees.location_id
        and fees.is_basic
        and fees.line_rank = 1
left join first_lines as others
    on
        twice.case_number = others.case_number
        and twice.other_location_id = others.location_id
        and others.line_rank = 1
        and (
            (twice.inclusive_quantity > 0 and not others.is_basic)
            or (twice.location_id <> twice.other_location_id and others.is_basic)
        )
