"""Each audience's folder can be handed out alone; nothing in it is fetched, inline or too large."""

import re
import stat
from html import unescape
from importlib.resources import files
from pathlib import Path
from urllib.parse import unquote

import pytest

from reports.audiences import AUDIENCES
from reports.document import MOST_BYTES, MOST_ROWS
from tests.conftest import DemoRun
from tests.reports.conftest import Site

_LINK = re.compile(r'(?:href|src)="([^"]*)"')


@pytest.mark.parametrize("audience", sorted(AUDIENCES))
def test_every_link_leads_to_a_file_inside_the_folder(demo_run: DemoRun, audience: str) -> None:
    root = (demo_run.site / audience).resolve()
    seen = 0
    for page in sorted(root.rglob("*.html")):
        html = page.read_text(encoding="utf-8")
        ids = set(re.findall(r'\sid="([^"]+)"', html))
        for link in _LINK.findall(html):
            if link.startswith("#"):
                assert link[1:] in ids, (page, link)
                continue
            if link == "data:,":
                continue
            target = (page.parent / unquote(link)).resolve()
            assert target.is_relative_to(root), (page, link)
            assert target.is_file(), (page, link)
            seen += 1
    assert seen > 3


def test_the_front_page_leads_to_each_audience(demo_run: DemoRun) -> None:
    html = (demo_run.site / "index.html").read_text(encoding="utf-8")
    for audience in AUDIENCES:
        assert f'href="{audience}/index.html"' in html


def test_no_page_has_inline_script_style_or_an_outside_address(demo_run: DemoRun) -> None:
    for page in sorted(demo_run.site.rglob("*.html")):
        html = page.read_text(encoding="utf-8")
        assert "default-src 'none'" in unescape(html), page
        assert "unsafe-eval" not in html, page
        for attributes, _ in re.findall(r"<script([^>]*)>(.*?)</script>", html, re.S):
            assert "src=" in attributes or 'type="application/json"' in attributes, page
        outside_json = re.sub(r"<script[^>]*json.*?</script>", "", html, flags=re.S)
        assert not re.search(r"\s(style|on\w+)=", re.sub(r"<bdi>.*?</bdi>", "", outside_json)), page
        assert not re.search(r'(href|src)="(https?:)?//', html), page
        assert "<style" not in outside_json, page


def test_the_public_folder_holds_price_lists_and_nothing_else(demo_run: DemoRun) -> None:
    root = demo_run.site / "public"
    names = {path.name for path in root.glob("*.html")}
    assert names == {
        "index.html", "price_lists.html",
        *(name for name in names if re.fullmatch(r"prices-[A-Z]+\.html", name)),
    }  # fmt: skip
    assert len(names) == 5
    assert not (root / "assets" / "plotly.min.js").exists()
    for page in root.glob("*.html"):
        html = page.read_text(encoding="utf-8")
        assert "Have counsel review" in html or page.name == "index.html"
        assert "finding" not in html


def test_a_price_list_carries_its_disclosures_whole_and_its_home(demo_run: DemoRun) -> None:
    html = (demo_run.site / "public" / "prices-ALDER.html").read_text(encoding="utf-8")
    # 16 CFR 453.3(a)(2)(ii), quoted in full.
    assert (
        "Except in certain special cases, embalming is not required by law. Embalming may be "
        "necessary, however, if you select certain funeral arrangements, such as a funeral with "
        "viewing. If you do not want embalming, you usually have the right to choose an "
        "arrangement that does not require you to pay for it, such as direct cremation or "
        "immediate burial."
    ) in html
    # 16 CFR 453.2(b)(4)(i)(C): name, address, telephone, caption, effective date.
    for text in ("Alder Street Home", "General price list, effective 1 August 2026", "Telephone"):
        assert text in html


def test_each_folder_with_charts_has_the_one_plotly_script_of_the_package(
    demo_run: DemoRun,
) -> None:
    bundle = (files("plotly") / "package_data" / "plotly.min.js").read_bytes()
    copies = sorted(demo_run.site.rglob("plotly.min.js"))
    assert [path.parent.parent.name for path in copies] == [
        "accounts", "compliance", "operations", "owner",
    ]  # fmt: skip
    assert all(path.read_bytes() == bundle for path in copies)


def test_no_page_is_larger_than_its_budget(demo_run: DemoRun) -> None:
    for page in sorted(demo_run.site.rglob("*.html")):
        html = page.read_text(encoding="utf-8")
        assert len(html.encode()) <= MOST_BYTES, page
        rows = sum(body.count("<tr") for body in re.findall(r"<tbody>.*?</tbody>", html, re.S))
        assert rows <= MOST_ROWS, page
        assert html.count("data-chart=") <= 6, page


def test_a_page_with_very_long_text_shows_fewer_rows_and_says_so(
    small: Site, tmp_path: Path
) -> None:
    import shutil  # noqa: PLC0415

    import duckdb  # noqa: PLC0415

    from reports import publish  # noqa: PLC0415
    from tests.reports.small_warehouse import AS_OF  # noqa: PLC0415

    warehouse = tmp_path / "long.duckdb"
    shutil.copyfile(small.warehouse, warehouse)
    with duckdb.connect(str(warehouse)) as connection:
        connection.execute(
            "insert into marts.findings select f.* replace (md5(i::varchar) as finding_key, "
            "100 + i as finding_number, repeat('<&\"long> ', 900) as detail, "
            "repeat('said ', 500) as says, repeat('&', 3000) as mend) "
            "from marts.findings as f, range(200) as r(i) where rule_code = 'permit_missing'"
        )
    publish(warehouse, tmp_path / "site", as_of=AS_OF)
    page = tmp_path / "site" / "compliance" / "findings.html"
    assert page.stat().st_size <= MOST_BYTES
    assert re.search(r"The first \d+ of 403 rows; the download has all.", page.read_text("utf-8"))


def test_files_are_closed_to_the_world(demo_run: DemoRun) -> None:
    for path in (demo_run.site, *demo_run.site.rglob("*")):
        mode = stat.S_IMODE(path.stat().st_mode)
        assert mode == (0o750 if path.is_dir() else 0o640), path
