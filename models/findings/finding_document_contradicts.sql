-- One paper has one kind and one home. A bill for two people has two cases: they are of one name.
with mixed as (
    select document_number
    from {{ ref("int_statement_lines") }}
    group by document_number
    having
        min(document_kind) <> max(document_kind)
        or min(location_id) <> max(location_id)
        or min(case_number) <> max(case_number)
),

lines as (
    select
        lines.*,
        {{ folded_name("cases.family_name") }} as family_name
    from {{ ref("int_statement_lines") }} as lines
    inner join mixed
        on lines.document_number = mixed.document_number
    left join {{ ref("int_cases") }} as cases
        on lines.case_number = cases.case_number
),

spread as (
    select
        document_number,
        min(document_kind) <> max(document_kind) as has_two_kinds,
        min(location_id) <> max(location_id) as has_two_homes,
        min(family_name) <> max(family_name) as has_two_names
    from lines
    group by document_number
    having
        min(document_kind) <> max(document_kind)
        or min(location_id) <> max(location_id)
        or min(family_name) <> max(family_name)
),

ranked as (
    -- The odd line is the one whose like has the fewest lines.
    select
        lines.*,
        spread.has_two_kinds,
        spread.has_two_homes,
        count(*) over (
            partition by lines.document_number, lines.document_kind, lines.location_id, lines.case_number
        ) as like_count
    from lines
    inner join spread
        on lines.document_number = spread.document_number
),

odd as (
    select
        *,
        row_number() over (partition by document_number order by like_count, line_number) as odd_rank,
        row_number() over (partition by document_number order by like_count desc, line_number asc) as usual_rank
    from ranked
)

select
    {{ finding(
        "document_contradicts",
        case_number="odd.case_number",
        location_id="odd.location_id",
        occurred_at="cast(odd.document_date as timestamp)",
        a="odd", feed_a="statement_lines",
        b="usual", feed_b="statement_lines",
        measured_value="odd.line_total",
        value_unit="usd",
        detail="'Document ' || odd.document_number || ', line ' || cast(odd.line_number as varchar) || ' of '
            || " ~ price_text("odd.line_total") ~ " || ': it is ' || case
                when odd.has_two_kinds
                    then 'marked ' || odd.document_kind || ', line ' || cast(usual.line_number as varchar) || ' '
                        || usual.document_kind
                when odd.has_two_homes then 'of ' || odd.location_id || ', line ' || cast(usual.line_number as varchar)
                    || ' of ' || usual.location_id
                else 'on case ' || odd.case_number || ', line ' || cast(usual.line_number as varchar) || ' on '
                    || usual.case_number || ', people of two names'
            end || '.'"
    ) }}
from odd
inner join odd as usual
    on odd.document_number = usual.document_number and usual.usual_rank = 1
where odd.odd_rank = 1
