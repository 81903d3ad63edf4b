-- What was chosen for each person: disposition, service, embalming, where they are laid.
create or replace temp table plans as
with drawn as (
    select
        *,
        draws('plan:' || case_number) as p1,
        draws('stay:' || case_number) as p2
    from people
),

chosen as (
    select
        *,
        case
            -- Cancelled: the family chose another firm, before or after the person was received.
            when is_trade_call then 'trade'
            when chance(p1, 0, 0.018) then 'cancelled'
            -- Long stays: no decision yet; a third of them nobody has named.
            when chance(p1, 0, 0.046) then 'waiting'
            when chance(p1, 16, 0.615) then 'cremation'
            when chance(p1, 16, 0.925) then 'burial'
            when chance(p1, 16, 0.955) then 'entombment'
            when chance(p1, 16, 0.98) then 'shipped'
            else 'donation'
        end as ending
    from drawn
),

served as (
    select
        *,
        ending = 'waiting' and chance(p2, 0, 0.3) as is_unidentified,
        case
            when ending = 'cremation' then
                case
                    when chance(p1, 32, 0.46) then 'none' when chance(p1, 32, 0.70) then 'memorial'
                    when chance(p1, 32, 0.80) then 'viewing' when chance(p1, 32, 0.95) then 'funeral'
                        else 'witness_cremation'
                end
            when ending = 'burial' then
                case when chance(p1, 32, 0.14) then 'none' when chance(p1, 32, 0.30) then 'graveside' else 'funeral' end
            when ending = 'entombment' then 'funeral'
            when ending in ('waiting', 'cancelled') then null
            else 'none'
        end as service_kind,
        is_examined and chance(p2, 16, 0.62) as is_autopsied
    from chosen
),

prepared as (
    select
        *,
        coalesce(service_kind in ('viewing', 'funeral'), false) as has_home_service,
        case
            when ending in ('trade', 'shipped') then true
            when service_kind in ('viewing', 'funeral') then ending = 'cremation' or chance(p1, 48, 0.9)
            else false
        end as is_embalmed
    from served
)

select
    *,
    -- BIRCH has a small preparation room of its own for some intact people; CEDAR is too far from the centre and
    -- lays its own.
    case
        when home = 'CEDAR' then 'CEDAR'
        when home = 'BIRCH' and is_embalmed and not is_autopsied and chance(p2, 32, 0.3) then 'BIRCH'
        else 'CARE'
    end as lay_place,
    ending = 'cremation' and service_kind = 'none' and chance(p2, 48, 0.12) as has_own_container,
    case
        when ending = 'burial' then 'bury' when ending = 'entombment' then 'entomb' when ending in ('trade',
            'shipped') then 'ship'
        when ending = 'donation' then 'donate'
        -- Where remains go, 2022 report quoted: 41 % cemetery, 26 % kept, 18 % scattered, 14 % split.
        when ending = 'cremation' then
            case when chance(d2, 48, 0.40) then 'cremate_inter' when chance(d2, 48, 0.82) then 'cremate_collect'
                else 'cremate_scatter' end
    end as instruction,
    case
        when is_unidentified or place_code in ('7', '9') and is_examined then 'medical_examiner:COUNTY-' || right(home,
            1)
        when ending = 'trade' then 'funeral_home:' || pick(d4, 8, (select words from name_words where kind = 'firm'))
        when is_examined then 'medical_examiner:COUNTY-' || right(home, 1)
        when place_code in ('1', '2', '3') then 'hospital:' || pick(d4, 8, (select words from name_words
            where kind = 'hospital'))
        when place_code in ('5', '6') then 'care_facility:' || pick(d4, 8, (select words from name_words
            where kind = 'care'))
        else 'residence:R-' || case_number
    end as origin
from prepared;
