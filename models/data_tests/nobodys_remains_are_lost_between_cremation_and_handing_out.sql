-- Whoever was cremated by us, and of whom nothing was handed out or scattered, is on the list of remains in keeping.
select milestones.case_number
from {{ ref("int_case_milestones") }} as milestones
left join {{ ref("remains_in_keeping") }} as remains
    on milestones.case_number = remains.case_number
where
    milestones.final_action = 'cremation_finished'
    and milestones.remains_gone_at is null
    and remains.case_number is null
