"""Two judges of a chain, written apart, agree: the contract (polars) and the models (SQL).

Every case of the demo group has its custody record damaged in one of seven ways; the run itself
carries the data tests that compare the contract's first break with the gaps, and that no accepted
chain has one.
"""

import shutil
from pathlib import Path

import duckdb
import pytest

from pipelines.command.demo import AS_OF, DROP
from pipelines.run.pipeline import RunRequest, run_pipeline

#: The damage of a case follows from a hash of its number, the damaged event from a hash of its own.
_DAMAGE = """
copy (
    with numbered as (
        select *, hash(case_number) % 7 as damage,
            row_number() over (partition by case_number order by hash(event_id)) as lot
        from read_csv(?, all_varchar = true)
    ),
    damaged as (
        select * replace (
            case when damage = 1 and lot = 1 and from_party is not null then 'funeral_home:OTHER'
                else from_party end as from_party,
            case when damage = 2 and lot <= 3 and place_id is not null then 'BIRCH'
                else place_id end as place_id,
            case when damage = 3 and lot = 1
                then strftime(cast(occurred_at as timestamptz) - interval '9 hour',
                    '%Y-%m-%dT%H:%M:%SZ')
                else occurred_at end as occurred_at,
            case when damage = 4 and lot = 1 then 'stored'
                when damage = 6 and lot = 1 then 'band_attached' else action end as action,
            case when damage in (5, 6) and lot = 1 then 'LS-OTHER' else band_number end
                as band_number,
            case when damage = 6 and lot = 1 then '3' else identifiers_matched end
                as identifiers_matched,
            case when damage = 6 and lot = 1 then 'staff-2' else second_checker end
                as second_checker
        )
        from numbered
        where not (damage = 0 and lot = 1)
    )
    select * exclude (damage, lot) from damaged order by event_id
) to '{target}' (header, delimiter ',')
"""


@pytest.fixture(scope="module")
def warehouse(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The damaged drop, run; a data test that fails raises here and shows its rows."""
    folder = tmp_path_factory.mktemp("damaged")
    drop = Path(shutil.copytree(DROP, folder / "drop"))
    (events,) = drop.glob("custody_events-*.csv")
    with duckdb.connect() as con:
        con.execute("set timezone = 'UTC'")
        con.execute(_DAMAGE.format(target=events), [str(DROP / events.name)])
    run_pipeline(RunRequest(drop, folder / "warehouse.duckdb", None, AS_OF))
    return folder / "warehouse.duckdb"


def test_each_kind_of_break_was_made_and_found(warehouse: Path) -> None:
    with duckdb.connect(str(warehouse), read_only=True) as con:
        breaks = dict(
            con.execute(
                "select rule_code, count(*) from quality.rejects "
                "where rule_code like 'chain%' group by rule_code"
            ).fetchall()
        )
        gaps = dict(
            con.execute(
                "select gap_kind, count(distinct case_number) from marts.custody_gaps group by 1"
            ).fetchall()
        )
    for rule, kind, least in (
        ("chain_party_break", "party", 20),
        ("chain_place_break", "place", 80),
        ("chain_not_opened", "not opened", 10),
        ("chain_after_disposition", "after disposition", 5),
        ("chain_band_mismatch", "band", 20),
    ):
        assert gaps[kind] >= breaks[rule] >= least, rule


def test_everyone_of_a_damaged_record_is_still_in_the_census(warehouse: Path) -> None:
    with duckdb.connect(str(warehouse), read_only=True) as con:
        counted, not_proven = con.execute(
            "select count(*), count(*) filter (custody_status = 'not proven') "
            "from marts.custody_cases"
        ).fetchall()[0]
        named = con.execute("select count(*) from accepted.cases").fetchall()[0][0]
    assert counted >= named
    assert not_proven > 150
