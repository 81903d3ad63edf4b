"""Exports of suppliers' bills, read under settings: which of their lines count."""

from pipelines.feeds import FEEDS
from pipelines.load import find_files, load_drop
from pipelines.load.vanish import require_confirmed
from pipelines.load.versions import rank_versions
from pipelines.sources import Settings
from tests.pipelines.conftest import LOADED_AT, Bench
from validation.account import account_files
from validation.parse import parse_feed

BILLS = (
    "supplier_code,bill_number,line_number,bill_date,location_id,item_code,quantity,unit_cost,"
    "line_total\n"
)
FATES = (
    "select f.file_name, o.line, o.fate from quality.outdated o join raw.files f using (file_id) "
    "order by 1, 2"
)


def bill_settings(**part: str | int) -> Settings:
    files = {"files": ["bills_*"], **part}
    return Settings.model_validate(
        {"sources": {"stock": {"feeds": {"supplier_bill_lines": files}}}}
    )


FULL = bill_settings(slice="full")
MONTHLY = bill_settings(slice="period", period="%Y-%m")


def bill_line(number: int, day: str, cost: str = "1.00") -> str:
    return f"S,B1,{number},{day},ALDER,URN,1,{cost},{cost}\n"


def take(bench: Bench, settings: Settings, is_confirmed: bool = True) -> None:
    load_drop(bench.con, find_files(bench.drop, settings), LOADED_AT)
    for table in ("outdated", "changes", "rejects", "notes"):
        bench.con.execute(f"delete from quality.{table}")
    removals = rank_versions(bench.con, FEEDS["supplier_bill_lines"], settings)
    parse_feed(bench.con, FEEDS["supplier_bill_lines"], settings)
    account_files(bench.con)
    require_confirmed(bench.con, removals, settings, is_confirmed)


def counting(bench: Bench) -> list[object]:
    return [
        row[0]
        for row in bench.rows("select line_number from accepted.supplier_bill_lines order by all")
    ]
