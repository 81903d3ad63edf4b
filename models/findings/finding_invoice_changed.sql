-- The family has the invoice as it was first exported: what a later export says otherwise reached nobody, unless a
-- credit says it. An amount that is written otherwise ("300" for "300.00"), or is what it was again, is no change; nor
-- is the mending of one that nobody could read.
with copies as (
    select distinct
        by_file_id as file_id,
        by_line as line
    from {{ source("quality", "outdated") }}
    where feed = 'statement_lines' and by_line is not null
),

first_amounts as (
    {{ first_exported("statement_lines", ["line_total"]) }}
),

vanished_lines as (
    select
        split_part(record_key, '|', 1) as document_number,
        older_file_id,
        older_line,
        count(*) over (partition by split_part(record_key, '|', 1)) as left_out_count,
        row_number() over (
            partition by split_part(record_key, '|', 1) order by changed_at, older_file_id, older_line
        ) as vanished_number
    from {{ source("quality", "changes") }}
    where feed = 'statement_lines' and kind = 'vanished' and changed_at <= {{ as_of() }}
),

vanished as (
    -- The first of them, as one record: its file and its line belong together.
    select *
    from vanished_lines
    where vanished_number = 1
),

exported_before as (
    select lines.document_number
    from {{ ref("int_statement_lines") }} as lines
    inner join copies
        on lines.file_id = copies.file_id and lines.line = copies.line
    where lines.document_kind = 'invoice'

    union

    select document_number
    from vanished
),

lines as (
    select
        lines.*,
        copies.line is null
        and coalesce(coalesce(files.exported_at, files.loaded_at) <= {{ as_of() }}, true) as is_added,
        first_amounts.was,
        {{ decimal_of_text("first_amounts.was") }} as amount_was,
        first_amounts.older_file_id,
        first_amounts.older_line
    from {{ ref("int_statement_lines") }} as lines
    inner join exported_before
        on lines.document_number = exported_before.document_number
    left join copies
        on lines.file_id = copies.file_id and lines.line = copies.line
    left join {{ source("raw", "files") }} as files
        on lines.file_id = files.file_id
    left join first_amounts
        on
            lines.file_id = first_amounts.file_id
            and lines.line = first_amounts.line
            and first_amounts.value_number = 1
    where lines.document_kind = 'invoice'
),

differences as (
    select
        *,
        -- With a comma, or a currency, it is an amount as its source writes them.
        coalesce(
            case
                when amount_was is null then translate(was, '-$€£0123456789., ', '') = ''
                else amount_was <> line_total
            end,
            false
        ) as is_changed,
        case when is_added then line_total else coalesce(line_total - amount_was, 0) end as difference
    from lines
),

documents as (
    select
        document_number,
        sum(case when is_changed then 1 else 0 end) as changed_count,
        sum(case when is_added then 1 else 0 end) as added_count,
        sum(difference) as difference
    from differences
    group by document_number
),

ranked as (
    select
        *,
        row_number() over (
            partition by document_number order by abs(difference) desc, is_added asc, line_number asc
        ) as line_rank
    from differences
),

told as (
    select
        ranked.case_number,
        ranked.location_id,
        ranked.document_number,
        ranked.document_date,
        ranked.line_number,
        ranked.line_total,
        ranked.was,
        ranked.is_changed,
        ranked.is_added,
        ranked.file_id,
        ranked.line,
        documents.changed_count,
        documents.added_count,
        documents.difference,
        coalesce(vanished.left_out_count, 0) as left_out_count,
        coalesce(ranked.older_file_id, vanished.older_file_id) as older_file_id,
        coalesce(ranked.older_line, vanished.older_line) as older_line
    from ranked
    inner join documents
        on ranked.document_number = documents.document_number
    left join vanished
        on ranked.document_number = vanished.document_number
    where
        ranked.line_rank = 1
        and (documents.changed_count > 0 or documents.added_count > 0 or vanished.left_out_count > 0)
)

select
    {{ finding(
        "invoice_changed",
        case_number="told.case_number",
        location_id="told.location_id",
        occurred_at="cast(told.document_date as timestamp)",
        a="told", feed_a="statement_lines",
        b="told", feed_b="statement_lines", file_id_b="older_file_id", line_b="older_line",
        measured_value="told.difference",
        limit_value="0",
        value_unit="usd",
        detail="'Invoice ' || told.document_number || ' is not what an earlier export said. Lines with another amount: '
            || cast(told.changed_count as varchar) || ', added: ' || cast(told.added_count as varchar) || ', left out: '
            || cast(told.left_out_count as varchar) || case
                when told.is_changed then '; line ' || cast(told.line_number as varchar) || ' was '
                    || told.was || ' and is ' || " ~ price_text("told.line_total") ~ "
                when told.is_added then '; line ' || cast(told.line_number as varchar) || ' of '
                    || " ~ price_text("told.line_total") ~ " || ' is new'
                else ''
            end || '. The family has the earlier one.'"
    ) }}
from told
