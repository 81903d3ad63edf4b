"""The steps of a run, in order."""

import time
from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from pathlib import Path

import duckdb

import reports
import validation
from pipelines.counted import counted
from pipelines.errors import DropError
from pipelines.feeds import FEEDS
from pipelines.load import DropFile, LoadSummary, create_schemas, find_files, load_drop
from pipelines.load.drop import not_read, require_feeds
from pipelines.load.vanish import Removal, require_confirmed
from pipelines.load.versions import rank_versions
from pipelines.room import room_in
from pipelines.run.database import building, carry_over
from pipelines.run.dbt import DbtOutcome, build_models
from pipelines.run.figure_history import keep_figures
from pipelines.run.finding_history import keep_history
from pipelines.run.lock import run_lock
from pipelines.run.read_ahead import models_read_ahead
from pipelines.run.run_log import append_entry
from pipelines.run.source_settings import InForce, keep_settings, settings_in_force
from pipelines.run.swap import begin, behind_links, beside, clear, swap_in
from pipelines.sources.match import Match
from reports.swap import require_writable
from validation.account import (
    account_files,
    move_held,
    reject_unreadable,
    tell_older_versions,
)
from validation.catalogue import catalogue
from validation.contracts import judge
from validation.notes import note_records
from validation.parse import parse_feed
from validation.parse.corrections import find_corrections, find_strangers
from validation.publish_rules import publish_rules

#: Shipped reference rows are older than any export, so that a group's own rows win.
_SHIPPED_AT = datetime(1970, 1, 1, tzinfo=UTC)
#: What to do where the warehouse's folder is full.
_ELSEWHERE = "keep the warehouse elsewhere (--warehouse; the demo: --output). Nothing was changed"
REFERENCE = Path(validation.__file__).parent / "reference"


@dataclass(frozen=True)
class RunRequest:
    """What to run. ``as_of`` is the run's only clock (UTC). ``site`` None: no pages.

    ``settings`` names the settings file of the sources; None: the drop's, else the last run's.
    ``is_confirmed``: records may vanish, however many.
    """

    drop: Path
    warehouse: Path
    site: Path | None
    as_of: datetime
    tell: Callable[[str], None] = lambda _: None
    settings: Path | None = None
    is_confirmed: bool = False


@dataclass
class RunResult:
    """What a run did: files, what newly vanished, counts, and when each stage began and ended
    (perf_counter). ``not_read``: what the drop holds beside files, and why it is not read."""

    load: LoadSummary
    removals: list[Removal] = field(default_factory=list)
    spans: list[tuple[str, float, float]] = field(default_factory=list)
    counts: dict[str, int] = field(default_factory=dict)
    dbt: DbtOutcome | None = None
    pages: list[Path] = field(default_factory=list)
    not_read: dict[str, str] = field(default_factory=dict)

    @property
    def seconds(self) -> dict[str, float]:
        """Seconds per stage."""
        return {name: ended - begun for name, begun, ended in self.spans}

    @property
    def exit_code(self) -> int:
        return 1 if self.load.set_aside else 0


def run_pipeline(request: RunRequest) -> RunResult:
    """Load, judge, model, check, swap, publish.

    Raises:
        LedgerstoneError: with what to do; the previous warehouse and site are as they were.
    """
    request = replace(request, warehouse=behind_links(request.warehouse))
    in_force = settings_in_force(request.settings, request.drop, request.warehouse)
    files = find_files(request.drop, in_force.settings)
    with room_in(request.warehouse.parent, _ELSEWHERE), run_lock(request.warehouse):
        if request.site is not None:
            with _room_for_pages(request.site):
                require_writable(request.site)
        built = beside(request.warehouse)
        begin(built)
        try:
            with models_read_ahead(built, _finding_models()) as wait:
                result = _build(request, files, in_force, built, wait)
            _publish(request, built, result)
            result.not_read = not_read(request.drop)
        finally:
            clear(built)
    return result


def _build(
    request: RunRequest,
    files: list[DropFile],
    in_force: InForce,
    built: Path,
    wait: Callable[[], None],
) -> RunResult:
    stages = _Stages(request.tell)
    with building(built) as con:
        create_schemas(con)
        if request.warehouse.exists():
            carry_over(con, request.warehouse)
        with stages("read"):
            keep_settings(con, in_force.text, request.as_of)
            load_drop(con, _shipped(), _SHIPPED_AT)
            load = load_drop(con, files, request.as_of)
        stages.rows(load.records)
        _require_loaded(con, load, files, request.drop)
        with stages("parse"):
            removals: list[Removal] = []
            for feed in FEEDS.values():
                removals += rank_versions(con, feed, in_force.settings)
                find_corrections(con, feed, in_force.settings, request.as_of.date())
                parse_feed(con, feed, in_force.settings)
            find_strangers(con)
            require_confirmed(con, removals, in_force.settings, request.is_confirmed)
            reject_unreadable(con)
        with stages("judge"):
            judge(con, *FEEDS.values())
            tell_older_versions(con)
            note_records(con)
            for feed in FEEDS.values():
                move_held(con, feed)
            account_files(con)
            publish_rules(con)
        con.execute("checkpoint")
    with stages("model"):
        outcome = build_models(built, request.as_of, _finding_models(), wait)
    with building(built) as con:
        keep_history(con, request.as_of)
        keep_figures(con, request.as_of)
        entry = append_entry(con, request.as_of, request.drop.name, len(load.read),
                             len(load.skipped), len(load.set_aside))  # fmt: skip
        con.execute("checkpoint")
    return RunResult(load, removals, stages.spans, _counts(entry), outcome)


def _publish(request: RunRequest, built: Path, result: RunResult) -> None:
    """Swap the warehouse in; the pages are made from it beside the old ones and swapped last."""
    if request.site is None:
        swap_in(built, request.warehouse)
        return
    stages = _Stages(request.tell)
    with (
        stages("publish"),
        _room_for_pages(request.site),
        reports.prepared(built, request.site, as_of=request.as_of) as pages,
        room_in(request.warehouse.parent, _ELSEWHERE),
    ):
        swap_in(built, request.warehouse)
    result.pages = [page.path for page in pages]
    result.spans += stages.spans


def _room_for_pages(site: Path) -> AbstractContextManager[None]:
    elsewhere = "make the pages elsewhere (--site; the demo: --output). Nothing was changed"
    return room_in(site.resolve().parent, elsewhere)


def _finding_models() -> list[str]:
    return [rule.model for rule in catalogue().values() if rule.model]


def _shipped() -> list[DropFile]:
    return [
        DropFile(path, Match("", path.stem, _SHIPPED_AT))
        for path in sorted(REFERENCE.glob("*.csv"))
    ]


def _require_loaded(
    con: duckdb.DuckDBPyConnection, load: LoadSummary, files: list[DropFile], drop: Path
) -> None:
    feeds = {file.name: file.feed for file in files}
    present = {
        row[0]
        for row in con.execute("select feed from raw.files where set_aside is null").fetchall()
    }
    for name, why in load.set_aside.items():
        feed = feeds[name]
        may_hold = [FEEDS[feed]] if feed else FEEDS.values()
        if any(f.is_required and f.name not in present for f in may_hold):
            raise DropError(f"{name} cannot be read. {why}", "Mend that file and run again.")
    require_feeds(present, drop)


def _counts(entry: dict[str, object]) -> dict[str, int]:
    names = ("records_read", "records_accepted", "records_held", "findings")
    return {name: int(str(entry[name])) for name in names}


class _Stages:
    """Tells each stage with its seconds, and keeps when it ran."""

    def __init__(self, tell: Callable[[str], None]) -> None:
        self._tell = tell
        self._name = ""
        self._begun = 0.0
        self.spans: list[tuple[str, float, float]] = []

    def __call__(self, name: str) -> "_Stages":
        self._name = name
        return self

    def __enter__(self) -> None:
        self._begun = time.perf_counter()

    def __exit__(self, error: type[BaseException] | None, *_: object) -> None:
        ended = time.perf_counter()
        self.spans.append((self._name, self._begun, ended))
        if error is None:
            self._tell(f"{self._name:<8} {ended - self._begun:6.1f} s")

    def rows(self, count: int) -> None:
        self._tell(f"         {counted(count, 'record')}")
