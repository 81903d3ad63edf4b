"""Where raw text and the account of files stand."""

import duckdb

from pipelines.feeds import FEEDS, Feed

SCHEMAS = ("raw", "accepted", "held", "quality", "staging", "intermediate", "findings", "marts")

_FINDING_COLUMNS = """
    feed VARCHAR, rule_code VARCHAR, file_id VARCHAR, line BIGINT, record_key VARCHAR,
    case_number VARCHAR, column_name VARCHAR, value VARCHAR, detail VARCHAR
"""

_TABLES = {
    "raw.files": """
        file_id VARCHAR, file_name VARCHAR, feed VARCHAR, source VARCHAR, sha256 VARCHAR,
        bytes BIGINT, exported_at TIMESTAMP, exported_at_latest TIMESTAMP, loaded_at TIMESTAMP,
        arrival BIGINT, encoding VARCHAR, delimiter VARCHAR, layout VARCHAR, is_plain BOOLEAN,
        total_lines BIGINT,
        header_lines BIGINT, blank_lines BIGINT, record_lines BIGINT, unreadable_lines BIGINT,
        records_read BIGINT, read_path VARCHAR, set_aside VARCHAR
    """,
    "raw.file_columns": """
        file_id VARCHAR, position INTEGER, heading VARCHAR, column_name VARCHAR, has_data BOOLEAN
    """,
    "raw.file_notes": """
        file_id VARCHAR, feed VARCHAR, line BIGINT, rule_code VARCHAR, detail VARCHAR
    """,
    "raw.unreadable": "file_id VARCHAR, feed VARCHAR, line BIGINT, cause VARCHAR, text VARCHAR",
    "raw.settings": "text VARCHAR, run_at TIMESTAMP",
    "quality.rejects": _FINDING_COLUMNS,
    "quality.notes": _FINDING_COLUMNS,
    "raw.vanished": "feed VARCHAR, file_id VARCHAR, line BIGINT",
    "quality.corrections": """
        feed VARCHAR, file_name VARCHAR, record_key VARCHAR, column_name VARCHAR, was VARCHAR,
        becomes VARCHAR, reason VARCHAR, decided_by VARCHAR, expires_on DATE, file_id VARCHAR,
        line BIGINT, of_file VARCHAR, of_line BIGINT, state VARCHAR, detail VARCHAR
    """,
    "quality.doubled_times": """
        feed VARCHAR, file_id VARCHAR, line BIGINT, record_key VARCHAR, case_number VARCHAR,
        column_name VARCHAR, wall VARCHAR, earlier_at TIMESTAMP, later_at TIMESTAMP, taken VARCHAR
    """,
    "quality.outdated": """
        feed VARCHAR, file_id VARCHAR, line BIGINT, fate VARCHAR, by_file_id VARCHAR, by_line BIGINT
    """,
    "quality.changes": """
        feed VARCHAR, record_key VARCHAR, case_number VARCHAR, column_name VARCHAR, was VARCHAR,
        becomes VARCHAR, kind VARCHAR, touches VARCHAR, older_file_id VARCHAR, older_line BIGINT,
        newer_file_id VARCHAR, newer_line BIGINT, changed_at TIMESTAMP
    """,
    "quality.finding_history": """
        finding_number BIGINT, finding_key VARCHAR, rule_code VARCHAR, severity VARCHAR,
        case_number VARCHAR, location_id VARCHAR, occurred_at TIMESTAMP, detail VARCHAR,
        file_id_a VARCHAR, line_a BIGINT, file_id_b VARCHAR, line_b BIGINT,
        first_seen_at TIMESTAMP, last_seen_at TIMESTAMP, closed_at TIMESTAMP, closed_by VARCHAR
    """,
    "quality.figure_history": """
        location_id VARCHAR, step_code VARCHAR, week_start DATE, finished_count BIGINT,
        median_hours DOUBLE, is_complete_week BOOLEAN, as_of TIMESTAMP
    """,
    "quality.run_log": """
        run_number BIGINT, as_of TIMESTAMP, drop_name VARCHAR, files_read BIGINT,
        files_skipped BIGINT, files_set_aside BIGINT, records_read BIGINT, records_accepted BIGINT,
        records_held BIGINT, findings BIGINT, version VARCHAR, previous_hash VARCHAR,
        entry_hash VARCHAR
    """,
}

#: Kept from run to run; everything else is computed anew from them.
KEPT_TABLES = (
    "raw.files", "raw.file_columns", "raw.file_notes", "raw.unreadable", "raw.settings",
    "raw.vanished", "quality.finding_history", "quality.figure_history",
    "quality.run_log",
    *(f"raw.{name}" for name in FEEDS),
)  # fmt: skip


def raw_ddl(feed: Feed) -> str:
    """Column list of ``raw.<feed>``: every declared column as text, extras as JSON, the origin."""
    columns = ", ".join(f'"{name}" VARCHAR' for name in feed.column_names)
    return f"{columns}, extra_fields VARCHAR, file_id VARCHAR, line BIGINT"


def create_schemas(con: duckdb.DuckDBPyConnection) -> None:
    """Create every schema and the empty tables of raw, accepted, held and quality."""
    for schema in SCHEMAS:
        con.execute(f"create schema if not exists {schema}")
    for name, ddl in _TABLES.items():
        con.execute(f"create table if not exists {name} ({ddl})")
    for feed in FEEDS.values():
        con.execute(f"create table if not exists raw.{feed.name} ({raw_ddl(feed)})")
        con.execute(f"create table if not exists accepted.{feed.name} ({feed.ddl})")
        con.execute(f"create table if not exists held.{feed.name} ({feed.ddl})")
