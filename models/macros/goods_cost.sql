{# What left in a month of int_goods_months, at its average: all of the amount where all of the stock left. #}
{% macro left_at_average(month) -%}
    case
        when {{ month }}.out_quantity = {{ month }}.held_quantity then {{ month }}.held_amount
        else {{ as_money("coalesce(" ~ month ~ ".average_cost * " ~ month ~ ".out_quantity, 0)") }}
    end
{%- endmacro %}

{# The account that stands against the stock of goods. #}
{% macro goods_account(flow_kind) -%}
    case {{ flow_kind }}
        when 'opening' then 'opening balance'
        when 'received' then 'goods received from suppliers'
        when 'issued' then 'cost of goods given to families'
        when 'returned' then 'cost of goods given to families'
        when 'written_off' then 'goods written off'
        when 'sent' then 'goods between places'
        when 'arrived' then 'goods between places'
        else 'differences of counts'
    end
{%- endmacro %}
