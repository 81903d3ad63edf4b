"""Personal names stand only where the task needs them."""

import duckdb
import polars as pl
import pytest

from tests.conftest import DemoRun
from tests.reports.conftest import Site
from tests.reports.small_warehouse import NAMES

#: Audiences whose pages carry no personal name.
NAMELESS = ("owner", "accounts", "public")


@pytest.mark.parametrize("audience", NAMELESS)
def test_no_name_of_the_small_site_is_on_a_page_or_in_a_file(small: Site, audience: str) -> None:
    for path, text in small.texts(audience).items():
        for name in NAMES:
            assert name not in text, path
        assert "onerror" not in text, path


@pytest.mark.parametrize("audience", NAMELESS)
def test_no_personal_column_is_in_a_parquet_file(small: Site, audience: str) -> None:
    for path in sorted((small.folder / audience).rglob("*.parquet")):
        columns = set(pl.read_parquet_schema(path))
        assert not columns & {"family_name", "given_name", "value", "record_key"}, path


def test_operations_and_compliance_do_see_names(small: Site) -> None:
    for audience in ("operations", "compliance"):
        assert any("Testfamily" in text for text in small.texts(audience).values())


@pytest.mark.parametrize("audience", NAMELESS)
def test_no_name_of_the_demo_is_on_a_page_or_in_a_file(
    demo_run: DemoRun, demo: duckdb.DuckDBPyConnection, audience: str
) -> None:
    rows = demo.execute(
        "select distinct family_name from raw.cases where length(trim(family_name)) > 3 "
        "and family_name not in (select location_name from raw.locations)"
    ).fetchall()
    names = {str(row[0]).strip() for row in rows}
    assert len(names) > 20
    texts = Site(demo_run.warehouse, demo_run.site, []).texts(audience)
    assert texts
    for path, text in texts.items():
        found = {name for name in names if name in text}
        assert not found, (path, found)
