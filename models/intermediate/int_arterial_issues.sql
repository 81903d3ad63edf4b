with issues as (
    select
        *,
        case when movement_kind = 'issued' then quantity_ml else -quantity_ml end as net_ml,
        row_number() over (
            partition by case_number
            order by case when movement_kind = 'issued' then 0 else 1 end, occurred_at, movement_id
        ) as issue_rank
    from {{ ref("int_stock_movements") }}
    where
        case_number is not null
        and item_kind = 'arterial_fluid'
        and movement_kind in ('issued', 'returned')
)

select
    case_number,
    {{ to_double("sum(net_ml)") }} as net_ml,
    min(case when issue_rank = 1 then location_id end) as location_id,
    min(case when issue_rank = 1 then movement_id end) as movement_id,
    min(case when issue_rank = 1 then item_code end) as item_code,
    min(case when issue_rank = 1 then occurred_at end) as occurred_at,
    min(case when issue_rank = 1 then file_id end) as file_id,
    min(case when issue_rank = 1 then line end) as line
from issues
group by case_number
having sum(net_ml) > 0
