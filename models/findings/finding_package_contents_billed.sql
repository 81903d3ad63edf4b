-- 16 CFR 453.2(b)(5), 453.4(b): the family is charged once for what it selected. Net of credits. What is sold by the
-- hour, mile or piece may be wanted beside a package once more, but for the container of the person; the basic services
-- fee within direct cremation and its like is a rule of its own.
with lines as (
    select
        *,
        sum(quantity) over (partition by case_number, location_id, item_code) as net_quantity,
        -- A part that is set out at nothing is charged once.
        sum(line_total) over (partition by case_number, location_id, item_code) as net_amount,
        row_number() over (
            partition by case_number, location_id, item_code, document_kind
            order by document_date, document_number, line_number
        ) as line_rank
    from {{ ref("charges_checked") }}
    where
        {{ is_billed("document_kind") }}
        and item_code is not null
        and check_state <> 'cash advance'
        and not is_trade_call
)

select
    {{ finding(
        "package_contents_billed",
        case_number="parts.case_number",
        location_id="parts.location_id",
        occurred_at="cast(parts.document_date as timestamp)",
        a="parts",
        feed_a="statement_lines",
        b="packages",
        feed_b="statement_lines",
        measured_value="parts.line_total",
        value_unit="usd",
        detail="'Document ' || parts.document_number || ' line ' || cast(parts.line_number as varchar) || ' bills '
            || parts.item_code || ' at ' || " ~ price_text("parts.line_total") ~ " || ', which the price of '
            || packages.item_code || ' on document ' || packages.document_number || ' covers.'"
    ) }}
from lines as packages
inner join {{ ref("int_package_contents") }} as contents
    on
        packages.location_id = contents.location_id
        and packages.list_kind = contents.list_kind
        and packages.list_effective_from = contents.effective_from
        and packages.item_code = contents.item_code
inner join lines as parts
    on
        packages.case_number = parts.case_number
        and packages.location_id = parts.location_id
        and contents.content_code = parts.item_code
where
    packages.document_kind = 'invoice'
    and packages.line_rank = 1
    and packages.net_quantity > 0
    and parts.document_kind = 'invoice'
    and parts.line_rank = 1
    and parts.net_quantity > 0
    and parts.net_amount > 0
    and (
        parts.list_category in ('casket_range_or_prices', 'outer_burial_container_range_or_prices')
        or (contents.is_flat and contents.content_category not in ('limousine', 'merchandise', 'cash_advance'))
    )
    and not (
        contents.content_category = 'basic_services_fee' and contents.category in {{ categories_with_basic_fee() }}
    )
