"""A home whose own record is held back is still a home with people in it."""

import shutil
from pathlib import Path

from pipelines.command.demo import AS_OF, DROP
from pipelines.run.database import reading
from pipelines.run.pipeline import RunRequest, run_pipeline

#: What stands for a place in each of these does not rest on the kind that its record says.
SAME = {
    "location_comparison": "location_id, case_count, open_count, findings_critical",
    "weekly_flow": "*",
    "census": "case_number, location_id, place_id, certainty",
    "price_list_in_force": "*",
}


def test_no_total_loses_a_home_whose_record_is_held_back(tmp_path: Path, demo) -> None:
    drop = Path(shutil.copytree(DROP, tmp_path / "drop"))
    places = drop / "locations-2026-11-16.csv"
    text = places.read_text(encoding="utf-8")
    assert text.count("Alder Street Home,funeral_home") == 1
    places.write_text(text.replace("Home,funeral_home", "Home,funeral home", 1), encoding="utf-8")
    run_pipeline(RunRequest(drop, tmp_path / "w.duckdb", None, AS_OF))
    with reading(tmp_path / "w.duckdb") as con:
        held = con.execute(
            "select location_id, location_kind, is_held from marts.location_comparison "
            "where is_held"
        ).fetchall()
        assert held == [("ALDER", None, True)]
        for mart, columns in SAME.items():
            sql = f"select {columns} from marts.{mart} order by all"
            assert con.execute(sql).fetchall() == demo.execute(sql).fetchall(), mart
