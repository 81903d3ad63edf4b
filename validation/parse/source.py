"""The current records of a raw feed that are written alike, and the SQL that reads them."""

import duckdb

from pipelines.feeds import Feed
from pipelines.load.damage import widths_of
from pipelines.sources import Reading
from pipelines.sources.written import as_iso
from pipelines.sqltext import literal
from validation.parse.corrections import with_corrections
from validation.parse.forms import DATED, ColumnReading, Hygiene, cleaned, day_name, text_name


class Source:
    """Queries over the records of a feed that one way of writing covers."""

    def __init__(
        self, con: duckdb.DuckDBPyConnection, feed: Feed, how: Reading, files: list[str] | None
    ) -> None:
        self.feed = feed
        self.how = how
        self.hygiene = _hygiene(con, feed)
        self.of_files = f"file_id in ({', '.join(map(literal, files))})" if files else "true"
        self.where = f"where r.{self.of_files}" if files else "where true"
        self.where += _and_current(con, feed)
        corrected = with_corrections(con, feed)
        self.raw = corrected or f"raw.{feed.name} r"

    def texts(self, *about: str) -> str:
        """Query of the cleaned text of every column, ``zone``, file_id and line.

        ``about``: only these columns, and what ``write`` says of a record.
        """
        names = self.feed.column_names
        if about:
            told = {*about, *self.feed.key, "case_number"}
            names = tuple(name for name in names if name in told)
        columns = ", ".join(
            f"{cleaned(name, self.hygiene, self.how)} as {text_name(name)}" for name in names
        )
        zone, joins = _zone(self.feed, self.hygiene, self.how)
        query = (
            f"select {columns}, {zone} as zone, r.file_id, r.line "
            f"from {self.raw} {joins} {self.where}"
        )
        days = {name: day_name(name, self.how) for name in names
                if self.feed.column(name).form in DATED}  # fmt: skip
        rewritten = "".join(
            f", {as_iso(text_name(name), self.how.dates)} as {day}"
            for name, day in days.items() if day != text_name(name)
        )  # fmt: skip
        return f"select *{rewritten} from ({query})" if rewritten else query

    def first_layer(self, readings: list[ColumnReading], *about: str) -> str:
        """Query of the first layer of every reading, the texts (all, or those ``about`` these
        columns) kept beside."""
        values = ", ".join(f"{sql} as {name}" for r in readings for name, sql in r.first.items())
        return f"select {values}, * from ({self.texts(*about)})"

    @property
    def record_key(self) -> str:
        """SQL of a record's key: its parts with '|' between."""
        return " || '|' || ".join(f"coalesce({text_name(name)}, '')" for name in self.feed.key)

    def write(
        self,
        con: duckdb.DuckDBPyConnection,
        table: str,
        found: str,
        rule: str,
        detail: str,
        column: str | None = None,
    ) -> None:
        """Add to ``quality.<table>`` a row for each record of ``found``, a query's tail over the
        texts; ``rule`` and ``detail`` are SQL."""
        case_number = text_name("case_number") if self.feed.has_case else "null"
        value = f"left({text_name(column)}, 500)" if column else "null"
        con.execute(
            f"""
            insert into quality.{table}
            select {literal(self.feed.name)}, {rule}, file_id, line, {self.record_key},
                {case_number}, {literal(column) if column else "null"}, {value}, {detail}
            from {found}
            """
        )


def _hygiene(con: duckdb.DuckDBPyConnection, feed: Feed) -> Hygiene:
    is_plain, has_breaks = con.execute(
        """
        select coalesce(bool_and(is_plain), true),
            coalesce(bool_or(record_lines <> records_read), false)
        from raw.files where feed = ? and set_aside is null
        """,
        [feed.name],
    ).fetchall()[0]
    if not has_breaks:
        return Hygiene(bool(is_plain), False)
    return Hygiene(bool(is_plain), bool(has_breaks), widths_of(con, feed))


def _and_current(con: duckdb.DuckDBPyConnection, feed: Feed) -> str:
    outdated = con.execute(
        "select count(*) from quality.outdated where feed = ?", [feed.name]
    ).fetchall()[0][0]
    if not outdated:
        return ""
    return (
        f" and not exists (select 1 from quality.outdated o where o.feed = {literal(feed.name)} "
        "and o.file_id = r.file_id and o.line = r.line)"
    )


def _zone(feed: Feed, hygiene: Hygiene, how: Reading) -> tuple[str, str]:
    """SQL of the zone of a record's place, and the joins that find it."""
    joins, zones = [], []
    for place in feed.zone_from:
        known = (
            "select c.case_number as place, min(l.time_zone) as time_zone "
            "from accepted.cases c join accepted.locations l using (location_id) "
            "group by c.case_number"
            if place == "case_number"
            else "select location_id as place, min(time_zone) as time_zone "
            "from accepted.locations group by location_id"
        )
        alias = f"z_{place}"
        text = cleaned(place, hygiene, how)
        joins.append(f"left join ({known}) {alias} on {alias}.place = {text}")
        zones.append(f"{alias}.time_zone")
    return f"coalesce({', '.join([*zones, 'cast(null as varchar)'])})", " ".join(joins)
