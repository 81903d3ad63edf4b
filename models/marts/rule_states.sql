with needs as (
    select
        rule_code,
        {{ list_text("case when not is_available then feed || '.' || column_name end") }} as missing
    from {{ source("quality", "rule_needs") }}
    group by rule_code
),

gaps as (
    -- Files that a rule could not judge.
    select
        rule_code,
        count(*) as file_count,
        min(file_name || ' ' || reason) as first_one
    from {{ source("quality", "rule_gaps") }}
    group by rule_code
),

feeds_read as (
    select
        feed,
        sum(records_read) as records_read
    from {{ source("quality", "file_accounts") }}
    group by feed
),

needed_records as (
    -- A rule applies when every feed that it needs has records.
    select
        needed.rule_code,
        min(coalesce(feeds_read.records_read, 0)) as fewest_records
    from (
        select distinct
            rule_code,
            feed
        from {{ source("quality", "rule_needs") }}
    ) as needed
    left join feeds_read
        on needed.feed = feeds_read.feed
    group by needed.rule_code
),

all_records as (
    -- A rule that needs no feed in particular looks at every record.
    select coalesce(sum(records_read), 0) as records_read
    from feeds_read
),

found as (
    select
        rule_code,
        count(*) as found_count
    from {{ ref("all_findings") }}
    group by rule_code

    union all

    select
        rule_code,
        count(*) as found_count
    from {{ source("quality", "rejects") }}
    group by rule_code

    union all

    select
        rule_code,
        count(*) as found_count
    from {{ source("quality", "notes") }}
    group by rule_code
),

found_once as (
    select
        rule_code,
        cast(sum(found_count) as bigint) as found_count
    from found
    group by rule_code
),

judged as (
    select
        rules.rule_code,
        rules.family,
        rules.severity,
        rules.effect,
        coalesce(found_once.found_count, 0) as found_count,
        needs.missing,
        gaps.file_count as gap_count,
        gaps.first_one as first_gap,
        case
            when coalesce(found_once.found_count, 0) > 0 then 'found'
            when needs.missing is not null or gaps.rule_code is not null then 'not checked'
            when coalesce(needed_records.fewest_records, all_records.records_read) = 0 then 'not applicable'
            else 'passed'
        end as state
    from {{ source("quality", "rules") }} as rules
    cross join all_records
    left join needs
        on rules.rule_code = needs.rule_code
    left join gaps
        on rules.rule_code = gaps.rule_code
    left join needed_records
        on rules.rule_code = needed_records.rule_code
    left join found_once
        on rules.rule_code = found_once.rule_code
)

select
    rule_code,
    family,
    severity,
    effect,
    state,
    found_count,
    case
        when missing is not null then 'Not exported: ' || missing || '.'
        when gap_count = 1 then 'Not judged: ' || first_gap || '.'
        when gap_count > 1
            then 'Not judged in ' || cast(gap_count as varchar) || ' files, for one: ' || first_gap || '.'
        when state = 'not applicable' then 'No record of a feed that the rule needs.'
    end as why
from judged
