"""Whether records of a chain are held back, and how sure it is where somebody is: two words."""

import re

import duckdb

from tests.conftest import DemoRun

_ITEM = re.compile(r"<dt>([^<]*)</dt><dd><bdi>([^<]*)</bdi></dd>")


def test_a_sheet_tells_records_and_certainty_in_words_of_their_own(demo_run: DemoRun) -> None:
    sheets = sorted((demo_run.site / "compliance" / "cases").glob("case-*.html"))
    told = [dict(_ITEM.findall(path.read_text(encoding="utf-8"))) for path in sheets]
    assert {facts["Records of the chain"] for facts in told} <= {"whole", "held back", "no events"}
    assert {facts["Custody: where and who, how sure"] for facts in told} <= {
        "proven", "not proven", "contradicted", "not in care"
    }  # fmt: skip


def test_no_sheet_says_of_the_same_thing_proven_and_not_proven(demo_run: DemoRun) -> None:
    for path in sorted((demo_run.site / "compliance" / "cases").glob("case-*.html")):
        page = re.sub(r"<[^>]+>", " ", path.read_text(encoding="utf-8"))
        head = page[page.index("Before moving") : page.index("Findings of the case")]
        says = set(re.findall(r"(?<!not )\bproven|not proven|contradicted", head))
        assert len(says & {"proven", "not proven"}) <= 1, path


def test_the_custody_page_speaks_of_records_and_leaves_certainty_to_the_census(
    demo_run: DemoRun,
) -> None:
    page = (demo_run.site / "operations" / "custody.html").read_text(encoding="utf-8")
    body = page[page.index("<h1>") : page.index("Definitions and sources")]
    assert "proven" not in re.sub(r"<[^>]+>", "", body)


def test_the_parts_of_what_is_held_back_add_up_to_the_whole(
    demo: duckdb.DuckDBPyConnection,
) -> None:
    parts = demo.execute(
        "select custody_status = 'not proven', held_kind, count(*) from marts.custody_cases "
        "group by all"
    ).fetchall()
    assert all((kind is not None) == is_held for is_held, kind, _ in parts)
    assert {kind for is_held, kind, _ in parts if is_held} == {
        "broken chain", "record of custody", "record of the case"
    }  # fmt: skip


def test_a_case_whose_one_record_is_held_back_is_no_broken_chain(
    demo: duckdb.DuckDBPyConnection,
) -> None:
    wrong = demo.execute(
        "select case_number from marts.custody_cases as c where (held_kind = 'broken chain') <> "
        "exists (select 1 from quality.rejects as r where r.case_number = c.case_number "
        "and r.rule_code = 'chain_held') and custody_status = 'not proven' "
        "and exists (select 1 from marts.custody_gaps as g where g.case_number = c.case_number)"
    ).fetchall()
    assert wrong == []
