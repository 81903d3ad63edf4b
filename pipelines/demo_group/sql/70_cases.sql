-- The cases feed. What had not happened by the export is blank (not known yet), never nines (unknown).
create or replace macro told(minute, zone, cut_off) as case when minute <= cut_off then instant_text(minute, zone) end;
create or replace temp table settled as
select
    *,
    (epoch_ms(invoice_date::timestamp) // 60000)::bigint + 1200 as invoiced,
    case
        when ending = 'waiting' then null
        when is_never_received then first_call + 300
        when ending = 'cancelled' then act + 60
        else greatest(
            (epoch_ms(invoice_date::timestamp) // 60000)::bigint + 1200,
            act + 3100,
            case when ending = 'cremation' then remains_gone + 2900 else 0 end,
            coalesce(service, 0)
        ) + 60 + (t2 % 900)::bigint
    end as closed,
    coalesce(arranged, 0) <= cut_off and ending not in ('waiting', 'cancelled') as is_arranged
from journeys
where first_call <= cut_off;

create or replace temp table cases as
select
    case_number,
    home as location_id,
    case when coalesce(closed > cut_off, true) then 'open' when ending = 'cancelled' then 'cancelled'
        else 'closed' end as case_status,
    case when not is_unidentified then family_name end as family_name,
    case when not is_unidentified and birth_known % 97 <> 0 then given_name end as given_name,
    null::varchar as birth_family_name,
    case when is_unidentified then 'Y' else 'N' end as is_unidentified,
    case when is_male then 'M' else 'F' end as sex,
    case
        when is_unidentified or birth_known < 0.005 * 65536 then '9999-99-99'
        when birth_known < 0.02 * 65536 then left(date_text(born), 4) || '-99-99'
        when birth_known < 0.045 * 65536 then left(date_text(born), 7) || '-99'
        else date_text(born)
    end as date_of_birth,
    date_text(local_date(died, zone)) as date_of_death,
    case when is_unidentified or t4 % 100 = 0 then '99:99' else strftime(local_stamp(died, zone),
        '%H:%M') end as time_of_death,
    told(pronounced, zone, cut_off) as pronounced_at,
    place_code as place_of_death_code,
    weight_kg::varchar as body_weight_kg,
    case when received <= cut_off and not is_never_received then band_number end as band_number,
    instant_text(first_call, zone) as first_call_at,
    case when is_arranged then instant_text(arranged, zone) end as arrangement_at,
    told(signed, zone, cut_off) as certificate_signed_at,
    -- One in ten is entered by its date alone.
    case
        when filed > cut_off then null
        when t1 % 10 = 0 and filed - died < 5000 then date_text(local_date(filed, zone))
        else instant_text(filed, zone)
    end as certificate_filed_at,
    case when is_permitted then 'P-' || (480000 + t2 % 400000)::varchar || right(case_number, 4) end as permit_number,
    case
        when not is_permitted then null
        when t3 % 25 = 0 and ending in ('cremation', 'burial', 'entombment') then date_text(local_date(permitted, zone))
        else instant_text(permitted, zone)
    end as permit_issued_at,
    case when is_cremation then told(authorised, zone, cut_off) end as cremation_authorised_at,
    case when is_cremation then told(cleared, zone, cut_off) end as medical_clearance_at,
    case when is_embalmed then told(approved, zone, cut_off) end as embalming_approved_at,
    case
        when not is_embalmed or approved > cut_off then null
        when ending = 'trade' then 'forwarding firm'
        else ['spouse', 'daughter', 'son', 'sibling', 'next of kin', 'executor'][1 + (t4 % 6)::integer]
    end as embalming_approved_by,
    case
        when is_cremation then case when chance(t4, 44, 0.09) then 'Y' else 'N' end
        when is_arranged then [null, 'N', 'U'][1 + (t4 % 3)::integer]
    end as implant_present,
    case when is_cremation and chance(t4, 44, 0.09) and not is_never_received then told(refrigerated + 90, zone,
        cut_off) end as implant_removed_at,
    case when is_arranged then service_kind end as service_kind,
    case when is_arranged then instant_text(service, zone) end as service_at,
    case
        when is_arranged then case ending when 'cremation' then 'C' when 'burial' then 'B' when 'entombment' then 'E'
            when 'donation' then 'D' else 'R' end
    end as disposition_code,
    case when is_arranged then instruction end as disposition_instruction,
    case when is_arranged then instant_text(arranged, zone) end as instruction_given_at,
    case
        when ending = 'cancelled' then case when act <= cut_off and not is_never_received then outside end
        when not is_arranged then null
        when ending = 'cremation' then 'CREM'
        when ending in ('burial', 'entombment') then grave
        -- The carrier only takes the person there.
        when ending = 'shipped' then 'funeral_home:FARSHORE'
        else outside
    end as named_receiver,
    case
        when is_cremation and authorised <= cut_off
            then 'family-' || (1 + t1 // 8 % 3)::varchar || case when t2 % 3 = 0 then '; family-4' else '' end
    end as remains_receivers,
    case when ending = 'cremation' and act - 20 <= cut_off then disc_number end as remains_disc_number,
    case when ending = 'cremation' and packed <= cut_off then remains_mass_g::varchar end as remains_mass_g,
    case when is_autopsied then 'Y' else 'N' end as is_autopsied,
    case when is_trade_call then 'Y' else 'N' end as is_trade_call,
    case when is_unidentified then 'U' when is_veteran then 'Y' else 'N' end as is_veteran,
    case when is_arranged and is_veteran then instant_text(arranged + 20, zone) end as veteran_benefits_asked_at,
    told(closed, zone, cut_off) as closed_at,
    first_call as sort_minute
from (
    select
        *,
        local_date(died, zone) - (age * 365 + age // 4 + birth_day)::integer as born,
        is_arranged and ending = 'cremation' as is_cremation,
        is_arranged and permitted <= cut_off as is_permitted
    from settled
    left join (select case_number, outside, grave from walks) using (case_number)
);
