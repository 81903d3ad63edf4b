{# Disclosure, and the lines of a general list that ask for it. #}
{% set asked = [
    ("right_of_selection", "true"),
    ("embalming_not_required", "category = 'embalming'"),
    ("alternative_container", "category = 'direct_cremation'"),
    ("basic_fee_nondeclinable", "category = 'basic_services_fee' and not is_declinable"),
    ("casket_list_available", "category = 'casket_range_or_prices' and price_high > price"),
] %}

-- 16 CFR 453.2(b)(4), 453.3, 453.4(b)(2)(i). Named beside any line is named; a list that names none at all says nothing
-- of its disclosures and is not judged.
with lines as (
    select
        *,
        ';' || replace(disclosure_keys, ' ', '') || ';' as named_keys
    from {{ ref("int_price_list_lines") }}
    where list_kind = 'general' and not is_of_partial
),

asking as (
    {% for key, condition in asked -%}
    select
        *,
        '{{ key }}' as disclosure_key,
        row_number() over (
            partition by location_id, effective_from
            order by case when category = 'list_header' then 0 else 1 end, item_code
        ) as line_rank
    from lines
    where {{ condition }}
    {%- if not loop.last %}

    union all

    {% endif %}
    {%- endfor %}
)

select
    {{ finding(
        "disclosure_missing",
        case_number="null",
        location_id="asking.location_id",
        occurred_at="cast(asking.effective_from as timestamp)",
        a="asking",
        feed_a="price_lists",
        detail="'The general price list of ' || asking.location_id || ' from '
            || cast(asking.effective_from as varchar) || ' names no disclosure ' || asking.disclosure_key
            || ', which belongs to ' || asking.item_code || '.'"
    ) }}
from asking
where
    asking.line_rank = 1
    and exists (
        select 1
        from lines
        where
            lines.location_id = asking.location_id
            and lines.effective_from = asking.effective_from
            and lines.named_keys is not null
    )
    and not exists (
        select 1
        from lines
        where
            lines.location_id = asking.location_id
            and lines.effective_from = asking.effective_from
            and position(';' || asking.disclosure_key || ';' in lines.named_keys) > 0
    )
    and not exists (
        select 1
        from {{ ref("stg_held_price_lists") }} as held
        where held.location_id = asking.location_id and coalesce(held.list_kind = 'general', true)
    )
