-- One row per case with everything that the feeds are written from.
create or replace temp table journeys as
with gone as (
    select
        *,
        -- Remains are fetched within days, a few late; none beyond 55 days (the shortest limits of state law begin
        -- at 60).
        packed + least(skewed(t1, 4, case when chance(t2, 12, 0.06) then 30000 else 4300 end), 79000) as remains_gone,
        -- The car to the last place: from the home after a service, else from where the person was laid.
        case when has_home_service then home else lay_place end as last_place,
        case when ending = 'cremation' then act - between_of(t4, 12, 46, 180) end as crematory_arrived,
        local_date(act, zone) as act_date
    from last_acts
)

select
    *,
    case
        when ending = 'cremation' then
            crematory_arrived - case when last_place = 'CEDAR' then between_of(t4, 28, 330, 400) else between_of(t4,
                28, 16, 60) end
        when ending in ('burial', 'entombment') then act - between_of(t4, 28, 35, 65)
    end as last_departed,
    case when ending in ('burial', 'entombment') then act - between_of(t4, 12, 8, 20) end as cemetery_arrived,
    instruction = 'cremate_scatter' and chance(t3, 12, 0.3) as is_scattered_here,
    case when chance(t3, 28, 0.05) then 2 else 1 end as container_count,
    -- 3.5 % of body mass (J Forensic Sci 1997;42(3):417), men's heavier by about 1 kg in all.
    case when is_male then between_of(t1, 28, 34, 44) else between_of(t1, 28, 26, 36) end * weight_kg as remains_mass_g,
    act_date + 1 + (draw(t3, 40) % 5)::integer as invoice_date,
    case when ending in ('waiting', 'cancelled') then null else local_date(arranged, zone) end as arranged_date,
    'LS-' || padded((tile * 480 + seat + 1001), 7) as band_number,
    'D-' || padded((tile * 480 + seat + 5001), 7) as disc_number,
    ending = 'cancelled' and chance(t3, 44, 0.5) as is_never_received,
    getvariable('cut_off') as cut_off
from gone;
