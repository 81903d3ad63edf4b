"""A second process that makes pages while this one makes others.

Pages are made by Python, which uses one processor; most machines have more. The second process runs
``main`` in the same interpreter. Its standard input brings the work and stays open: it ends
when the first does, however that comes about, so that no stray process writes into a site.
"""

import os
import pickle
import subprocess
import sys
import threading
import traceback
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import BinaryIO

from pipelines.errors import LedgerstoneError
from pipelines.processes import start
from reports.discover import FoundPage, pages
from reports.folders import Folders, Made
from reports.warehouse import Warehouse


class SecondProcessLost(LedgerstoneError):
    """The second process ended before its pages were made; the message says what to do."""

    exit_code = 3


@dataclass(frozen=True)
class Work:
    """Pages of ``folder``, made by two processes. ``turns`` is a pipe to which both go for the
    number of the next page in ``pages_by_weight``; whoever takes it makes it."""

    warehouse: Path
    as_of: datetime
    folder: Path
    site: Path
    turns: int

    def pages(self) -> Iterator[FoundPage]:
        """The pages that this process is to make, until none is left."""
        found = pages_by_weight()
        while turn := os.read(self.turns, 1):
            yield found[turn[0]]


def pages_by_weight() -> list[FoundPage]:
    """All pages, those with spreadsheets first: these take longest and should not come last."""
    return sorted(pages(), key=lambda f: not f.page.has_spreadsheets)


class Second:
    """A second process at work."""

    def __init__(self, process: "subprocess.Popen[bytes]", work: Work) -> None:
        self._process = process
        self.work = work

    def result(self) -> Made:
        """Wait for what it made.

        Raises:
            SecondProcessLost: it was ended from outside.
            Exception: whatever its work raised, with its traceback as a note.
        """
        assert self._process.stdout is not None
        try:
            made = pickle.load(self._process.stdout)  # written by this module alone
        except (EOFError, pickle.UnpicklingError) as error:
            code = self._process.wait()
            raise SecondProcessLost(
                f"The pages could not be made: their second process ended ({code}).",
                "Run again. Where memory is short, set LEDGERSTONE_MEMORY_LIMIT, to 1GB for one.",
            ) from error
        if isinstance(made, BaseException):
            raise made
        assert isinstance(made, Made)
        return made


@contextmanager
def second_process(warehouse: Path, as_of: datetime, folder: Path, site: Path) -> Iterator[Second]:
    """Start it; it is ended with the block."""
    taken, given = os.pipe()
    os.write(given, bytes(range(len(pages()))))
    os.close(given)
    work = Work(warehouse, as_of, folder, site, taken)
    # A session of its own: what stops the first at the keyboard reaches the second through it.
    process = start(
        "reports.second", stdin=subprocess.PIPE, stdout=subprocess.PIPE, pass_fds=(taken,),
        start_new_session=True,
    )  # fmt: skip
    assert process.stdin is not None
    try:
        with suppress(BrokenPipeError):  # it has ended already: ``result`` says so
            process.stdin.write(pickle.dumps(work))
            process.stdin.flush()
        yield Second(process, work)
    finally:
        process.kill()
        process.wait()
        os.close(taken)
        with suppress(BrokenPipeError):
            process.stdin.close()
        assert process.stdout is not None
        process.stdout.close()


def main() -> None:
    answer = os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())  # whatever a library prints is no answer
    with os.fdopen(os.dup(sys.stdin.fileno()), "rb") as asked:
        work = pickle.load(asked)
    threading.Thread(target=_end_with_the_first, daemon=True).start()
    _answer(work, answer)


def _end_with_the_first() -> None:
    os.read(sys.stdin.fileno(), 1)
    os._exit(1)


def _answer(work: Work, answer: BinaryIO) -> None:
    try:
        with Warehouse(work.warehouse, work.as_of, shares=2) as opened:
            made: object = Folders(opened, work.folder, work.site).make(work.pages())
    except Exception as error:
        made = _sendable(error)
    with answer:
        answer.write(pickle.dumps(made))


def _sendable(error: Exception) -> Exception:
    """The error with its traceback as a note; in words where it cannot be sent as it is."""
    error.add_note("".join(traceback.format_exception(error)))
    try:
        pickle.loads(pickle.dumps(error))
    except Exception:
        return RuntimeError("".join(traceback.format_exception(error)))
    return error
