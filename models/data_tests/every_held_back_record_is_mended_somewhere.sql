-- The lines of what there is to mend stand for every record that is held back, each once.
with lines as (
    select coalesce(sum(record_count), 0) as records
    from {{ ref("held_back_to_mend") }}
),

rejects as (
    select count(*) as records
    from (
        select distinct
            file_id,
            line
        from {{ source("quality", "rejects") }}
    ) as distinct_records
)

select
    lines.records as told,
    rejects.records as held
from lines
cross join rejects
where lines.records <> rejects.records

union all

select
    record_count as told,
    waiting_count as held
from {{ ref("held_back_to_mend") }}
where records is null
