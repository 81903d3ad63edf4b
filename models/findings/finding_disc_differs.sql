with firsts as (
    select *
    from {{ ref("int_discs") }}
    where place_in_case = 1
),

differing as (
    select
        discs.*,
        row_number() over (partition by discs.case_number order by discs.event_number) as differing_number
    from {{ ref("int_discs") }} as discs
    inner join firsts
        on discs.case_number = firsts.case_number
    where discs.disc_number <> firsts.disc_number
),

owners as (
    -- Whose disc it is: the case whose cremation began with it.
    select
        disc_number,
        min(case_number) as case_number
    from firsts
    group by disc_number
)

select
    {{ finding(
        "disc_differs",
        case_number="differing.case_number",
        location_id="cases.location_id",
        occurred_at="differing.occurred_at",
        a="differing", feed_a="custody_events",
        b="firsts", feed_b="custody_events",
        detail="'Disc ' || differing.disc_number || ' at ' || replace(differing.action, '_', ' ') || ' (event '"
            ~ " || differing.event_id || '), disc ' || firsts.disc_number || ' at ' || replace(firsts.action, '_', ' ')"
            ~ " || ' (event ' || firsts.event_id || '). ' || differing.disc_number || ' is '"
            ~ " || coalesce('the disc of case ' || owners.case_number, 'no disc that we know') || '.' || "
            ~ held_back_note("differing.is_held")
    ) }}
from differing
inner join firsts
    on differing.case_number = firsts.case_number
left join owners
    on differing.disc_number = owners.disc_number
left join {{ ref("int_cases") }} as cases
    on differing.case_number = cases.case_number
where differing.differing_number = 1

union all

select
    {{ finding(
        "disc_differs",
        case_number="firsts.case_number",
        location_id="cases.location_id",
        occurred_at="firsts.occurred_at",
        a="firsts", feed_a="custody_events",
        b="cases", feed_b="cases",
        detail="'Disc ' || firsts.disc_number || ' at ' || replace(firsts.action, '_', ' ') || ' (event ' || firsts.event_id"
            ~ " || '), disc ' || cases.remains_disc_number || ' on the case, which is '"
            ~ " || coalesce('the disc of case ' || owners.case_number, 'no disc that we know') || '.' || "
            ~ held_back_note("firsts.is_held or cases.is_held")
    ) }}
from firsts
inner join {{ ref("int_cases") }} as cases
    on firsts.case_number = cases.case_number
left join owners
    on cases.remains_disc_number = owners.disc_number
where
    cases.remains_disc_number <> firsts.disc_number
    and not exists (
        select 1
        from differing
        where differing.case_number = firsts.case_number
    )
