{# Words that every rule of prices shares. #}

{# What a family is billed: invoices, and the credits that take back. Estimates are not. #}
{% macro is_billed(document_kind) -%}
    {{ document_kind }} in ('invoice', 'credit')
{%- endmacro %}

{# An item that a third party supplies and the home pays for on the family's behalf, 16 CFR 453.1(b). #}
{% macro is_advance(alias) -%}
    ({{ alias }}.category = 'cash_advance' or coalesce({{ alias }}.is_cash_advance, false))
{%- endmacro %}

{# What a text says, as small words with one space before and after each: no mark or part of a word is taken for one. #}
{% macro spaced_words(description) -%}
    ' ' || {{ adapter.dispatch("letters_and_spaces", "ledgerstone")("lower(" ~ description ~ ")") }} || ' '
{%- endmacro %}

{# Whether one of these words or beginnings of words is among them. #}
{% macro says_any(words, beginnings) -%}
    (
        {%- for beginning in beginnings %}
        {{ words }} like '% {{ beginning }}%'
        {%- if not loop.last %} or{% endif %}
        {%- endfor %}
    )
{%- endmacro %}

{#
    What an item of a bill is known by: its code; without one, what the family reads. Discounts are one: they are coded
    or worded anew from paper to paper.
#}
{% macro bill_item(alias) -%}
    coalesce(
        case when {{ alias }}.category = 'discount' then 'discount' end,
        {{ alias }}.item_code,
        {{ alias }}.category || ': ' || lower(trim({{ alias }}.description))
    )
{%- endmacro %}

{#
    A fee for handling goods that the family bought elsewhere, by its words. Without a word for the
    goods it may be the handling of a person who is shipped, which is lawful; and a person is received too.
#}
{% macro mentions_handling(description) -%}
    {%- set words = spaced_words(description) -%}
    {%- set goods = [
        "casket ", "caskets ", "coffin ", "coffins ", "container ", "containers ", "urn ", "urns ", "vault ", "vaults "
    ] -%}
    {%- set acts = [
        "handling", "receiving", "receipt ", "accepting", "acceptance", "inspect", "storage", "storing", "surcharge", "fee "
    ] -%}
    {%- set of_others = [
        "third party", "another supplier", "other supplier", "outside supplier", "bought elsewhere", "purchased elsewhere",
        "bought online", "purchased online", "ordered online"
    ] -%}
    {%- set outside = [
        "outside casket", "outside coffin", "outside container", "outside urn", "outside vault", "outside merchandise"
    ] -%}
    (
        (
            {{ says_any(words, goods + ["merchandise "]) }}
            and {{ says_any(words, acts) }}
            and {{ says_any(words, of_others + outside) }}
        )
        or (
            {{ says_any(words, goods) }}
            and not {{ says_any(words, ["remains ", "person "]) }}
            and (
                {{ says_any(words, ["handling "]) }}
                or (
                    {{ says_any(words, ["receiving ", "accepting "]) }}
                    and {{ says_any(words, ["outside ", "elsewhere "]) }}
                )
            )
        )
    )
{%- endmacro %}

{# A written reason that is a policy, rule or custom of somebody and names no law, 16 CFR 453.5(a)(1). #}
{% macro is_rule_without_law(reason) -%}
    {%- set words = spaced_words(reason) -%}
    (
        {{ says_any(words, ["policy ", "policies ", "rule ", "rules ", "practice ", "custom "]) }}
        and not {{ says_any(
            words,
            ["law", "state ", "statut", "regulation", "code ", "ordinance", "health", "act ", "court ", "cfr ", "county "]
        ) }}
    )
{%- endmacro %}

{# Services whose price already holds the basic services fee, 16 CFR 453.2(b)(4)(iii)(C)(1). #}
{% macro categories_with_basic_fee() -%}
    ('direct_cremation', 'immediate_burial', 'forwarding_remains', 'receiving_remains')
{%- endmacro %}
