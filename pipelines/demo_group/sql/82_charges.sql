-- What each family was quoted and billed: the same lines on the estimate and the invoice, at the list in force on
-- the arrangement date.
create or replace temp table charges as
with wanted as (
    select
        settled.*,
        draws('goods:' || case_number) as g1,
        draws('advance:' || case_number) as g2,
        ending in ('burial', 'entombment') and service_kind <> 'none' or ending = 'cremation'
            and has_home_service as has_full_service,
        'CSK-0' || [1, 2, 2, 2, 2, 3, 3, 3, 3, 4, 4, 5, 5, 6, 7, 8][1 + (t3 % 16)::integer]::varchar as casket,
        'URN-0' || (1 + t2 % 6)::varchar as urn,
        'OBC-0' || [1, 1, 1, 2, 2, 2, 3, 4][1 + (t2 % 8)::integer]::varchar as outer_container
    from settled
    where is_arranged
),

chosen as (
    select case_number, 1 as place, 'S01-BASIC' as item_code, 1 as quantity, null::bigint as cents from wanted
        where has_full_service or ending = 'donation'
    union all
    select case_number, 2, 'S02-FORWARD', 1, null from wanted where ending in ('trade', 'shipped')
    union all
    select case_number, 3, case when has_own_container then 'S04-DIRCREM-OWN' else 'S04-DIRCREM-ALT' end, 1, null
        from wanted
    where ending = 'cremation' and not has_home_service
    union all
    select case_number, 4, case when chance(g1, 0, 0.2) then 'S05-IMMBUR-OWN' else 'S05-IMMBUR-ALT' end, 1, null
        from wanted
    where ending = 'burial' and service_kind = 'none'
    union all
    select case_number, 5, 'S06-TRANSFER', 1, null from wanted where has_full_service or ending = 'donation'
    union all
    select case_number, 6, 'S07-EMBALM', 1, null from wanted where is_embalmed and has_full_service
    union all
    select case_number, 7, 'S08-PREP', 1, null from wanted where has_home_service
    union all
    select case_number, 8, 'S09-VIEWING', 1, null from wanted where has_home_service
    union all
    select case_number, 9, 'S10-CEREMONY', 1, null from wanted where service_kind = 'funeral'
    union all
    select case_number, 10, 'S11-MEMORIAL', 1, null from wanted where service_kind = 'memorial'
    union all
    select case_number, 11, 'S12-GRAVESIDE', 1, null from wanted where service_kind = 'graveside'
    union all
    select case_number, 12, 'S13-HEARSE', 1, null from wanted where has_full_service and (ending <> 'cremation'
        or chance(g1, 16, 0.4))
    union all
    select case_number, 13, 'S14-LIMOUSINE', 2 + (g1 % 3)::integer, null from wanted where service_kind = 'funeral'
        and chance(g1, 32, 0.4)
    union all
    select case_number, 14, case when ending = 'cremation' and chance(g1, 48, 0.7) then 'ALT-02' else casket end, 1,
        null from wanted where has_full_service
    union all
    select case_number, 15, outer_container, 1, null from wanted where ending = 'burial' and chance(g2, 0, 0.75)
    union all
    select case_number, 16, 'S17-CREMFEE', 1, null from wanted where ending = 'cremation' and has_full_service
    union all
    select case_number, 17, 'S18-WITNESS', 1, null from wanted where service_kind = 'witness_cremation'
    union all
    select case_number, 18, urn, 1, null from wanted where ending = 'cremation' and instruction <> 'cremate_scatter'
        and chance(g2, 16, 0.65)
    union all
    select case_number, 20, 'ADV-CERT', 2 + (g2 % 7)::integer, 2100 from wanted
    union all
    select case_number, 21, 'ADV-PERMIT', 1, 2500 from wanted
    union all
    select case_number, 22, 'ADV-OBIT', 1, 15000 + (g1 // 5 % 30)::bigint * 1000 from wanted where chance(g2, 32, 0.55)
    union all
    select case_number, 23, 'ADV-CLERGY', 1, 15000 + (g1 // 7 % 6)::bigint * 2500 from wanted
        where service_kind in ('funeral', 'graveside')
    union all
    select case_number, 24, 'ADV-FLOWERS', 1, 18000 + (g1 // 11 % 40)::bigint * 500 from wanted where has_home_service
        and chance(g2, 48, 0.6)
    union all
    select case_number, 25, 'ADV-CEMETERY', 1, 95000 + (g1 // 13 % 20)::bigint * 5000 from wanted
        where ending in ('burial', 'entombment')
),

priced as (
    select
        chosen.case_number,
        chosen.place,
        chosen.item_code,
        coalesce(book.category, 'cash_advance') as category,
        coalesce(book.description, replace(items.description, ' (bought for the family)', '')) as description,
        chosen.quantity,
        coalesce(chosen.cents, book.cents) as cents
    from chosen
    inner join wanted using (case_number)
    left join price_book as book
        on wanted.home = book.home and chosen.item_code = book.item_code
        and wanted.arranged_date between book.effective_from and book.effective_to
    left join stock_items as items on chosen.item_code = items.item_code
)

select * from priced
union all
select case_number, 30, 'DISCOUNT', 'discount', 'Courtesy discount', -1, 10000 + (g1 // 17 % 4)::bigint * 5000
    from wanted where g1 // 19 % 33 = 0
union all
-- Sales tax on goods: Texas 6.25 % with 2 % local, Colorado 2.9 % (from memory).
select
    case_number, 31, 'TAX', 'tax', 'Sales tax on goods', 1,
    (sum(priced.quantity * priced.cents)::bigint * max(case when wanted.home = 'CEDAR' then 290 else 825 end)
        + 5000) // 10000
from priced
inner join wanted using (case_number)
where left(priced.item_code, 3) in ('CSK', 'ALT', 'URN', 'OBC')
group by case_number;
