-- A case that is cancelled, work for another firm, or remains that come back to be buried may stand beside the one that
-- is kept.
with people as (
    select
        case_number,
        location_id,
        {{ folded_name("family_name") }} as family_words,
        {{ folded_name("given_name") }} as given_words,
        date_of_birth_earliest,
        date_of_death_earliest,
        first_call_at,
        is_held,
        file_id,
        line
    from {{ ref("int_cases") }} as cases
    where
        not is_unidentified
        and case_status <> 'cancelled'
        and not is_trade_call
        and date_of_birth_earliest = date_of_birth_latest
        and date_of_death_earliest = date_of_death_latest
        and not exists (
            select 1
            from {{ ref("int_custody_events") }} as events
            where events.case_number = cases.case_number and events.is_remains_alone
        )
),

paired as (
    select
        *,
        lag(case_number) over (
            partition by family_words, given_words, date_of_birth_earliest, date_of_death_earliest
            order by first_call_at, case_number
        ) as earlier_case_number
    from people
    where family_words <> '' and given_words <> ''
)

select
    {{ finding(
        "person_on_two_cases",
        case_number="later.case_number",
        location_id="later.location_id",
        occurred_at="later.first_call_at",
        a="later", feed_a="cases",
        b="earlier", feed_b="cases",
        detail="'Case ' || later.case_number || ' of ' || later.location_id || ' and case ' || earlier.case_number || ' of '"
            ~ " || earlier.location_id || ' have one name, one date of birth and one date of death.' || "
            ~ held_back_note("later.is_held or earlier.is_held")
    ) }}
from paired as later
inner join people as earlier
    on later.earlier_case_number = earlier.case_number
