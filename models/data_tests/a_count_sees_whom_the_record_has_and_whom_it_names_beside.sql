-- Seen = recorded - missed + seen beside the record; and each sheet is told once.
select
    location_id,
    document_number,
    recorded_count,
    seen_count,
    missed_count,
    elsewhere_count,
    unknown_count,
    count(*) over (partition by location_id, document_number) as times
from {{ ref("physical_counts") }}
qualify
    count(*) over (partition by location_id, document_number) > 1
    or recorded_count - missed_count + elsewhere_count + unknown_count <> seen_count
    or agreeing_count + other_unit_count + missed_count <> recorded_count
