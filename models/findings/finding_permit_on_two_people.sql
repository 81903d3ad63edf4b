-- Offices number for themselves, and begin anew each year: one number of one state within a month is one permit. It is
-- rightly on two cases of one person, of which one is cancelled, another firm's, or of the remains that came back.
with permits as (
    select
        *,
        lag(case_number) over (
            partition by jurisdiction, permit_number order by permit_issued_date, case_number
        ) as earlier_case_number
    from {{ ref("int_cases") }} as cases
    where
        permit_number is not null
        and permit_issued_date is not null
        and case_status <> 'cancelled'
        and not is_trade_call
        and not exists (
            select 1
            from {{ ref("int_custody_events") }} as events
            where events.case_number = cases.case_number and events.is_remains_alone
        )
)

select
    {{ finding(
        "permit_on_two_people",
        case_number="later.case_number",
        location_id="later.location_id",
        occurred_at="cast(later.permit_issued_date as timestamp)",
        a="later", feed_a="cases",
        b="earlier", feed_b="cases",
        detail="'Permit ' || later.permit_number || ' of ' || cast(later.permit_issued_date as varchar)"
            ~ " || ' is on this case, and of ' || cast(earlier.permit_issued_date as varchar) || ' on case '"
            ~ " || earlier.case_number || '.' || " ~ held_back_note("later.is_held or earlier.is_held")
    ) }}
from permits as later
inner join {{ ref("int_cases") }} as earlier
    on later.earlier_case_number = earlier.case_number
where
    later.permit_issued_date <= {{ add_days("earlier.permit_issued_date", 31) }}
    -- One person on two cases that both stand has a rule of its own.
    and not coalesce(
        {{ folded_name("later.family_name") }} = {{ folded_name("earlier.family_name") }}
        and {{ folded_name("later.given_name") }} = {{ folded_name("earlier.given_name") }}
        and later.date_of_birth_earliest = earlier.date_of_birth_earliest
        and later.date_of_death_earliest = earlier.date_of_death_earliest,
        false
    )
