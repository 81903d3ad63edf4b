"""Feeds the reader bytes that a coverage-guided fuzzer grows; run by hand, not by the tests.

    pip install atheris
    python tests/fuzz/fuzz_reader.py -max_total_time=180 -max_len=2048

It stops at the first traceback, and at the first file whose lines do not add up. What it finds
becomes an example in tests/pipelines/test_exports.py.
"""

import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path

import atheris
import duckdb

with atheris.instrument_imports(include=["pipelines.load", "pipelines.sources"]):
    from pipelines.load import (  # noqa: F401
        create_schemas,
        find_files,
        headings,
        load_drop,
        prove,
        read_exact,
        transcode,
    )

HEADER = b"sample_id,location_id,started_at,minutes,formaldehyde_ppm,sample_kind\n"
LOADED_AT = datetime(2026, 11, 16, 12, tzinfo=UTC)
DROP = Path(tempfile.mkdtemp(prefix="ledgerstone-fuzz-"))
CON = duckdb.connect(":memory:")
create_schemas(CON)


def read_one(data: bytes) -> None:
    """Load one file; the first byte says whether a good header is put before the rest."""
    with_header = bool(data[:1]) and data[0] % 2 == 0
    (DROP / "air_samples.csv").write_bytes((HEADER if with_header else b"") + data[1:])
    for table in ("files", "file_columns", "file_notes", "unreadable", "air_samples"):
        CON.execute(f"delete from raw.{table}")
    load_drop(CON, find_files(DROP), LOADED_AT)
    total, parts, records, rows, aside = CON.execute(
        "select total_lines, header_lines + blank_lines + record_lines + unreadable_lines, "
        "records_read, (select count(*) from raw.air_samples), set_aside from raw.files"
    ).fetchall()[0]
    assert total == parts, (total, parts, aside)
    assert records == rows, (records, rows)


if __name__ == "__main__":
    atheris.Setup(sys.argv, read_one)
    atheris.Fuzz()
