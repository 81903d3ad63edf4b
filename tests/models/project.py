"""The dbt project run in this process, for tests: an empty warehouse, a build, a macro's value."""

import json
import os
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, cast

import duckdb

from pipelines.load import create_schemas
from pipelines.run.dbt import PROJECT
from validation.account import account_files
from validation.catalogue import catalogue
from validation.publish_rules import publish_rules

AS_OF = "2026-11-16 12:00:00"
FINDING_MODELS = sorted(rule.model for rule in catalogue().values() if rule.model)


def make_empty_warehouse(path: Path) -> None:
    """A warehouse with every table that the models read, and no record in any."""
    with duckdb.connect(str(path)) as con:
        create_schemas(con)
        account_files(con)
        publish_rules(con)


def run_dbt(warehouse: Path, arguments: Sequence[str], parsed: Any = None) -> Any:
    """What one dbt call on the warehouse gives. Raises RuntimeError if dbt itself fails.

    ``parsed`` is the result of an earlier ``parse``: without it every call reads the project anew.
    """
    from dbt.adapters.duckdb import DuckDBConnectionManager  # noqa: PLC0415  (takes seconds)
    from dbt.cli.main import dbtRunner  # noqa: PLC0415

    variables = json.dumps({"as_of": AS_OF, "finding_models": FINDING_MODELS})
    try:
        with _environment(warehouse):
            outcome = dbtRunner(manifest=parsed).invoke(
                ["--quiet", *arguments, "--project-dir", str(PROJECT),
                 "--profiles-dir", str(PROJECT), "--no-partial-parse", "--vars", variables]
            )  # fmt: skip
    finally:
        DuckDBConnectionManager.close_all_connections()
    if outcome.exception is not None:
        raise RuntimeError(str(outcome.exception))
    return outcome.result


def inline_rows(warehouse: Path, sql: str, parsed: Any) -> list[tuple[Any, ...]]:
    """Rows of SQL that uses the project's macros, compiled by dbt and run on the warehouse."""
    results = list(run_dbt(warehouse, ["compile", "--inline", sql], parsed))
    with duckdb.connect(str(warehouse)) as con:
        con.execute("set timezone = 'UTC'")
        return con.execute(results[0].node.compiled_code).fetchall()


def manifest(warehouse: Path) -> dict[str, Any]:
    """The manifest that the newest dbt call on the warehouse wrote."""
    text = (warehouse.parent / "target" / "manifest.json").read_text(encoding="utf-8")
    return cast(dict[str, Any], json.loads(text))


@contextmanager
def _environment(warehouse: Path) -> Iterator[None]:
    ours = {
        "LEDGERSTONE_WAREHOUSE": str(warehouse),
        "DBT_TARGET_PATH": str(warehouse.parent / "target"),
        "DBT_LOG_PATH": str(warehouse.parent / "logs"),
        "DBT_SEND_ANONYMOUS_USAGE_STATS": "false",
        "DO_NOT_TRACK": "1",
    }
    before = {name: os.environ.get(name) for name in ours}
    os.environ.update(ours)
    try:
        yield
    finally:
        for name, value in before.items():
            if value is None:
                os.environ.pop(name, None)
            else:
                os.environ[name] = value
