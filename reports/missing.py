"""What a page's figures lack, said before the first of them."""

from pipelines.feeds import GROUP_FEEDS
from reports import words
from reports.content import Page
from reports.listings.quality import GIVEN
from reports.marks import Mark, State
from reports.warehouse import Warehouse, literal


def missing_lines(warehouse: Warehouse, page: Page) -> tuple[State, ...]:
    """Files that did not arrive, checks that did not run, records held back; or that none is."""
    absent = [*_absent_feeds(warehouse, page), *_set_aside(warehouse, page)]
    unchecked, rules = _unchecked(warehouse, page)
    held, read = _held(warehouse, page)
    lines = [*absent, *unchecked]
    if held:
        lines.append(
            State(
                Mark.PARTLY,
                f"{words.number(held)} of {words.counted(read, 'record')} in the files this page "
                f"uses {words.are(held)} held back or unreadable. People are still counted, with "
                "the reason; sums of money, chemicals and hours leave these records out.",
            )
        )
    if lines or not page.feeds:
        return tuple(lines)
    checks = f" {_all(rules, 'check')} of this page ran." if rules else ""
    were = words.were(read)
    return (
        State(
            Mark.CHECKED,
            f"{_all(len(page.feeds), 'kind')} of file this page uses arrived.{checks} "
            f"{_all(read, 'record')} {were} accepted.",
        ),
    )


def _all(count: int, thing: str) -> str:
    return f"{'The' if count == 1 else 'All'} {words.counted(count, thing)}"


def _in(values: tuple[str, ...]) -> str:
    return "(" + ", ".join(literal(v) for v in values) + ")"


def _absent_feeds(warehouse: Warehouse, page: Page) -> list[State]:
    arrived = {
        str(row[0])
        for row in warehouse.rows("select distinct feed from raw.files where set_aside is null")
    }
    return [
        State(
            Mark.NOT_CHECKED,
            f"No file of {words.plain(name)} arrived. What would come from it is missing here, "
            "not zero.",
        )
        for name in page.feeds
        if name not in arrived
    ]


def _set_aside(warehouse: Warehouse, page: Page) -> list[State]:
    """Files that came and could not be read at all; one of an unknown kind concerns every page."""
    if not page.feeds:
        return []
    rows = warehouse.rows(
        "select file_name, set_aside from raw.files where set_aside is not null "
        f"and (feed is null or feed in {_in(page.feeds)}) order by file_name"
    )
    return [
        State(Mark.NOT_CHECKED, words.cut(f"The file {name} was set aside whole: {why}"))
        for name, why in rows
    ]


def _unchecked(warehouse: Warehouse, page: Page) -> tuple[list[State], int]:
    if not page.families:
        return [], 0
    states = warehouse.rows(
        "select rule_code, why, state = 'not checked' from marts.rule_states "
        f"where family in {_in(page.families)} order by rule_code"
    )
    unchecked = [(str(code), str(why or "")) for code, why, is_unchecked in states if is_unchecked]
    if not unchecked:
        return [], len(states)
    named = "; ".join(
        f"{words.plain(code)} ({why.rstrip('.')})" if why else words.plain(code)
        for code, why in unchecked[:4]
    )
    where = "below" if page.slug == "data_quality" else "on the data quality page"
    rest = f"; and {len(unchecked) - 4} more {where}" if len(unchecked) > 4 else ""
    return [
        State(
            Mark.NOT_CHECKED,
            f"{len(unchecked)} of {words.counted(len(states), 'check')} of this page could not "
            f"run: {named}{rest}.",
        )
    ], len(states)


def _held(warehouse: Warehouse, page: Page) -> tuple[int, int]:
    if not page.feeds:
        return 0, 0
    # A page about every file counts decisions and house rules too.
    uses_all = set(page.feeds) >= set(GROUP_FEEDS)
    row = warehouse.rows(
        "select coalesce(sum(held_back + unreadable), 0)::bigint, "
        "coalesce(sum(records_read), 0)::bigint from quality.file_accounts "
        f"where {GIVEN if uses_all else f'feed in {_in(page.feeds)}'}"
    )[0]
    return int(str(row[0])), int(str(row[1]))
