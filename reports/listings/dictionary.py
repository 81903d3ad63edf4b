"""Tables of what every column means."""

from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing

_MODELS = "models/marts/*.yml"
_NONE = State(Mark.NOT_CHECKED, "The warehouse holds no declaration.")


def feeds_table() -> Listing:
    return Listing(
        "feeds",
        "Kinds of file",
        """select feed, meaning, grain, record_key as key_columns, is_required, family
from quality.feeds
order by case when family = 'reference' then 1 else 0 end, position""",
        (
            Column("feed", "File", Kind.ID),
            Column("meaning", "Meaning"),
            Column("grain", "One row is"),
            Column("key_columns", "Key"),
            Column("is_required", "Required", Kind.YES_NO),
        ),
        source="quality.feeds (pipelines/feeds)",
        none=_NONE,
    )


def columns_table() -> Listing:
    return Listing(
        "columns",
        "Columns of the files",
        """select c.feed, c.column_name, c.meaning, c.written, c.is_required, c.unit, c.allowed,
    c.source,
    c.refers_to, c.aliases, c.form
from quality.columns as c
left join quality.feeds as f on c.feed = f.feed
order by case when f.family = 'reference' then 1 else 0 end, f.position, c.position""",
        (
            Column("feed", "File", Kind.ID),
            Column("column_name", "Column", Kind.ID),
            Column("meaning", "Meaning"),
            Column("written", "Written as"),
            Column("is_required", "Required", Kind.YES_NO),
            Column("unit", "Unit", empty="[z]"),
            Column("allowed", "Allowed", empty="[z]"),
        ),
        source="quality.columns (pipelines/feeds)",
        none=_NONE,
        shown=220,
    )


def tables_table() -> Listing:
    return Listing(
        "tables",
        "Tables behind the pages",
        """select distinct c.table_name, m.meaning
from duckdb_columns() as c
left join mart_tables as m on c.table_name = m.table_name
where c.schema_name = 'marts'
order by c.table_name""",
        (
            Column("table_name", "Table", Kind.ID),
            Column("meaning", "Meaning, and what one row is", is_whole=True),
        ),
        source=_MODELS,
        none=State(Mark.NOT_CHECKED, "The warehouse holds no mart."),
    )


def marts_table() -> Listing:
    return Listing(
        "marts",
        "Columns of the tables behind the pages",
        """select c.table_name, c.column_name, m.meaning, lower(c.data_type) as data_type
from duckdb_columns() as c
left join mart_columns as m on c.table_name = m.table_name and c.column_name = m.column_name
where c.schema_name = 'marts'
order by c.table_name, c.column_index""",
        (
            Column("table_name", "Table", Kind.ID),
            Column("column_name", "Column", Kind.ID),
            Column("meaning", "Meaning"),
            Column("data_type", "Type", Kind.ID),
        ),
        source=_MODELS,
        none=State(Mark.NOT_CHECKED, "The warehouse holds no mart."),
        shown=320,
    )
