{% set spelled = var("names_spelled_alike") %}
{% set sounding = var("names_sounding_alike") %}

with stays as (
    -- Once one of two has left for some days no act is to come that a warning could stop. Cremated remains that are
    -- still here can be given to the wrong family. Whose receipt is missing is here from the first act that says so.
    select
        cases.case_number,
        cases.location_id,
        cases.time_zone,
        coalesce(milestones.received_at, milestones.in_care_since) as received_at,
        case when milestones.received_at is null then 'in care since ' else 'received ' end as came,
        coalesce(milestones.final_at, {{ as_of() }}) as until_at,
        milestones.final_at is null as is_in_care,
        cases.is_held or milestones.has_held_event as is_held,
        {{ folded_name("coalesce(cases.family_name, '')") }} as family_words,
        {{ folded_name("coalesce(cases.given_name, '')") }} as given_words,
        {{ folded_name("coalesce(cases.birth_family_name, '')") }} as birth_words,
        cases.file_id,
        cases.line
    from {{ ref("int_cases") }} as cases
    inner join {{ ref("int_case_milestones") }} as milestones
        on cases.case_number = milestones.case_number
    where
        not cases.is_unidentified
        and coalesce(milestones.received_at, milestones.in_care_since) < coalesce(milestones.final_at, {{ as_of() }})
        and coalesce(
            case
                when milestones.final_action = 'cremation_finished' then milestones.remains_gone_at
                else milestones.final_at
            end,
            {{ as_of() }}
        ) > {{ add_hours(as_of(), "-24 * " ~ var("names_told_days")) }}
),

bare_names as (
    select
        case_number,
        received_at,
        until_at,
        {{ without_particles("family_words") }} as family_words,
        {{ without_particles("given_words") }} as given_words,
        {{ without_particles("birth_words") }} as birth_words
    from stays
    where family_words <> '' or given_words <> ''
),

ways_to_read as (
    {% for way in ["written", "exchanged", "at birth", "part 1", "part 2", "part 3"] -%}
    select '{{ way }}' as reading
    {%- if not loop.last %}
    union all
    {% endif %}
    {%- endfor %}
),

readings as (
    -- A name can also be read with its two halves exchanged, with the family name at birth, or by one part of a double
    -- family name.
    select
        bare_names.case_number,
        bare_names.received_at,
        bare_names.until_at,
        ways_to_read.reading,
        case ways_to_read.reading
            when 'written' then replace(bare_names.family_words, ' ', '')
            when 'exchanged' then replace(bare_names.given_words, ' ', '')
            when 'at birth' then replace(bare_names.birth_words, ' ', '')
            when 'part 1' then split_part(bare_names.family_words, ' ', 1)
            when 'part 2' then split_part(bare_names.family_words, ' ', 2)
            else split_part(bare_names.family_words, ' ', 3)
        end as family_name,
        replace(
            case ways_to_read.reading when 'exchanged' then bare_names.family_words else bare_names.given_words end,
            ' ', ''
        ) as given_name
    from bare_names
    inner join ways_to_read
        on
            ways_to_read.reading in ('written', 'exchanged')
            or (ways_to_read.reading = 'at birth' and bare_names.birth_words <> '')
            or (ways_to_read.reading like 'part %' and bare_names.family_words like '% %')
),

sounds as (
    select
        *,
        {{ sound_code("family_name") }} as family_code,
        {{ sound_code("given_name") }} as given_code
    from readings
    where reading in ('written', 'exchanged') or length(family_name) > 1
),

block_kinds as (
    select 'sounds' as kind
    union all
    select 'begins' as kind
    union all
    select 'ends' as kind
),

blocks as (
    -- Only names that share a block are compared: how the family name sounds, how it begins beside a
    -- given name's first letter, or, for a slip in its first letters, how it ends beside a given
    -- name that sounds the same.
    select
        sounds.*,
        case block_kinds.kind
            when 'sounds' then 'sounds ' || sounds.family_code
            when 'begins' then 'begins ' || substr(sounds.family_name, 1, 2) || ' ' || substr(sounds.given_name, 1, 1)
            else
                'ends ' || substr(sounds.family_name, greatest(length(sounds.family_name) - 1, 1))
                || ' ' || sounds.given_code
        end as block
    from sounds
    cross join block_kinds
),

weeks as (
    select distinct {{ iso_week_monday("received_at") }} as week_monday
    from stays
),

stays_by_week as (
    -- Whoever is received while somebody is in care is so in one of that stay's weeks.
    select
        blocks.*,
        weeks.week_monday
    from blocks
    inner join weeks
        on weeks.week_monday between {{ iso_week_monday("blocks.received_at") }} and blocks.until_at
    where blocks.reading <> 'exchanged'
),

compared as (
    select
        later.case_number,
        earlier.case_number as other_case_number,
        case
            when later.reading = 'exchanged' then 'Given and family name, exchanged,'
            when later.reading = 'written' and earlier.reading = 'written' then 'Family and given name'
            when later.reading = 'at birth' and earlier.reading = 'at birth'
                then 'Family names at birth of both and the given name'
            when later.reading = 'at birth' or earlier.reading = 'at birth'
                then 'Family name at birth of one of the two and the given name'
            else 'A part of a double family name and the given name'
        end as reading,
        later.reading <> 'exchanged' and later.family_code = earlier.family_code as has_same_family_code,
        later.reading <> 'exchanged' and later.given_code = earlier.given_code as has_same_given_code,
        substr(later.given_name, 1, 1) = substr(earlier.given_name, 1, 1)
        and (length(later.given_name) = 1 or length(earlier.given_name) = 1) as is_initial_of_given,
        {{ name_likeness("later.family_name", "earlier.family_name") }} as family_likeness,
        {{ name_likeness("later.given_name", "earlier.given_name") }} as given_likeness
    from blocks as later
    inner join stays_by_week as earlier
        on
            later.block = earlier.block
            and {{ iso_week_monday("later.received_at") }} = earlier.week_monday
            and later.received_at < earlier.until_at
            and (
                later.received_at > earlier.received_at
                or (later.received_at = earlier.received_at and later.case_number > earlier.case_number)
            )
    where later.reading <> 'exchanged' or earlier.reading = 'written'
),

judged as (
    -- Both names must be alike for one person to be taken for the other; the lesser likeness tells.
    -- Sound may carry one of the two, not both, and none of names exchanged. An initial has no likeness
    -- to the name that it stands for: there the family name tells alone.
    select
        case_number,
        other_case_number,
        reading,
        case when is_initial_of_given then family_likeness else least(family_likeness, given_likeness) end as likeness,
        case
            when least(family_likeness, given_likeness) = 1 then 'are the same'
            when least(family_likeness, given_likeness) >= {{ spelled }} then 'are spelled alike'
            when is_initial_of_given and family_likeness >= {{ spelled }}
                then 'are alike, one given name being an initial'
            else 'sound alike'
        end as manner
    from compared
    where
        (family_likeness >= {{ spelled }} and (given_likeness >= {{ spelled }} or is_initial_of_given))
        or (has_same_family_code and family_likeness >= {{ sounding }} and given_likeness >= {{ spelled }})
        or (family_likeness >= {{ spelled }} and has_same_given_code and given_likeness >= {{ sounding }})
),

ranked as (
    select
        *,
        row_number() over (
            partition by case_number, other_case_number order by likeness desc, reading asc, manner asc
        ) as likeness_rank
    from judged
),

pairs as (
    select
        later.case_number,
        later.location_id,
        later.received_at,
        later.came,
        earlier.came as other_came,
        {{ local_time("later.received_at", "later.time_zone") }} as received_at_local,
        earlier.case_number as other_case_number,
        {{ local_time("earlier.received_at", "earlier.time_zone") }} as other_received_at_local,
        {{ local_time("least(later.until_at, earlier.until_at)", "later.time_zone") }} as both_until_at_local,
        later.is_in_care and earlier.is_in_care as are_both_in_care,
        later.is_held or earlier.is_held as is_held,
        ranked.reading,
        ranked.manner,
        ranked.likeness,
        later.file_id,
        later.line,
        earlier.file_id as other_file_id,
        earlier.line as other_line
    from ranked
    inner join stays as later
        on ranked.case_number = later.case_number
    inner join stays as earlier
        on ranked.other_case_number = earlier.case_number
    where ranked.likeness_rank = 1
)

select
    {{ finding(
        "similar_names",
        case_number="pairs.case_number",
        location_id="pairs.location_id",
        occurred_at="pairs.received_at",
        a="pairs", feed_a="cases",
        b="pairs", feed_b="cases", file_id_b="other_file_id", line_b="other_line",
        measured_value="pairs.likeness",
        limit_value="case when pairs.manner = 'sound alike' then " ~ sounding ~ " else " ~ spelled ~ " end",
        value_unit="likeness, 1 is the same",
        detail="pairs.reading || ' ' || pairs.manner || ' (' || " ~ number_text("pairs.likeness", 2)
            ~ " || ') in this case, ' || pairs.came || " ~ minute_text("pairs.received_at_local")
            ~ " || ', and in case ' || pairs.other_case_number || ', ' || pairs.other_came || "
            ~ minute_text("pairs.other_received_at_local") ~ " || case when pairs.are_both_in_care"
            ~ " then '; both are in care.' else '; both were in care until ' || "
            ~ minute_text("pairs.both_until_at_local") ~ " || '.' end || " ~ held_back_note("pairs.is_held")
    ) }}
from pairs
