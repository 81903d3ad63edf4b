"""Spreadsheet workbooks: the same records and account of rows, each cell as the text that it shows.

The line of a record is its row in the sheet. Dates are dates; numbers keep the fifteen digits that
a spreadsheet has. A formula without a stored result makes its record unreadable.
"""

import datetime as dt
import zipfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import openpyxl

from pipelines.feeds import Feed
from pipelines.load.headings import check_headings
from pipelines.load.prove import WORKBOOK, Proof, fingerprint
from pipelines.load.read_exact import BATCH, Batch, Unreadable
from pipelines.sources.reading import Layout

#: What a workbook may unpack to (bytes): it is read within a bounded memory.
LARGEST_UNPACKED = 1 << 30


def prove_workbook(path: Path, feed: Feed, layout: Layout) -> Proof:
    """Prove a workbook: that every row can be read, and that the header is the feed's."""
    digest, size = fingerprint(path)
    proof = Proof(path, digest, size, encoding=WORKBOOK, delimiter="", is_plain=False)
    proof.header_lines = layout.lines_above_header + 1
    try:
        first: Sequence[Any] = []
        with _rows(path, layout) as rows:
            for number, cells in rows:
                proof.total_lines = number
                if number == proof.header_lines:
                    first = cells
    except Exception as error:  # a damaged workbook fails in many ways; each means the same
        proof.set_aside = f"The workbook cannot be opened: {error}. Save it again as .xlsx."
        return proof
    header = check_headings(_without_blank_end([_text(cell) or "" for cell in first]), feed, layout)
    proof.headings, proof.set_aside = header.headings, header.fault
    return proof


def read_workbook(proof: Proof, layout: Layout) -> Iterator[Batch]:
    """Yield the records under the header, in batches; ``line`` is the row in the sheet."""
    width = len(proof.headings)
    batch = Batch()
    with _rows(proof.text, layout) as rows:
        for number, cells in rows:
            if number > proof.header_lines:
                _add(batch, number, cells, width)
            if len(batch.records) >= BATCH:
                yield batch
                batch = Batch()
    yield batch


@contextmanager
def _rows(path: Path, layout: Layout) -> Iterator[Iterator[tuple[int, Sequence[Any]]]]:
    """Rows of the sheet, from 1: the values, or the formula where no result is stored."""
    with zipfile.ZipFile(path) as packed:
        if sum(info.file_size for info in packed.infolist()) > LARGEST_UNPACKED:
            raise ValueError(f"it unpacks to more than {LARGEST_UNPACKED:,} bytes")
    results = openpyxl.load_workbook(path, read_only=True, data_only=True, keep_links=False)
    formulas = openpyxl.load_workbook(path, read_only=True, keep_links=False)
    try:
        name = layout.sheet or results.sheetnames[0]
        if name not in results.sheetnames:
            raise ValueError(f"it has no sheet {name!r}, only {', '.join(results.sheetnames)}")
        for book in (results, formulas):
            # The size that a sheet claims may be wrong, and cells outside it would be lost.
            book[name].reset_dimensions()
        pairs = zip(results[name].iter_rows(), formulas[name].iter_rows(), strict=True)
        yield (
            (number, [_shown(*cells) for cells in zip(shown, written, strict=True)])
            for number, (shown, written) in enumerate(pairs, start=1)
        )
    finally:
        results.close()
        formulas.close()


def _shown(result: Any, written: Any) -> Any:
    if result.value is None and written.value is not None:
        return _NoResult(str(written.value))
    value = result.value
    if isinstance(value, dt.datetime) and "h" not in (result.number_format or "").lower():
        return value.date() if value.time() == dt.time() else value
    return value


class _NoResult(str):
    """A formula whose result the workbook does not hold."""


def _add(batch: Batch, number: int, cells: Sequence[Any], width: int) -> None:
    fields = [_text(cell) or "" for cell in cells]
    fields = _without_blank_end(fields)
    if not any(field.strip() for field in fields):
        batch.blank_lines += 1
        return
    broken = next((cell for cell in cells if isinstance(cell, _NoResult)), None)
    if broken is not None or len(fields) > width:
        cause = (
            f"a formula without a stored result ({broken})" if broken is not None
            else f"{len(fields)} cells where the header has {width}"
        )  # fmt: skip
        batch.unreadable.append(Unreadable(number, cause, "\t".join(fields)[:500]))
        return
    batch.records.append([*fields, *[""] * (width - len(fields))])
    batch.lines.append(number)
    batch.record_lines += 1


def _text(value: Any) -> str | None:
    match value:
        case None:
            return None
        case bool():
            return "Y" if value else "N"
        case float():
            return format(value, ".15g")
        case dt.datetime():
            return value.isoformat(timespec="seconds")
        case dt.date():
            return value.isoformat()
        case dt.time():
            return value.isoformat(timespec="minutes")
    return str(value)


def _without_blank_end(fields: list[str]) -> list[str]:
    last = max((i for i, field in enumerate(fields) if field.strip()), default=-1)
    return fields[: last + 1]
