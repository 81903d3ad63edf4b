{#
    What the last run did not show: findings that are new, that came back, that closed, and by which
    record. The history is that of the runs before.
#}
with history as (
    select * from {{ source("quality", "finding_history") }}
),

appeared as (
    select
        findings.finding_number,
        case when history.finding_key is null then 'new' else 'came back' end as change_kind,
        findings.rule_code,
        findings.severity,
        findings.case_number,
        findings.location_id,
        findings.occurred_at,
        findings.detail,
        findings.first_seen_at,
        cast(null as varchar) as closed_by
    from {{ ref("findings") }} as findings
    left join history
        on findings.finding_key = history.finding_key
    where history.finding_key is null or history.closed_at is not null
),

closed as (
    select history.*
    from history
    left join {{ ref("findings") }} as findings
        on history.finding_key = findings.finding_key
    where history.closed_at is null and findings.finding_key is null
),

changed_records as (
    -- The record that the finding was about says something else now.
    select
        closed.finding_key,
        changes.newer_file_id as file_id,
        changes.newer_line as line,
        {{ list_text("coalesce(changes.column_name, changes.kind)") }} as what,
        1 as preference
    from closed
    inner join {{ source("quality", "changes") }} as changes
        on
            (closed.file_id_a = changes.older_file_id and closed.line_a = changes.older_line)
            or (closed.file_id_b = changes.older_file_id and closed.line_b = changes.older_line)
    group by closed.finding_key, changes.newer_file_id, changes.newer_line
),

case_records as (
    {% for feed in ["cases", "custody_events", "supply_movements", "statement_lines", "supplier_bill_lines"] -%}
    select
        case_number,
        file_id,
        line
    from {{ source("accepted", feed) }}
    where case_number in (select closed.case_number from closed)
    {%- if not loop.last %}

    union all

    {% endif %}
    {%- endfor %}
),

new_records as (
    -- A record of the case that came after the finding was last seen.
    select
        closed.finding_key,
        case_records.file_id,
        case_records.line,
        'new record of the case' as what,
        2 as preference
    from closed
    inner join case_records
        on closed.case_number = case_records.case_number
    inner join {{ source("raw", "files") }} as files
        on case_records.file_id = files.file_id and closed.last_seen_at < files.loaded_at
    left join {{ source("quality", "outdated") }} as outdated
        on case_records.file_id = outdated.by_file_id and case_records.line = outdated.by_line
    where outdated.by_file_id is null
),

causes as (
    select
        candidates.finding_key,
        files.file_name
        || coalesce(' line ' || cast(candidates.line as varchar), '')
        || ' (' || candidates.what || ')' as closed_by,
        row_number() over (
            partition by candidates.finding_key
            order by candidates.preference asc, files.loaded_at desc, files.file_name asc, candidates.line asc
        ) as place
    from (
        select * from changed_records
        union all
        select * from new_records
    ) as candidates
    inner join {{ source("raw", "files") }} as files
        on candidates.file_id = files.file_id
)

select
    finding_number,
    change_kind,
    rule_code,
    severity,
    case_number,
    location_id,
    occurred_at,
    detail,
    first_seen_at,
    closed_by
from appeared

union all

select
    closed.finding_number,
    'closed' as change_kind,
    closed.rule_code,
    closed.severity,
    closed.case_number,
    closed.location_id,
    closed.occurred_at,
    closed.detail,
    closed.first_seen_at,
    coalesce(causes.closed_by, 'no record of it changed: the clock, a limit or a rule did') as closed_by
from closed
left join causes
    on closed.finding_key = causes.finding_key and causes.place = 1
