select
    case_number,
    count(*) as times
from {{ ref("custody_cases") }}
group by case_number
having count(*) > 1
