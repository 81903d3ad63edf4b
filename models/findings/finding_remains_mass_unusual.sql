-- Adults: 876 to 3,784 g in 91 Florida cremations (J Forensic Sci 1997;42(3):417), about 500 g more
-- in East Tennessee (J Forensic Sci 2004;49(5):901); guard rails of 900 to 5,000 g, and of 1 to 7 %
-- of body mass at any age (adults 3.5 %, children 2.5 %, same source), are our judgement.
{% set nearest_mass = "case when judged.remains_mass_g < 900 then 900 else 5000 end" %}
{% set nearest_share = "case when judged.body_share_percent < 1 then 1 else 7 end" %}

with masses as (
    select
        case_number,
        location_id,
        remains_mass_g,
        remains_mass_g / nullif(body_weight_kg, 0) / 10.0 as body_share_percent,
        coalesce(
            extract(year from date_of_death_latest) - extract(year from date_of_birth_earliest) >= 18, true
        ) as is_adult,
        closed_at,
        is_held,
        file_id,
        line
    from {{ ref("int_cases") }}
    where remains_mass_g is not null
),

judged as (
    select
        *,
        case
            when is_adult and (remains_mass_g < 900 or remains_mass_g > 5000) then 'mass'
            when body_share_percent < 1 or body_share_percent > 7 then 'share'
        end as fault
    from masses
)

select
    {{ finding(
        "remains_mass_unusual",
        case_number="judged.case_number",
        location_id="judged.location_id",
        occurred_at="coalesce(milestones.cremation_finished_at, judged.closed_at)",
        a="judged", feed_a="cases",
        measured_value="judged.remains_mass_g",
        limit_value="case when judged.fault = 'mass' then " ~ nearest_mass ~ " end",
        value_unit="g",
        detail="'Cremated remains of ' || " ~ measured_text("judged.remains_mass_g", nearest_mass, 0) ~ " || ' g'"
            ~ " || coalesce(', ' || " ~ measured_text("judged.body_share_percent", nearest_share)
            ~ " || ' % of body weight', '')"
            ~ " || '; usual are 900 to 5000 g for adults and 1 to 7 % of body weight.' || "
            ~ held_back_note("judged.is_held")
    ) }}
from judged
left join {{ ref("int_case_milestones") }} as milestones
    on judged.case_number = milestones.case_number
where judged.fault is not null
