-- Both ways: whom the record had there and the count saw or missed, and whom it saw beside them.
with sums as (
    select
        location_id,
        document_number,
        min(occurred_at) as counted_at,
        count(case when check_state in ('agrees', 'other unit', 'missed') then 1 end) as recorded_count,
        count(case when check_state <> 'missed' then 1 end) as seen_count,
        count(case when check_state = 'agrees' then 1 end) as agreeing_count,
        count(case when check_state = 'other unit' then 1 end) as other_unit_count,
        count(case when check_state = 'missed' then 1 end) as missed_count,
        count(case when check_state = 'elsewhere' then 1 end) as elsewhere_count,
        count(case when check_state = 'unknown' then 1 end) as unknown_count
    from {{ ref("int_count_checks") }}
    where document_number is not null
    group by location_id, document_number
)

select
    sums.location_id,
    sums.document_number,
    sums.counted_at,
    cast(sums.recorded_count as bigint) as recorded_count,
    cast(sums.seen_count as bigint) as seen_count,
    cast(sums.agreeing_count as bigint) as agreeing_count,
    cast(sums.other_unit_count as bigint) as other_unit_count,
    cast(sums.missed_count as bigint) as missed_count,
    cast(sums.elsewhere_count as bigint) as elsewhere_count,
    cast(sums.unknown_count as bigint) as unknown_count,
    {{ elapsed_hours("sums.counted_at", as_of()) }} / 24.0 as days_ago
from sums
