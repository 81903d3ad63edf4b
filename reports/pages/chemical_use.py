"""How much formaldehyde each embalming took, and what the air samples say."""

from datetime import date, timedelta

from reports import words
from reports.audiences import COMPLIANCE, OPERATIONS, Audience
from reports.cautions import CHEMICALS
from reports.charts.figure import OPENS, Chart, Head
from reports.charts.panels import Series, panel_chart
from reports.content import Block, Content, Page, Section, links_to
from reports.listings.chemicals import WEEKS_SHOWN, cases_table, samples_table, weeks_table
from reports.listings.findings import family_table
from reports.listings.goods import OF_CHEMICALS
from reports.marks import Mark, worst
from reports.titles import Title, When, say
from reports.warehouse import Warehouse, literal

PAGE = Page(
    slug="chemical_use",
    name="Chemical use",
    question="How much fluid per embalming, and is the air within its limits?",
    audiences=(OPERATIONS, COMPLIANCE),
    marts=("marts.chemical_use_by_week", "marts.chemical_use_by_case", "marts.air_samples"),
    feeds=("cases", "custody_events", "supply_items", "supply_movements", "air_samples"),
    families=("chemicals",),
    order=40,
)

_OPEN = f"select severity from marts.findings where {OF_CHEMICALS}"


def build(warehouse: Warehouse, audience: Audience) -> Content:
    week = _last_week(warehouse)
    unchecked = warehouse.count(
        "select count(*) from marts.rule_states where family = 'chemicals' and state = 'not "
        "checked'"
    )
    marks = [
        Mark(str(row[0])) for row in warehouse.rows(f"select distinct severity from ({_OPEN})")
    ]
    if unchecked:
        marks.append(Mark.NOT_CHECKED)
    pages = {m: f"chemical_use/{words.week_label(m)}.html" for m in _mondays(warehouse)}
    sheets = {path: _week_sheet(warehouse, monday) for monday, path in reversed(pages.items())}
    used: list[Block] = [
        *_chart(warehouse, pages), weeks_table({str(m): path for m, path in pages.items()}),
        links_to(sheets),
    ]  # fmt: skip
    if week:
        used.append(cases_table(week))
    return Content(
        _title(warehouse, week),
        "Grams of formaldehyde issued from stock, all places; intact and autopsied cases apart.",
        worst(marks),
        (
            Section("What to look at", (family_table(
                warehouse, ("chemicals",), "Findings about chemicals and air", OF_CHEMICALS
            ),)),
            Section("Use per case", tuple(used)),
            Section("Air samples", (samples_table(warehouse),)),
        ),
        definitions=_DEFINITIONS,
        cautions=CHEMICALS,
        children=sheets,
    )  # fmt: skip


def _week_sheet(warehouse: Warehouse, monday: date) -> Content:
    """The cases behind the marks of one week."""
    return Content(
        _title(warehouse, monday),
        "Each case with fluid or an embalming in this week; a mark of the picture is the grams of "
        "its kind of case at its place over their number.",
        Mark.INFO,
        (Section("Cases", (cases_table(monday),)),),
        definitions=_DEFINITIONS,
        cautions=CHEMICALS,
    )


def _mondays(warehouse: Warehouse) -> list[date]:
    """The newest weeks with use, oldest first."""
    rows = warehouse.rows(
        "select distinct week_start from marts.chemical_use_by_week where week_start is not null "
        f"order by week_start desc limit {WEEKS_SHOWN}"
    )
    return sorted(row[0] for row in rows if isinstance(row[0], date))


def _last_week(warehouse: Warehouse) -> date | None:
    """The last week that was over at the as-of time and had fluid issued."""
    today = words.local(warehouse.as_of, warehouse.zone).date()
    value = warehouse.scalar(
        "select max(week_start) from marts.chemical_use_by_week "
        f"where week_start <= {literal(today - timedelta(days=7))}"
    )
    return value if isinstance(value, date) else None


def _title(warehouse: Warehouse, week: date | None) -> Title:
    if week is None:
        return say("No fluid was issued in a complete week, so no use is given")
    row = f"from marts.chemical_use_by_week where week_start = {literal(week)}"
    missing = warehouse.count(
        f"select coalesce(sum(movements_not_counted), 0)::bigint {row}"
    )
    return say(
        "{n} and {least}{grams} g of formaldehyde issued in the {week}",
        n=warehouse.fact(
            f"select sum(embalmings_intact + embalmings_autopsied)::bigint {row}",
            lambda v: words.counted(v, "embalming"),
        ),
        week=When(words.week(week)),
        # What is in no sum would make it more.
        least="at least " if missing else "",
        grams=warehouse.fact(f"select sum(formaldehyde_g) {row}", words.number),
    )


def _chart(warehouse: Warehouse, pages: dict[date, str]) -> list[Chart]:
    rows = warehouse.rows(
        "select location_id, week_start, g_per_intact, g_per_autopsied, embalmings_intact + "
        "embalmings_autopsied from marts.chemical_use_by_week order by week_start, location_id"
    )
    mondays = list(pages)
    known = {(str(row[0]), row[1]): row for row in rows}
    used = {str(row[0]) for row in rows if row[1] in mondays and row[4]}
    places = [place for place in warehouse.places.values() if place.location_id in used]
    if not places:
        return []

    def values(column: int) -> dict[str, list[float | None]]:
        return {
            p.location_id: [known.get((p.location_id, m), (None,) * 5)[column] for m in mondays]  # type: ignore[misc]
            for p in places
        }

    head = Head(
        "per-case",
        "Formaldehyde per embalming, by place and week",
        f"Grams per case, last {len(mondays)} ISO weeks with use; the cases behind each mark are "
        "in the table.",
        "weeks",
        "Disc: intact cases. Open triangle: autopsied cases, which take more. Kinds are not mixed. "
        + OPENS,
    )
    return [
        panel_chart(
            head,
            mondays,
            [(p.location_id, p.name, p.slot) for p in places],
            [
                Series("intact", values(2), "circle"),
                Series("autopsied", values(3), "triangle-up-open"),
            ],
            "g per case",
            pages,
        )
    ]


_DEFINITIONS = (
    ("Formaldehyde (g)", "Concentrate issued to the case (mL) times the fluid's index over "
                         "100. The index is grams of formaldehyde per 100 mL (US federal item "
                         "descriptions A-A-52075, A-A-50170)."),
    ("Strength", "Grams over the finished volume, in g per 100 mL. Volume is that of the finished "
     "solution, not of the water added."),
    ("Without a case", "Fluid issued with no case named. It is in the total and in no case's "
                       "figure."),
    ("8-hour average", "Concentration times minutes over 480, always over 8 hours (29 CFR "
                       "1910.1000(d)(1)): of all samples of a worker's day, at whatever places, "
                       "minutes of two at once counted once. Limits: 29 CFR 1910.1048(b), (c). A "
                       "short-term limit is judged on the worst 15 minutes, not on this average."),
)  # fmt: skip
