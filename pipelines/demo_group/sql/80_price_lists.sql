-- Three lists a home and version: general (all sixteen items), casket, outer container, each with a header row for
-- its own disclosures.
create or replace temp table price_lists as
with rows_of_lists as (
    select
        book.home, 'general' as list_kind, book.effective_from, book.item_code, book.category, book.description,
            book.cents as low, null::bigint as high,
        services.charge_basis, services.is_declinable, services.variant, services.includes_items,
            services.disclosure_keys
    from price_book as book
    inner join services using (item_code)
    union all
    select book.home, 'general', book.effective_from, book.item_code, 'merchandise', book.description, book.cents,
        null, 'per_unit', 'Y', null, null, null
    from price_book as book
    where book.item_code like 'URN-%'
    union all
    select
        home, 'general', effective_from,
        case category when 'casket_range_or_prices' then 'S15-CASKETS' else 'S16-OUTER' end, category,
        case category when 'casket_range_or_prices' then 'Caskets; a complete price list is shown at the home'
            else 'Outer burial containers; a complete price list is shown at the home' end,
        min(cents), max(cents), 'per_unit', 'Y', 'range', null,
        case category when 'casket_range_or_prices' then 'casket_list_available' else 'obc_list_available' end
    from price_book
    -- The range is of caskets; alternative containers stand on the casket list beside them.
    where item_code like 'CSK-%' or item_code like 'OBC-%'
    group by home, effective_from, category
    union all
    select
        home, case when item_code like 'OBC-%' then 'outer_container' else 'casket' end, effective_from, item_code,
            category, description, cents, null,
        'per_unit', 'Y', case when item_code like 'ALT-%' then 'alternative_container' end, null, null
    from price_book
    where item_code like 'CSK-%' or item_code like 'OBC-%' or item_code like 'ALT-%'
    union all
    select
        home, list_kind, effective_from, 'HEADER-' || upper(list_kind), 'list_header',
        heading || ', effective ' || strftime(effective_from, '%d %B %Y') || chr(10) || name_and_address, 0, null,
            null, null, null, null, keys
    from list_versions
    inner join (
        values
        ('general', 'General price list', 'right_of_selection'),
        ('casket', 'Casket price list', null),
        ('outer_container', 'Outer burial container price list', 'obc_not_required_by_law')
    ) as headers (list_kind, heading, keys) on true
    inner join (
        values
        ('ALDER', 'Alder Street Home, 12 Alder Street, +1 555 0110'),
        ('BIRCH', 'Birch Hill Home, 7 Birch Hill, +1 555 0120'),
        ('CEDAR', 'Cedar Row Home, 340 Cedar Row, +1 555 0130')
    ) as homes (named_home, name_and_address) on home = named_home
)

select
    home as location_id, list_kind, date_text(effective_from) as effective_from, item_code, category, description,
        money_text(low) as price,
    money_text(high) as price_high, charge_basis, is_declinable, variant, includes_items, disclosure_keys
from rows_of_lists;
