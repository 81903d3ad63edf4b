"""The as-of line: what the figures are from, with its zone, and that they are provisional."""

from datetime import datetime

from reports import words
from reports.frame import Issue
from reports.warehouse import Warehouse


def issue_of(warehouse: Warehouse) -> Issue:
    """One for all pages of a site. Instants are shown on the group's own clock."""
    exported, oldest, loaded = warehouse.rows(
        "with newest as (select feed, max(exported_at) as exported_at, max(loaded_at) as loaded_at "
        "from raw.files join quality.feeds using (feed) "
        "where family <> 'reference' and set_aside is null group by feed) "
        "select max(exported_at)::timestamp, min(exported_at)::timestamp, "
        "max(loaded_at)::timestamp from newest"
    )[0]
    zone = warehouse.zone
    built = words.spoken_clock(warehouse.as_of, zone)
    foot = words.clock(warehouse.as_of, zone)
    if not isinstance(exported, datetime):
        line = f"Data up to: no file declares its export time. Built as of {built}."
        return Issue(line, f"As of {foot}", f"As of {built}.")
    up_to = words.spoken_clock(exported, zone)
    public = f"As exported on {words.day(words.local(exported, zone).date())}; as of {built}."
    if isinstance(oldest, datetime) and oldest.date() != exported.date():
        up_to = f"{up_to}; the oldest of the newest files is of {words.spoken_clock(oldest, zone)}"
    if exported > warehouse.as_of:
        up_to = f"{built}, from files exported by {up_to}"
    when = f" Loaded {words.spoken_clock(loaded, zone)}." if isinstance(loaded, datetime) else ""
    return Issue(
        f"Data up to {up_to}.{when} Built as of {built}.{_later(warehouse)} Provisional: late "
        "records can still change these figures.",
        f"Data to {words.clock(exported, zone)}",
        public,
    )


def _later(warehouse: Warehouse) -> str:
    """Says how many records are left out because they are dated after the run's instant."""
    later = warehouse.count("select sum(later_count) from marts.control_totals")
    if not later:
        return ""
    verb = "is" if later == 1 else "are"
    return f" {words.counted(later, 'record')} dated later {verb} in no figure."
