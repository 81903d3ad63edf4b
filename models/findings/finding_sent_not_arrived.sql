{# What is on its way a week later is on no way (the group's own judgement; no source). #}
{% set hours_on_the_way = 168 %}

with moved as (
    select
        *,
        row_number() over (
            partition by document_number, item_code, movement_kind order by occurred_at desc, movement_id asc
        ) as place_in_document
    from {{ ref("int_stock_movements") }}
    where movement_kind in ('sent', 'arrived') and document_number is not null
),

transfers as (
    select
        document_number,
        item_code,
        sum(case when movement_kind = 'sent' then stock_quantity end) as sent,
        coalesce(sum(case when movement_kind = 'arrived' then stock_quantity end), 0) as arrived
    from moved
    group by document_number, item_code
    having count(*) = count(stock_quantity)
)

select
    {{ finding(
        "sent_not_arrived",
        case_number="null",
        location_id="sent.location_id",
        occurred_at="sent.occurred_at",
        a="sent",
        feed_a="supply_movements",
        b="arrived",
        feed_b="supply_movements",
        measured_value="transfers.arrived",
        limit_value="transfers.sent",
        value_unit="units of the item",
        detail="'Of item ' || sent.item_code || ' ' || " ~ quantity_text("transfers.sent") ~ " || ' left '
            || sent.location_id || ' with document ' || sent.document_number || ' (movement ' || sent.movement_id
            || '), and '
            || case when transfers.arrived > 0 then " ~ quantity_text("transfers.arrived") ~ " else 'none' end
            || ' arrived' || coalesce(' at ' || arrived.location_id, '') || '.'"
    ) }}
from transfers
inner join moved as sent
    on
        transfers.document_number = sent.document_number
        and transfers.item_code = sent.item_code
        and sent.movement_kind = 'sent'
        and sent.place_in_document = 1
left join moved as arrived
    on
        transfers.document_number = arrived.document_number
        and transfers.item_code = arrived.item_code
        and arrived.movement_kind = 'arrived'
        and arrived.place_in_document = 1
where
    -- Bottles, ounces and millilitres of one volume differ by their rounding.
    transfers.sent > transfers.arrived + 0.005
    and {{ add_hours("sent.occurred_at", hours_on_the_way) }} < {{ as_of() }}
    -- One that is held back may be the arrival.
    and not exists (
        select 1
        from {{ ref("stg_held_supply_movements") }} as held
        where
            coalesce(held.document_number = sent.document_number, true)
            and coalesce(held.item_code = sent.item_code, true)
            and coalesce(held.movement_kind = 'arrived', true)
    )
