"""The price list that a family reads."""

from reports import words
from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing, mart
from reports.warehouse import literal

KINDS = {
    "general": "General price list",
    "casket": "Casket price list",
    "outer_container": "Outer burial container price list",
}

#: Wording of a line's disclosures; where the table of the rule has none, the home supplies it.
DISCLOSURES = """(select string_agg(coalesce(d.wording, '(' || replace(d.disclosure_key, '_', ' ')
        || ': the wording is the home''s to supply; ' || d.citation || ')'), ' '
        order by d.disclosure_key)
    from accepted.disclosures as d
    where list_contains(list_transform(string_split(l.disclosure_keys, ';'), lambda k: trim(k)),
        d.disclosure_key))"""

_RANGE = (
    "case when l.price is null then null when l.price_high is not null and l.price_high <> l.price "
    "then format('{:,.2f} to {:,.2f}', l.price::double, l.price_high::double) "
    "else format('{:,.2f}', l.price::double) end"
)


def lines(location_id: str, list_kind: str) -> str:
    return (
        "from marts.price_list_in_force as l "
        f"where l.location_id = {literal(location_id)} and l.list_kind = {literal(list_kind)} "
        "and l.category <> 'list_header'"
    )


def list_table(location_id: str, list_kind: str) -> Listing:
    """One list of one home: its items with price and the disclosure beside it."""
    return Listing(
        list_kind.replace("_", "-"),
        KINDS[list_kind],
        f"""select l.description, {_RANGE} as price_text,
    replace(coalesce(l.charge_basis, 'flat'), '_', ' ')
        || coalesce(', ' || replace(l.variant, '_', ' '), '') as basis,
    case when l.is_declinable then 'yes' when not l.is_declinable then 'no' end as can_decline,
    {DISCLOSURES} as disclosure, l.price, l.price_high, l.item_code, l.category, l.item_number,
    l.effective_from, l.location_id, l.list_kind
{lines(location_id, list_kind)}
order by l.item_number nulls last, l.category, l.price, l.item_code, l.description""",
        (
            Column("description", "Item"),
            Column("price_text", f"Price ({words.CURRENCY})", Kind.PRICE),
            Column("basis", "Charged", Kind.CODE),
            Column("can_decline", "You can decline it", Kind.CODE, empty="not stated"),
            Column("disclosure", "Disclosure", is_whole=True, empty="-"),
        ),
        source=mart("price_list_in_force"),
        none=State(Mark.NOT_CHECKED, "No list of this kind is in force at this home."),
        shown=300,
    )
