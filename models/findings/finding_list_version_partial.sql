-- Lines that are held back are told of themselves, and may be those that are missing.
with lines as (
    select
        *,
        row_number() over (
            partition by location_id, list_kind, effective_from
            order by case when category = 'list_header' then 0 else 1 end, item_code
        ) as line_rank
    from {{ ref("int_price_list_lines") }}
    where is_of_partial
)

select
    {{ finding(
        "list_version_partial",
        case_number="null",
        location_id="lines.location_id",
        occurred_at="cast(lines.effective_from as timestamp)",
        a="lines",
        feed_a="price_lists",
        measured_value="versions.line_count",
        limit_value="versions.earlier_line_count",
        value_unit="items",
        detail="'The ' || replace(lines.list_kind, '_', ' ') || ' list of ' || lines.location_id || ' from '
            || cast(lines.effective_from as varchar) || ' has ' || cast(versions.line_count as varchar)
            || ' of the ' || cast(versions.earlier_line_count as varchar)
            || ' items that it had before; what it leaves out is judged by the list before it.'"
    ) }}
from lines
inner join {{ ref("int_price_list_versions") }} as versions
    on
        lines.location_id = versions.location_id
        and lines.list_kind = versions.list_kind
        and lines.effective_from = versions.effective_from
where
    lines.line_rank = 1
    and not exists (
        select 1
        from {{ ref("stg_held_price_lists") }} as held
        where
            held.location_id = lines.location_id
            and coalesce(held.list_kind = lines.list_kind, true)
            and coalesce(held.effective_from = lines.effective_from, true)
    )
