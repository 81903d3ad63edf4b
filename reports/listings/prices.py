"""Tables of price lists and of charges."""

from collections.abc import Mapping

from reports import words
from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing, mart
from reports.warehouse import Warehouse, literal

_CHARGE = """select c.case_number, c.document_number, c.line_number, c.document_date, c.location_id,
    c.arrangement_date, c.item_code, c.category, c.description, c.quantity, c.unit_price,
    c.line_total, c.list_price, c.list_price_high, c.list_effective_from, c.difference,
    c.check_state,
    f.file_name, c.line
from marts.charges_checked as c
left join raw.files as f on c.file_id = f.file_id
where c.document_kind = 'invoice'"""

#: Wording of invoice lines is typed by hand: it leaves only with those who may see names.
_FREE_TEXT = ("description",)

_COLUMNS = (
    Column("case_number", "Case", Kind.CASE),
    Column("document_number", "Invoice", Kind.ID),
    Column("location_id", "Home", Kind.PLACE),
    Column("category", "Item", Kind.CODE),
    Column("unit_price", f"Charged ({words.CURRENCY})", Kind.NUMBER, 2),
    Column("list_price", f"List ({words.CURRENCY})", Kind.NUMBER, 2, empty="[z]"),
    Column("difference", f"Difference ({words.CURRENCY})", Kind.NUMBER, 2, empty="[z]"),
    Column("list_effective_from", "List of", Kind.DAY, empty="[z]"),
    Column("file_name", "File"),
    Column("line", "Line", Kind.LINE),
)


def above_table(warehouse: Warehouse) -> Listing:
    sql = f"""{_CHARGE} and c.check_state = 'above list'
order by c.difference desc, c.document_number, c.line_number"""
    checked = warehouse.count(
        "select count(*) from marts.charges_checked where document_kind = 'invoice'"
    )
    return Listing(
        "above",
        "Charged above the list in force on the day of the arrangement, largest first",
        sql,
        _COLUMNS,
        source=mart("charges_checked"),
        personal=_FREE_TEXT,
        note="The wording of a line stands in its file at the line given; it is free text and can "
        "hold a name.",
        none=State(
            Mark.CHECKED,
            f"{words.counted(checked, 'invoice line')} checked. None is above the list.",
        ),
        totals=warehouse.totals(sql, {"difference": 2}),
    )


def states_table(warehouse: Warehouse) -> Listing:
    sql = """select check_state, count(*) as line_count, sum(line_total) as amount,
    coalesce(sum(difference), 0) as difference
from marts.charges_checked
where document_kind = 'invoice'
group by check_state
order by check_state"""
    return Listing(
        "states",
        "Every invoice line against the list",
        sql,
        (
            Column("check_state", "Result", Kind.MARK),
            Column("line_count", "Lines", Kind.NUMBER),
            Column("amount", f"Amount ({words.CURRENCY})", Kind.NUMBER, 2),
            Column("difference", f"Difference ({words.CURRENCY})", Kind.NUMBER, 2),
        ),
        source=mart("charges_checked"),
        none=State(Mark.NOT_APPLICABLE, "No invoice line was accepted, so nothing was compared."),
        totals=warehouse.totals(sql, {"line_count": 0, "amount": 2, "difference": 2}),
    )


def by_home_table(warehouse: Warehouse) -> Listing:
    sql = """select location_id, count(*) as line_count,
    count(*) filter (where check_state = 'above list') as above_count,
    count(*) filter (where check_state in ('not on list', 'no list in force')) as unlisted_count,
    coalesce(sum(difference) filter (where check_state = 'above list'), 0) as above_amount
from marts.charges_checked
where document_kind = 'invoice'
group by location_id
order by location_id"""
    return Listing(
        "by-home",
        "Invoice lines against the list, by home",
        sql,
        (
            Column("location_id", "Home", Kind.PLACE),
            Column("line_count", "Lines", Kind.NUMBER),
            Column("above_count", "Above list", Kind.NUMBER),
            Column("unlisted_count", "Not on a list", Kind.NUMBER),
            Column("above_amount", f"Above list ({words.CURRENCY})", Kind.NUMBER, 2),
        ),
        source=mart("charges_checked"),
        none=State(Mark.NOT_APPLICABLE, "No invoice line was accepted, so nothing was compared."),
        totals=warehouse.totals(
            sql, {"line_count": 0, "above_count": 0, "unlisted_count": 0, "above_amount": 2}
        ),
    )


def lines_table() -> Listing:
    """Every line, for the accountant's own sums."""
    return Listing(
        "lines",
        "Every statement line as it was checked",
        """select document_number, line_number, document_kind, document_date, case_number,
    location_id,
    arrangement_date, item_code, category, description, quantity, unit_price, line_total,
    list_effective_from, list_price, list_price_high, difference, check_state, file_id, line
from marts.charges_checked
order by document_number, line_number""",
        (
            Column("document_number", "Document", Kind.ID),
            Column("line_number", "No.", Kind.NUMBER),
            Column("document_kind", "Kind", Kind.CODE),
            Column("case_number", "Case", Kind.CASE),
            Column("category", "Item", Kind.CODE),
            Column("quantity", "Quantity", Kind.QUANTITY),
            Column("unit_price", f"Charged ({words.CURRENCY})", Kind.NUMBER, 2),
            Column("line_total", f"Line total ({words.CURRENCY})", Kind.NUMBER, 2),
            Column("check_state", "Result", Kind.MARK),
        ),
        source=mart("charges_checked"),
        personal=_FREE_TEXT,
        none=State(Mark.NOT_APPLICABLE, "No statement line was accepted."),
        shown=30,
    )


def completeness_table(pages: Mapping[str, str], home: str | None = None) -> Listing:
    """The sixteen of each list in force, or of one home's; ``pages``: home -> page of its list."""
    where = f" and location_id = {literal(home)}" if home else ""
    return Listing(
        "sixteen",
        "The sixteen items on each general price list in force",
        f"""select location_id, item_number, item_name, paragraph, state, is_sold, price,
    price_high, effective_from, category
from marts.price_list_completeness
where is_in_force{where}
order by case when state = 'not listed' and is_sold then 0 when state = 'not listed'
    then 1 else 2 end,
    location_id, item_number""",
        (
            Column("location_id", "Home", Kind.PLACE, links=pages),
            Column("item_number", "No.", Kind.NUMBER),
            Column("item_name", "Item"),
            Column("state", "State", Kind.MARK),
            Column("is_sold", "Invoiced", Kind.YES_NO),
            Column("price", f"Price ({words.CURRENCY})", Kind.NUMBER, 2, empty="not on this list"),
            Column("price_high", f"To ({words.CURRENCY})", Kind.NUMBER, 2, empty="[z]"),
            Column("effective_from", "List of", Kind.DAY),
        ),
        source=mart("price_list_completeness"),
        none=State(Mark.NOT_CHECKED, "No general price list is in force, so none was checked."),
        note="An item has to be on the list only if the home offers it. Not listed and invoiced "
        "stands first.",
    )


def list_table(home: str) -> Listing:
    """The lines of a home's general price list in force, with the record of each."""
    return Listing(
        "list",
        "Every line of the general price list in force",
        f"""select p.category, p.item_code, p.description, p.variant, p.price, p.price_high,
    p.charge_basis, p.is_declinable, p.effective_from, f.file_name, p.line
from accepted.price_lists as p
left join raw.files as f on p.file_id = f.file_id
where p.list_kind = 'general' and p.location_id = {literal(home)} and p.effective_from = (
    select max(effective_from) from marts.price_list_completeness
    where is_in_force and location_id = {literal(home)})
order by p.category, p.item_code, f.file_name, p.line""",
        (
            Column("category", "Item", Kind.CODE),
            Column("description", "Wording"),
            Column("price", f"Price ({words.CURRENCY})", Kind.NUMBER, 2, empty="[z]"),
            Column("price_high", f"To ({words.CURRENCY})", Kind.NUMBER, 2, empty="[z]"),
            Column("charge_basis", "Basis", Kind.CODE),
            Column("effective_from", "List of", Kind.DAY),
            Column("file_name", "File"),
            Column("line", "Line", Kind.LINE),
        ),
        source="accepted.price_lists",
        none=State(Mark.NOT_CHECKED, "No general price list of this home is accepted."),
        shown=200,
    )
