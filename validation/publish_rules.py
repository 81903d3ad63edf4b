"""The catalogue as tables, what each rule needs, and the rejects in words."""

import duckdb
import polars as pl

from pipelines.feeds import FEEDS
from validation.catalogue import needs_frame, rules_frame
from validation.contracts.after_export import unjudged_files


def publish_rules(con: duckdb.DuckDBPyConnection) -> None:
    """Make ``quality.rules``, ``rule_needs``, ``rule_gaps``, ``feeds``, ``columns`` and the
    explained views."""
    _from_frame(con, "quality.rules", rules_frame())
    con.register("needs", needs_frame())
    con.execute(
        """
        create or replace table quality.rule_needs as
        select n.rule_code, n.feed, n.column_name, exists (
            select 1 from raw.file_columns c join raw.files f using (file_id)
            where f.feed = n.feed and c.column_name = n.column_name
        ) as is_available
        from needs n
        order by n.rule_code, n.feed, n.column_name
        """
    )
    con.unregister("needs")
    con.execute(f"create or replace table quality.rule_gaps as {unjudged_files()}")
    _dictionary(con)
    for name in ("rejects", "notes"):
        con.execute(
            f"""
            create or replace view quality.{name}_explained as
            select q.feed, q.rule_code, r.severity, f.file_name, q.line, q.record_key,
                q.case_number, q.column_name, q.value, q.detail, r.says, r.mend, r.mended_by,
                q.file_id
            from quality.{name} q
            left join quality.rules r using (rule_code)
            left join raw.files f using (file_id)
            """
        )
    con.execute(
        """
        create or replace view quality.changes_explained as
        select c.feed, c.record_key, c.case_number, c.column_name, c.was, c.becomes, c.kind,
            c.touches, o.file_name as older_file, c.older_line, n.file_name as newer_file,
            c.newer_line, c.changed_at
        from quality.changes c
        left join raw.files o on o.file_id = c.older_file_id
        left join raw.files n on n.file_id = c.newer_file_id
        """
    )


def _from_frame(con: duckdb.DuckDBPyConnection, table: str, frame: object) -> None:
    con.register("rules_given", frame)
    con.execute(f"create or replace table {table} as select * from rules_given")
    con.unregister("rules_given")


def _dictionary(con: duckdb.DuckDBPyConnection) -> None:
    """The declarations as tables, for the dictionary page."""
    con.execute(
        "create or replace table quality.feeds (position INTEGER, feed VARCHAR, family VARCHAR, "
        "meaning VARCHAR, grain VARCHAR, record_key VARCHAR, is_required BOOLEAN)"
    )
    con.execute(
        "create or replace table quality.columns (feed VARCHAR, position INTEGER, "
        "column_name VARCHAR, form VARCHAR, written VARCHAR, is_required BOOLEAN, unit VARCHAR, "
        "meaning VARCHAR, allowed VARCHAR, aliases VARCHAR, refers_to VARCHAR, source VARCHAR, "
        "example VARCHAR)"
    )
    feeds = [
        (i, f.name, f.family, f.meaning, f.grain, ", ".join(f.key), f.is_required)
        for i, f in enumerate(FEEDS.values())
    ]
    columns = [
        (f.name, i, c.name, c.form.value, c.written, c.is_required, c.unit, c.meaning,
         ", ".join(c.allowed), ", ".join(c.aliases), c.refers_to, c.source, c.example)
        for f in FEEDS.values() for i, c in enumerate(f.columns)
    ]  # fmt: skip
    for table, rows in (("quality.feeds", feeds), ("quality.columns", columns)):
        con.register("declared", pl.DataFrame(rows, orient="row", infer_schema_length=None))
        con.execute(f"insert into {table} select * from declared")
        con.unregister("declared")
