"""The shipped reference tables: lawful in their own contract, cited, and as published."""

from pathlib import Path

import polars as pl
import pytest

import validation
from pipelines.feeds import FEEDS
from pipelines.feeds.price_lists import SIXTEEN
from pipelines.feeds.reference import STEPS
from pipelines.feeds.supply_items import UNITS

FOLDER = Path(validation.__file__).parent / "reference"
REFERENCE = [f.name for f in FEEDS.values() if f.family == "reference"]


def read(name: str) -> pl.DataFrame:
    return pl.read_csv(FOLDER / f"{name}.csv", infer_schema=False)


@pytest.mark.parametrize("name", REFERENCE)
def test_shipped_table_passes_its_own_contract(court, name: str) -> None:
    text = (FOLDER / f"{name}.csv").read_text(encoding="utf-8")
    assert court.judge_text(name, text) == []
    rows = court.con.execute(f"select count(*) from accepted.{name}").fetchall()
    assert rows == [(read(name).height,)]


@pytest.mark.parametrize("name", REFERENCE)
def test_headings_are_the_declared_columns_and_keys_are_unique(name: str) -> None:
    frame = read(name)
    assert tuple(frame.columns) == FEEDS[name].column_names
    assert frame.select(FEEDS[name].key).is_unique().all()


@pytest.mark.parametrize("name", REFERENCE)
def test_every_row_says_where_it_is_from(name: str) -> None:
    frame = read(name)
    assert frame["citation"].str.strip_chars().str.len_chars().min() > 5 or name == "unit_factors"
    assert frame["citation"].null_count() == 0
    # What is from memory or our own never reads like a text that was looked up.
    assert not frame.filter(status="common practice")["citation"].str.contains("CFR|Stat|TAC").any()


def test_a_target_stands_for_each_step_and_an_unknown_step_is_told(court) -> None:
    shipped = (FOLDER / "step_targets.csv").read_text(encoding="utf-8")
    assert tuple(read("step_targets")["step_code"]) == STEPS
    said = court.judge_text("step_targets", shipped.replace("call_to_received", "call_to_recieved"))
    assert [(r.rule, r.column, r.value) for r in said] == [
        ("not_in_list", "step_code", "call_to_recieved")
    ]


def test_a_target_of_a_place_that_the_group_does_not_have_is_told(court) -> None:
    """It would be no home's, and nobody would hear of it."""
    shipped = (FOLDER / "step_targets.csv").read_text(encoding="utf-8")
    said = court.judge_text("step_targets", shipped.replace("(group)", "ALDR", 1))
    assert [(r.rule, r.column, r.value) for r in said] == [
        ("unknown_location", "location_id", "ALDR")
    ]


def test_the_models_measure_the_declared_steps(demo) -> None:
    measured = demo.execute("select distinct step_code from marts.case_steps").fetchall()
    assert {code for (code,) in measured} == set(STEPS)


def test_an_unknown_kind_of_exposure_limit_is_told(court) -> None:
    shipped = (FOLDER / "exposure_limits.csv").read_text(encoding="utf-8")
    said = court.judge_text("exposure_limits", shipped.replace("short_term", "ceiling"))
    assert [(r.rule, r.column, r.value) for r in said] == [("not_in_list", "limit_kind", "ceiling")]


def limit(jurisdiction: str, kind: str) -> tuple[str, str]:
    row = read("jurisdiction_limits").filter(jurisdiction=jurisdiction, limit_kind=kind)
    return row["starts_at"].item(), row["hours"].item()


@pytest.mark.parametrize(
    ("jurisdiction", "kind", "starts_at", "hours"),
    [
        ("US-TX", "preservation", "death", "24"),  # 25 TAC 181.4
        ("US-TX", "cremation_wait", "death", "48"),  # Tex. H&S 716.004
        ("US-TX", "certificate_filing", "death", str(10 * 24)),  # Tex. H&S 193.003(a): 10th day
        ("US-TX", "unclaimed_remains", "cremated", str(120 * 24)),  # Tex. H&S 716.302(c)
        ("US-CO", "preservation", "received", "24"),  # 5 CCR 1006-1, section 8.4
        ("US-CO", "certificate_filing", "received", "72"),  # C.R.S. 25-2-110(1)(a)
        ("US-CO", "unclaimed_remains", "cremated", str(180 * 24)),  # C.R.S. 12-135-302(2)
        ("US-FL", "permit_within", "death", str(5 * 24)),  # Fla. Stat. 382.006
        ("US-OR", "holding", "received", str(20 * 24)),  # OAR 830-030-0010
        ("US-IL", "cremation_wait", "death", "24"),  # 410 ILCS 18/35(a)
    ],
)
def test_limits_are_those_of_the_cited_texts(jurisdiction, kind, starts_at, hours) -> None:
    assert limit(jurisdiction, kind) == (starts_at, hours)


@pytest.mark.parametrize(
    ("jurisdiction", "hours", "cremated_within"),
    [
        ("US-CA", "2", "24"),  # Cal. H&S 8346: within two hours, unless cremated within 24
        ("US-MD", "48", None),  # COMAR 09.34.08.05: cremated within 48 hours, else kept cold
    ],
)
def test_cold_at_a_crematory_is_a_law_of_crematories_alone(
    jurisdiction, hours, cremated_within
) -> None:
    row = read("jurisdiction_limits").filter(jurisdiction=jurisdiction, limit_kind="preservation")
    columns = ("place_kind", "hours", "cremated_within_hours")
    assert row.select(columns).row(0) == ("crematory", hours, cremated_within)


def test_price_list_has_the_sixteen_items_in_the_order_of_the_rule() -> None:
    # 16 CFR 453.2(b)(4)(ii)-(iii): sixteen items, thirteen in (ii) and three in (iii).
    frame = read("price_list_items")
    assert tuple(frame["category"]) == SIXTEEN
    assert frame["item_number"].to_list() == [str(n) for n in range(1, 17)]
    letters = [f"(ii)({letter})" for letter in "ABCDEFGHIJKLM"]
    assert frame["paragraph"].to_list() == letters + [f"(iii)({letter})" for letter in "ABC"]


def test_wording_is_given_only_where_it_is_quoted_from_the_rule() -> None:
    frame = read("disclosures")
    assert frame.height == 10
    assert frame.filter(pl.col("wording").is_not_null())["citation"].str.contains("quoted").all()
    assert not frame.filter(pl.col("wording").is_null())["citation"].str.contains("quoted").any()


def test_exposure_limits_are_those_of_the_federal_standard() -> None:
    # 29 CFR 1910.1048(b), (c)(1), (c)(2).
    limits = {r["limit_kind"]: (r["limit_ppm"], r["minutes"])
              for r in read("exposure_limits").to_dicts()}  # fmt: skip
    assert limits == {"eight_hour": ("0.75", "480"), "short_term": ("2", "15"),
                      "action_level": ("0.5", "480")}  # fmt: skip


def test_units_have_factors_that_agree_with_each_other() -> None:
    factors = {r["unit"]: float(r["factor"]) for r in read("unit_factors").to_dicts()}
    assert set(factors) == set(UNITS)
    # US customary volume: 16 fl oz a pint, 2 pints a quart, 4 quarts a gallon; 16 oz a pound.
    assert factors["pint"] == pytest.approx(16 * factors["fl_oz"], rel=1e-5)
    assert factors["quart"] == pytest.approx(2 * factors["pint"], rel=1e-6)
    assert factors["gal"] == pytest.approx(4 * factors["quart"], rel=1e-6)
    assert factors["lb"] == pytest.approx(16 * factors["oz"], rel=1e-5)
    # The inch is 2.54 cm and the US gallon 231 cubic inches, so a gallon is 3785.411784 mL.
    assert factors["gal"] == pytest.approx(231 * 2.54**3, abs=5e-5)
