{# Words that every rule of prices shares. #}

{# What a family is billed: invoices, and the credits that take back. Estimates are not. #}
{% macro is_billed(document_kind) -%}
    {{ document_kind }} in ('invoice', 'credit')
{%- endmacro %}

{# An item that a third party supplies and the home pays for on the family's behalf, 16 CFR 453.1(b). #}
{% macro is_advance(alias) -%}
    ({{ alias }}.category = 'cash_advance' or coalesce({{ alias }}.is_cash_advance, false))
{%- endmacro %}

{#
    What an item of a bill is known by: its code; without one, what the family reads. Discounts without a code are one:
    they are worded anew from paper to paper.
#}
{% macro bill_item(alias) -%}
    coalesce(
        {{ alias }}.item_code,
        case when {{ alias }}.category = 'discount' then 'discount' end,
        {{ alias }}.category || ': ' || lower(trim({{ alias }}.description))
    )
{%- endmacro %}

{#
    A fee for handling goods that the family bought elsewhere, by its words. Without a word for the
    goods it may be the handling of a person who is shipped, which is lawful; and a person is received too.
#}
{% macro mentions_handling(description) -%}
    (
        (
            lower({{ description }}) like '%handling%'
            or (
                (lower({{ description }}) like '%receiving%' or lower({{ description }}) like '%accepting%')
                and (
                    lower({{ description }}) like '%outside%'
                    or lower({{ description }}) like '%third%party%'
                    or lower({{ description }}) like '%elsewhere%'
                    or lower({{ description }}) like '%another supplier%'
                )
                and lower({{ description }}) not like '%remains%'
                and lower({{ description }}) not like '%person%'
            )
        )
        and (
            lower({{ description }}) like '%casket%'
            or lower({{ description }}) like '%coffin%'
            or lower({{ description }}) like '%container%'
            or lower({{ description }}) like '%urn%'
            or lower({{ description }}) like '%vault%'
        )
    )
{%- endmacro %}

{# Services whose price already holds the basic services fee, 16 CFR 453.2(b)(4)(iii)(C)(1). #}
{% macro categories_with_basic_fee() -%}
    ('direct_cremation', 'immediate_burial', 'forwarding_remains', 'receiving_remains')
{%- endmacro %}
