"""Choose a case for each plant, make its changes, and write what must come of them in the key."""

from collections.abc import Iterable

import duckdb

from pipelines.demo_group.plants.plant import Plant


def sow(con: duckdb.DuckDBPyConnection, plants: Iterable[Plant]) -> None:
    """Sow the plants in order; each takes the first case that fits and that no plant has yet.

    LookupError when no case is left, with the plants that took those that fit: one of them must ask
    for less, or for others.
    """
    for plant in plants:
        chosen = _choose(con, plant)
        for change in plant.changes:
            con.execute(_filled(change, chosen))
        _write_key(con, plant, chosen)


def _choose(con: duckdb.DuckDBPyConnection, plant: Plant) -> dict[str, str]:
    if not plant.where:
        return {}
    second = ", profiles as q" if plant.is_pair else ""
    other = "q.case_number" if plant.is_pair else "''"
    free = "p.taken_by is null" + (
        " and q.taken_by is null and p.case_number <> q.case_number" if plant.is_pair else ""
    )
    rows = con.execute(
        f"select p.case_number, {other}, p.home from profiles as p{second} "
        f"where {free} and ({plant.where}) order by {plant.order_by}, 1, 2 limit 1"
    ).fetchall()
    if not rows:
        takers = con.execute(
            f"select distinct coalesce(p.taken_by, 'the other of the pair') from profiles as p{second} "
            f"where {plant.where} order by 1"
        ).fetchall()
        fitting = "; ".join(taker for (taker,) in takers) or "nobody: no case fits"
        raise LookupError(
            f"no case left for {plant.rule_code}, {plant.expected}: {plant.note}. "
            f"Those that fit were taken by {fitting}."
        )
    case, other_case, home = rows[0]
    con.execute(
        "update profiles set taken_by = ? where case_number in (?, ?)",
        [f"{plant.rule_code} ({plant.expected}: {plant.note})", case, other_case],
    )
    return {"{case}": case, "{other}": other_case, "{home}": home}


def _filled(text: str, chosen: dict[str, str]) -> str:
    for name, value in chosen.items():
        text = text.replace(name, value)
    return text


def _write_key(con: duckdb.DuckDBPyConnection, plant: Plant, chosen: dict[str, str]) -> None:
    name = f"{plant.rule_code}-{plant.expected}"
    key = plant.record_key
    if key.startswith("("):
        key = con.execute(f"select {_filled(key, chosen)}").fetchall()[0][0]
        if key is None:
            raise LookupError(f"no record to name for {name}: {plant.note}")
    case = plant.case_number if chosen or "{" not in plant.case_number else ""
    effects = [(plant.rule_code, case, key, plant.expected)]
    effects += [(e.rule_code, e.case_number, e.record_key, "found") for e in plant.also]
    con.executemany(
        "insert into answer_key values (?, nullif(?, ''), nullif(?, ''), ?, ?, ?)",
        [
            (rule, _filled(of_case, chosen), _filled(record, chosen), expected, name, plant.note)
            for rule, of_case, record, expected in effects
        ],
    )
    for of_case, event in plant.breaks_chain:
        con.execute(
            "insert into answer_key select 'chain_held', case_number, event_id, 'found', ?, ? "
            "from custody_events where case_number = ? and event_id <> ?",
            [name, plant.note, _filled(of_case, chosen), _filled(event, chosen)],
        )
