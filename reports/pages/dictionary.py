"""What every column of the files and of the tables behind the pages means."""

from reports import words
from reports.audiences import ACCOUNTS, COMPLIANCE, OPERATIONS, OWNER, Audience
from reports.content import Content, Links, Page, Section
from reports.descriptions import add_descriptions
from reports.listings.dictionary import columns_table, feeds_table, marts_table, tables_table
from reports.marks import Mark
from reports.titles import say
from reports.warehouse import Warehouse

PAGE = Page(
    slug="dictionary",
    name="Dictionary",
    question="What does each column mean, and in which unit?",
    audiences=(OPERATIONS, COMPLIANCE, OWNER, ACCOUNTS),
    marts=("quality.feeds", "quality.columns"),
    feeds=(),
    order=90,
)

_MARTS = "from duckdb_columns() where schema_name = 'marts'"


def build(warehouse: Warehouse, audience: Audience) -> Content:
    add_descriptions(warehouse)
    return Content(
        say(
            "{tables} of figures with {figures}, from {feeds} with {columns}",
            tables=warehouse.fact(
                f"select count(distinct table_name) {_MARTS}", lambda v: words.counted(v, "table")
            ),
            figures=warehouse.fact(
                f"select count(*) {_MARTS}", lambda v: words.counted(v, "column")
            ),
            feeds=warehouse.fact(
                "select count(*) from quality.feeds",
                lambda v: words.counted(v, "kind of file", "kinds of file"),
            ),
            columns=warehouse.fact(
                "select count(*) from quality.columns", lambda v: words.counted(v, "column")
            ),
        ),
        "Names, meanings and units. The kinds of file are declared once, and the reader, the "
        "contracts, the blank templates and this page come from that declaration.",
        Mark.INFO,
        (
            Section("The tables behind the pages", (tables_table(), marts_table())),
            Section(
                "The files",
                (
                    feeds_table(),
                    Links((("dictionary-files.html", "Every column of the files", None),)),
                ),
            ),
        ),
        children={
            "dictionary-files.html": Content(
                say(
                    "{columns} of {feeds}",
                    columns=warehouse.fact(
                        "select count(*) from quality.columns", lambda v: words.counted(v, "column")
                    ),
                    feeds=warehouse.fact(
                        "select count(*) from quality.feeds",
                        lambda v: words.counted(v, "kind of file", "kinds of file"),
                    ),
                ),
                "How each column of a file is written, what it means and what it may hold.",
                Mark.INFO,
                (Section("Columns", (columns_table(),)),),
            )
        },
    )
