"""What a build does without: dbt's messages and files of SQL, never a warning."""

from pathlib import Path

from dbt.adapters.events.types import AdapterEventError, NewConnection
from dbt.contracts.graph.nodes import ParsedNode
from dbt.events.types import DeprecatedModel
from dbt_common.events.base_types import BaseEvent

from pipelines.run.quiet import quiet_build


def _deprecated() -> BaseEvent:
    return DeprecatedModel(model_name="old", model_version="1", deprecation_date="2026-01-01")


def test_a_warning_keeps_its_words_and_an_event_that_nobody_hears_has_none() -> None:
    heard = _deprecated().message()
    with quiet_build():
        assert _deprecated().message() == heard
        assert AdapterEventError(name="x", base_msg="lost").base_msg == "lost"
        assert NewConnection(conn_name="master", conn_type="duckdb").conn_name == ""
    assert NewConnection(conn_name="master", conn_type="duckdb").conn_name == "master"


def test_no_file_of_sql_is_written_and_afterwards_dbt_is_as_it_was(tmp_path: Path) -> None:
    write_node = ParsedNode.write_node
    with quiet_build():
        ParsedNode.write_node(None, str(tmp_path), "node.sql", "select 1")  # type: ignore[arg-type]
    assert not list(tmp_path.iterdir())
    assert ParsedNode.write_node is write_node
