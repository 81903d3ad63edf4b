"""The price lists in force, for anyone."""

from datetime import date

from reports import words
from reports.audiences import PUBLIC, Audience
from reports.content import Block, Content, Facts, Links, Page, Paragraph, Section
from reports.listings.price_lists import DISCLOSURES, KINDS, list_table
from reports.marks import Mark
from reports.names import file_name
from reports.titles import When, say
from reports.warehouse import Place, Warehouse, literal

PAGE = Page(
    slug="price_lists",
    name="Price lists",
    question="What does each home charge?",
    audiences=(PUBLIC,),
    marts=("marts.price_list_in_force", "marts.location_comparison"),
    feeds=(),
    order=10,
)

_REVIEW = (
    "Have counsel review: this page prints the list that was exported, with the disclosures "
    "named on it. Which disclosures are needed and how they must stand is for the price rule "
    "(16 CFR Part 453) and state law.",
)


def build(warehouse: Warehouse, audience: Audience) -> Content:
    homes = [
        warehouse.places[str(row[0])]
        for row in warehouse.rows(
            "select distinct location_id from marts.price_list_in_force order by location_id"
        )
        if str(row[0]) in warehouse.places
    ]
    children = {_address(home): _home(warehouse, home) for home in homes}
    links = tuple((_address(home), home.name, None) for home in homes)
    return Content(
        say(
            "{homes} with a price list in force on {when}",
            homes=warehouse.fact(
                "select count(distinct p.location_id) from marts.price_list_in_force as p "
                "inner join marts.location_comparison as l on p.location_id = l.location_id",
                lambda v: words.counted(v, "home"),
            ),
            when=When(words.day(words.local(warehouse.as_of, warehouse.zone).date())),
        ),
        "Each list as it is in force on that day at that home.",
        Mark.INFO,
        (Section("Homes", (Links(links),)),),
        cautions=_REVIEW,
        children=children,
    )


def _address(home: Place) -> str:
    return f"prices-{file_name(home.location_id)}.html"


def _home(warehouse: Warehouse, home: Place) -> Content:
    mine = f"from marts.price_list_in_force as l where l.location_id = {literal(home.location_id)}"
    found = {
        str(kind): day
        for kind, day in warehouse.rows(
            f"select list_kind, max(effective_from) {mine} group by list_kind order by list_kind"
        )
    }
    sections = tuple(
        Section(f"{KINDS[kind]}{_since(found[kind])}", _list(warehouse, home, kind))
        for kind in KINDS
        if kind in found
    )
    latest = max((day for day in found.values() if isinstance(day, date)), default=None)
    return Content(
        say("Price lists of {home}, in force since {day}", home=words.visible(home.name),
            day=When(words.day(latest) if latest else "a day not stated")),
        "These lists are effective as of the day named beside each.",
        Mark.INFO,
        (Section("The home", (_identity(home),)), *sections),
        cautions=_REVIEW,
    )  # fmt: skip


def _identity(home: Place) -> Facts:
    """Name, address and telephone, which the general list must bear (16 CFR 453.2(b)(4)(i)(C))."""
    return Facts((
        ("Name", home.name),
        ("Address", home.address or "not in the file of locations"),
        ("Telephone", home.telephone or "not in the file of locations"),
    ))  # fmt: skip


def _since(day: object) -> str:
    return f", effective {words.day(day)}" if isinstance(day, date) else ""


def _list(warehouse: Warehouse, home: Place, kind: str) -> tuple[Block, ...]:
    """Disclosures of the list itself stand above its prices."""
    headers = warehouse.rows(
        f"select {DISCLOSURES} from marts.price_list_in_force as l "
        f"where l.location_id = {literal(home.location_id)} and l.list_kind = {literal(kind)} "
        "and l.category = 'list_header' order by l.item_code"
    )
    said = tuple(Paragraph(str(row[0])) for row in headers if row[0])
    return (*said, list_table(home.location_id, kind))
