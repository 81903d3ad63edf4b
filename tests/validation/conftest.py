"""A small warehouse in memory in which records are judged, written as text or typed."""

import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import duckdb
import polars as pl
import pytest

import validation.catalogue
from pipelines.feeds import FEEDS, feed
from pipelines.load import create_schemas, find_files, load_drop
from pipelines.load.versions import rank_versions
from pipelines.run.database import settings
from pipelines.sources import Settings
from tests.pipelines.conftest import bench  # noqa: F401 (a fixture)
from validation.account import reject_unreadable
from validation.catalogue import Edit, Example
from validation.contracts import judge
from validation.notes import note_records
from validation.parse import parse_feed
from validation.parse.corrections import find_corrections, find_strangers

LOADED_AT = datetime(2026, 11, 16, 12, tzinfo=UTC)
CHAIN_FILE = Path(validation.catalogue.__file__).parent / "examples" / "lawful_chain.toml"


@dataclass(frozen=True)
class Reject:
    """One row of ``quality.rejects``, as far as tests look at it."""

    rule: str
    line: int
    key: str
    column: str | None
    value: str | None
    detail: str | None


class Court:
    """Takes records, judges them and tells the rejects."""

    def __init__(self, con: duckdb.DuckDBPyConnection, folder: Path) -> None:
        self.con = con
        self._folder = folder
        self._drops = 0
        self._kept: dict[str, str] = {}
        self._touched: set[str] = set()
        self._added: list[str] = []
        lawful = tomllib.loads(CHAIN_FILE.read_text(encoding="utf-8"))
        self.lawful_case: dict[str, str] = lawful["case"]
        self.locations: list[dict[str, str]] = lawful["locations"]
        self._common: dict[str, str] = lawful["common"]
        self._steps: dict[str, dict[str, str]] = lawful["steps"]

    # Written as text, through the reader and the parser.

    def judge_example(self, example: Example) -> list[Reject]:
        """The rejects of an example's own feed, beside the lists that it refers to."""
        if example.chain is not None:
            case = {**self.lawful_case, **example.case}
            self._stand_by({"locations": self.locations, "cases": [case]})
            return self.judge_text(
                "custody_events", self._csv("custody_events", self.chain(example.chain), {})
            )
        lists = {"locations": self.locations, "cases": [{}], "supply_items": [{}]}
        if example.feed == "corrections":
            return self._judge_corrections(example.records)
        self._stand_by({name: rows for name, rows in lists.items() if name != example.feed})
        text = example.raw.lstrip() if example.raw else self._csv(example.feed, example.records)
        return self.judge_text(example.feed, text)

    def _judge_corrections(self, records: Sequence[Mapping[str, str]]) -> list[Reject]:
        """Corrections of the example case, read before it as in a run."""
        self.clear()
        self._read_text("locations", self._csv("locations", self.locations))
        rejects = self.judge_text("corrections", self._csv("corrections", records))
        self._read_text("cases", self._csv("cases", [{}]))
        find_strangers(self.con)
        return rejects

    def judge_text(self, name: str, text: str) -> list[Reject]:
        self._read_text(name, text)
        reject_unreadable(self.con)
        judge(self.con, feed(name))
        return self.rejects(name)

    def notes_of_example(self, example: Example) -> list[Reject]:
        """The notes on an example's own feed."""
        self.judge_example(example)
        note_records(self.con)
        return self.rejects(example.feed, "notes")

    def _read_text(self, name: str, text: str) -> None:
        self._drops += 1
        drop = self._folder / f"drop{self._drops}"
        drop.mkdir()
        path = drop / f"{name}-2026-11-16.csv"
        path.write_text(text, encoding="utf-8", newline="")
        self._touched.add(name)
        load_drop(self.con, find_files(drop), LOADED_AT)
        rank_versions(self.con, feed(name))
        find_corrections(self.con, feed(name), Settings(), LOADED_AT.date())
        parse_feed(self.con, feed(name))

    def _stand_by(self, lists: Mapping[str, Sequence[Mapping[str, str]]]) -> None:
        """Put lists into ``accepted``; each is read and parsed once in a session, then copied."""
        self.clear()
        for name, records in lists.items():
            text = self._csv(name, records)
            kept = self._kept.get(text)
            if kept is None:
                kept = self._kept[text] = f"kept_{len(self._kept)}"
                self._read_text(name, text)
                self.con.execute(f"create temp table {kept} as from accepted.{name}")
            else:
                self.con.execute(f"insert into accepted.{name} from {kept}")
            self._touched.add(name)

    def chain(self, edits: Sequence[Edit] = ()) -> list[dict[str, str]]:
        """The lawful chain with edits, as text records; ``number`` tells the ``event_id`` of each.

        A name of a step in corrects_event_id stands for the number of that event.
        """
        steps = {name: self._common | record for name, record in self._steps.items()}
        self._added = [edit.step for edit in edits if edit.step not in steps]
        for edit in edits:
            if edit.drop:
                del steps[edit.step]
            else:
                steps[edit.step] = steps.get(edit.step, self._common) | dict(edit.change)
        records = []
        for name, record in steps.items():
            wrong = record.get("corrects_event_id", "")
            known = wrong in self._steps or wrong in self._added
            corrects = self.number(wrong) if known else wrong
            records.append(record | {"event_id": self.number(name), "corrects_event_id": corrects})
        return records

    def number(self, step: str) -> str:
        """The event number of a step; steps that edits add count from 90."""
        names = list(self._steps)
        at = names.index(step) if step in names else 90 + self._added.index(step)
        return f"EV-{at:03}"

    @staticmethod
    def _csv(
        name: str, records: Sequence[Mapping[str, str]], base: Mapping[str, str] | None = None
    ) -> str:
        columns = FEEDS[name].columns
        given = {c.name: c.example for c in columns} if base is None else base
        lines = [",".join(c.name for c in columns)]
        for record in records:
            values = (record.get(c.name, given.get(c.name, "")) for c in columns)
            lines.append(",".join('"' + value.replace('"', '""') + '"' for value in values))
        return "\n".join(lines) + "\n"

    # Typed, straight into ``accepted``.

    def accept(self, name: str, records: Sequence[Mapping[str, Any]]) -> None:
        """Fill ``accepted.<name>`` with typed records; their lines count from 2."""
        self._touched.add(name)
        self.con.execute(f"delete from accepted.{name}")
        rows = [
            {"file_id": f"file of {name}", "line": line} | dict(record)
            for line, record in enumerate(records, start=2)
        ]
        if not rows:
            return
        columns = sorted({column for row in rows for column in row})
        frame = pl.DataFrame(
            [[row.get(column) for column in columns] for row in rows],
            schema=columns, orient="row", infer_schema_length=None,
        )  # fmt: skip
        self.con.register("given", frame)
        self.con.execute(f"insert into accepted.{name} by name select * from given")
        self.con.unregister("given")

    def judge_typed(self, name: str) -> list[Reject]:
        self.con.execute("delete from quality.rejects")
        judge(self.con, feed(name))
        return self.rejects(name)

    def rejects(self, name: str, table: str = "rejects") -> list[Reject]:
        return [
            Reject(*row)
            for row in self.con.execute(
                "select rule_code, line, record_key, column_name, value, detail "
                f"from quality.{table} where feed = ? order by line, rule_code, column_name",
                [name],
            ).fetchall()
        ]

    def clear(self) -> None:
        for table in ("raw.files", "raw.file_columns", "raw.unreadable", "raw.file_notes",
                      "quality.rejects", "quality.notes", "quality.doubled_times",
                      "quality.corrections", "quality.outdated"):  # fmt: skip
            self.con.execute(f"delete from {table}")
        for name in self._touched:
            self.con.execute(f"delete from raw.{name}")
            self.con.execute(f"delete from accepted.{name}")
        self._touched.clear()


@pytest.fixture(scope="session")
def _session_court(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Court]:
    with duckdb.connect(":memory:") as con:
        for statement in settings():
            con.execute(statement)
        create_schemas(con)
        yield Court(con, tmp_path_factory.mktemp("court"))


@pytest.fixture
def court(_session_court: Court) -> Court:
    """The court, empty."""
    _session_court.clear()
    return _session_court
