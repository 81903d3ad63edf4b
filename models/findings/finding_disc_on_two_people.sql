with firsts as (
    select
        *,
        lag(case_number) over (partition by disc_number order by occurred_at, case_number) as earlier_case_number
    from {{ ref("int_discs") }}
    where place_in_case = 1
)

select
    {{ finding(
        "disc_on_two_people",
        case_number="later.case_number",
        location_id="cases.location_id",
        occurred_at="later.occurred_at",
        a="later", feed_a="custody_events",
        b="earlier", feed_b="custody_events",
        detail="'Disc ' || later.disc_number || ' went with this person at ' || "
            ~ minute_text("later.occurred_at_local") ~ " || ' (event ' || later.event_id"
            ~ " || ') and with case ' || earlier.case_number || ' at ' || "
            ~ minute_text("earlier.occurred_at_local") ~ " || ' (event ' || earlier.event_id || ').' || "
            ~ held_back_note("later.is_held or earlier.is_held")
    ) }}
from firsts as later
inner join firsts as earlier
    on later.earlier_case_number = earlier.case_number and later.disc_number = earlier.disc_number
left join {{ ref("int_cases") }} as cases
    on later.case_number = cases.case_number
