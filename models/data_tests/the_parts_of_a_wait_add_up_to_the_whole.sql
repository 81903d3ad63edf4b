-- Each part is at least nothing, and together they are the hours from first call to disposition.
select
    case_number,
    whole_hours,
    paperwork_hours,
    transport_hours,
    preparation_hours,
    chamber_hours,
    family_hours
from {{ ref("int_case_waits") }}
where
    least(paperwork_hours, transport_hours, preparation_hours, chamber_hours) < 0
    or family_hours < -0.001
    or abs(
        whole_hours - paperwork_hours - transport_hours - preparation_hours - chamber_hours - family_hours
    ) > 0.001
