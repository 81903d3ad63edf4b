"""From party to party: how many handovers, and how many of them both sides signed."""

from datetime import timedelta

from pipelines.feeds.declare import PARTY_KINDS
from reports import words
from reports.listings.custody import WEEKS_SHOWN
from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing, mart
from reports.warehouse import Warehouse, literal

#: Parties in the order of a person's way: outside keepers, ours, then where the way ends.
_WAY = """case {0} when 'place of death' then 0 when 'hospital' then 1 when 'residence' then 2
    when 'care_facility' then 3 when 'medical_examiner' then 4 when 'funeral_home' then 5
    when 'carrier' then 7 when 'crematory' then 8 when 'cemetery' then 9 when 'institution' then 10
    when 'family' then 11 when 'other' then 12 else 6 end"""
#: More takers than this do not fit across a sheet of paper.
_MOST_TAKERS = 8
_NONE = State(Mark.NOT_APPLICABLE, "No handover in these weeks.")


def handovers(warehouse: Warehouse) -> tuple[Listing, ...]:
    """The matrix, and the pairs where a side is missing."""
    moves = _moves(warehouse)
    takers = [
        str(row[0])
        for row in warehouse.rows(
            f"with {moves} select taker from moves where taker is not null group by taker "
            f"order by count(*) desc, taker limit {_MOST_TAKERS}"
        )
    ]
    order = {name: place for place, name in enumerate(warehouse.places)}
    takers.sort(key=lambda name: (order.get(name, len(order)), name))
    unsigned = warehouse.count(f"with {moves} select count(*) from moves where handover <> 'both'")
    matrix = _matrix(warehouse, moves, takers)
    return (matrix, _pairs(warehouse, moves)) if unsigned else (matrix,)


def _moves(warehouse: Warehouse) -> str:
    since = literal(warehouse.as_of - timedelta(weeks=WEEKS_SHOWN))
    return f"""legs as (
    select party_id, handover, started_at, ended_at, released_to, release_handover,
        lag(party_id) over (partition by case_number order by leg_number) as party_before
    from marts.custody_legs
),
moves as (
    select coalesce({_kind(warehouse, "party_before")}, 'place of death') as giver,
        {_kind(warehouse, "party_id")} as taker, handover
    from legs
    where started_at >= {since} and handover <> 'no handover'
    union all
    select {_kind(warehouse, "party_id")} as giver, {_kind(warehouse, "released_to")} as taker,
        release_handover as handover
    from legs
    where ended_at >= {since} and release_handover is not null
)"""


def _kind(warehouse: Warehouse, party: str) -> str:
    """SQL: a place of ours by its code, an outside party by its kind; of no declared kind: other.
    """
    ours = ", ".join(literal(place) for place in warehouse.places) or "''"
    kinds = ", ".join(literal(kind) for kind in PARTY_KINDS)
    return (
        f"case when {party} is null then null when {party} in ({ours}) then {party} "
        f"when contains({party}, ':') and split_part({party}, ':', 1) in ({kinds}) "
        f"then split_part({party}, ':', 1) else 'other' end"
    )


def _matrix(warehouse: Warehouse, moves: str, takers: list[str]) -> Listing:
    cells = "".join(f",\n    {_cell(taker)} as to_{n}" for n, taker in enumerate(takers))
    both = "100.0 * count(*) filter (where handover = 'both') / count(*)"
    sql = f"""with {moves}
select giver, count(*) as all_takers,
    cast(count(*) filter (where handover = 'both') as double) / count(*) as share_both{cells}
from moves
group by giver
order by {_WAY.format("giver")}, giver"""
    row = warehouse.rows(f"with {moves} select count(*), {both}{cells} from moves")[0]
    names = ("all_takers", "share_both", *(f"to_{n}" for n in range(len(takers))))
    shown = (words.number(int(str(row[0]))),
             *(() if row[1] is None else (words.number(float(str(row[1]))),)),
             *(str(cell or "0") for cell in row[2:]))  # fmt: skip
    return Listing(
        "handover-map",
        f"From party (rows) to party (columns), last {WEEKS_SHOWN} weeks",
        sql,
        (
            Column("giver", "From", Kind.PLACE),
            Column("all_takers", "All", Kind.NUMBER),
            Column("share_both", "Both sides (%)", Kind.SHARE),
            *(
                Column(f"to_{n}", f"To {words.plain(warehouse.name_of(taker))}", Kind.PRICE,
                       empty="0")
                for n, taker in enumerate(takers)
            ),
        ),
        source=mart("custody_legs"),
        none=_NONE,
        note="Handovers of people into our care, within it and out of it, and in brackets those "
        "that both sides signed. Outside parties are counted by kind (hospital, cemetery, family); "
        "other: of no kind that is declared. Remains given out unsigned are findings.",
        totals=tuple(zip(names, shown, strict=True)) if row[0] else (),
    )  # fmt: skip


def _cell(taker: str) -> str:
    of = f"where taker = {literal(taker)}"
    return (
        f"nullif(count(*) filter ({of})::varchar || ' (' || "
        f"count(*) filter ({of} and handover = 'both')::varchar || ')', '0 (0)')"
    )


def _pairs(warehouse: Warehouse, moves: str) -> Listing:
    sql = f"""with {moves}
select giver, taker, count(*) as handovers,
    count(*) filter (where handover = 'both') as both_sides,
    count(*) filter (where handover = 'one') as one_side,
    count(*) filter (where handover = 'none') as neither,
    cast(count(*) filter (where handover = 'both') as double) / count(*) as share_both
from moves
group by giver, taker
having count(*) filter (where handover <> 'both') > 0
order by share_both, giver, taker"""
    counts = ("handovers", "both_sides", "one_side", "neither")
    return Listing(
        "handovers",
        "Pairs with a handover that is not signed by both, least signed first",
        sql,
        (
            Column("giver", "From", Kind.PLACE),
            Column("taker", "To", Kind.PLACE),
            Column("handovers", "Handovers", Kind.NUMBER),
            Column("both_sides", "Both sides", Kind.NUMBER),
            Column("one_side", "One side", Kind.NUMBER),
            Column("neither", "Neither", Kind.NUMBER),
            Column("share_both", "Both sides (%)", Kind.SHARE),
        ),
        source=mart("custody_legs"),
        none=_NONE,
        totals=warehouse.totals(sql, dict.fromkeys(counts, 0)),
    )
