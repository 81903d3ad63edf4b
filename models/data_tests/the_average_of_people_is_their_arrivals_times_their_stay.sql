select
    location_id,
    mean_people,
    mean_people_expected,
    difference
from {{ ref("flow_checks") }}
where abs(difference) > 0.001 or difference is null
