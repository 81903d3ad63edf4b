{#
    The opening balances and counts of stock with the one instant that each stands for: shelves are opened or counted
    one after another. Rows of one item, place and sheet within an hour of one another are one balance (the group's own
    judgement; no source); another sheet is a count of its own, for a second count replaces the first.
#}
{% macro stock_balances() -%}
    {% set of_sheet -%}
    partition by location_id, item_code, movement_kind, coalesce(document_number, '')
    {%- endset %}
    select
        movement_id,
        case movement_kind
            when 'opening' then min(occurred_at) over ({{ of_sheet }}, balance_number)
            else max(occurred_at) over ({{ of_sheet }}, balance_number)
        end as balance_at
    from (
        select
            *,
            sum(case when occurred_at <= {{ add_hours("at_before", 1) }} then 0 else 1 end)
                over ({{ of_sheet }} order by occurred_at, movement_id rows between unbounded preceding and current row)
                as balance_number
        from (
            select
                *,
                lag(occurred_at) over ({{ of_sheet }} order by occurred_at, movement_id) as at_before
            from {{ ref("int_stock_movements") }}
            where movement_kind in ('opening', 'counted')
        ) as beside_earlier
    ) as numbered
{%- endmacro %}

{#
    How far a count may be off, in units of the item. An opened bottle is judged by eye: 250 mL is about half of a
    16 fl oz bottle (common practice, no source).
#}
{% macro count_tolerance(moved) -%}
    case
        when {{ moved }}.is_fluid then coalesce(250 / nullif({{ moved }}.item_unit_ml, 0), 0)
        else 0.005
    end
{%- endmacro %}
