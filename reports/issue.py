"""The as-of line: what the figures are from, with its zone, and that they are provisional."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from reports import words
from reports.frame import Issue
from reports.warehouse import Warehouse


@dataclass(frozen=True)
class Export:
    """When a file was exported, as its name says it.

    ``at`` is naive UTC, ``latest`` the last instant that the name can mean. A name with a day alone
    leaves a day open, and what leaves more names a month: no clock time is made from either.
    """

    at: datetime
    latest: datetime
    zone: str

    @property
    def open_days(self) -> int:
        return (self.latest - self.at) // timedelta(days=1)

    @property
    def day(self) -> date:
        """The day that is written in the name; of an instant its day on the group's clock."""
        return self.at.date() if self.open_days else words.local(self.at, self.zone).date()

    @property
    def spoken(self) -> str:
        if self.open_days > 1:
            return words.month(self.day)
        return words.day(self.day) if self.open_days else words.spoken_clock(self.at, self.zone)

    @property
    def short(self) -> str:
        if self.open_days > 1:
            return f"{self.day:%Y-%m}"
        return f"{self.day:%Y-%m-%d}" if self.open_days else words.clock(self.at, self.zone)

    def is_after(self, instant: datetime) -> bool:
        if self.open_days:
            return self.day > words.local(instant, self.zone).date()
        return self.at > instant


def issue_of(warehouse: Warehouse) -> Issue:
    """One for all pages of a site. Instants are shown on the group's own clock."""
    zone = warehouse.zone
    built = words.spoken_clock(warehouse.as_of, zone)
    foot = words.clock(warehouse.as_of, zone)
    exports = _exports(warehouse)
    if not exports:
        line = f"Data up to: no file declares its export time. Built as of {built}."
        return Issue(line, f"As of {foot}", f"As of {built}.")
    oldest, newest = exports[0], exports[-1]
    up_to, short = newest.spoken, newest.short
    if oldest.day != newest.day:
        up_to = f"{up_to}; the oldest of the newest files is of {oldest.spoken}"
    if newest.is_after(warehouse.as_of):
        up_to, short = f"{built}, from files exported by {up_to}", foot
    return Issue(
        f"Data up to {up_to}.{_loaded(warehouse)} Built as of {built}.{_later(warehouse)} "
        "Provisional: late records can still change these figures.",
        f"Data to {short}",
        f"As exported on {words.day(newest.day)}; as of {built}.",
    )


_READ = (
    "from raw.files join quality.feeds using (feed) "
    "where family <> 'reference' and set_aside is null"
)


def _exports(warehouse: Warehouse) -> list[Export]:
    """The newest export of each kind of file, oldest first."""
    rows = warehouse.rows(
        "select max(exported_at)::timestamp as exported_at, "
        "arg_max(coalesce(exported_at_latest, exported_at), exported_at)::timestamp as latest_at "
        f"{_READ} group by feed order by 1, 2"
    )
    return [
        Export(at, latest, warehouse.zone)
        for at, latest in rows
        if isinstance(at, datetime) and isinstance(latest, datetime)
    ]


def _loaded(warehouse: Warehouse) -> str:
    at = warehouse.scalar(f"select max(loaded_at)::timestamp {_READ}")
    if not isinstance(at, datetime):
        return ""
    return f" Loaded {words.spoken_clock(at, warehouse.zone)}."


def _later(warehouse: Warehouse) -> str:
    """Says how many records are left out because they are dated after the run's instant."""
    later = warehouse.count("select sum(later_count) from marts.control_totals")
    if not later:
        return ""
    return f" {words.counted(later, 'record')} dated later {words.are(later)} in no figure."
