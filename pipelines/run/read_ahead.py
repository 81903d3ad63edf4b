"""The models are read by a second process while this one loads, where no reading of them is kept.

That is so at the first run after the program was installed or changed: the reading takes as long as
everything before the models. It is only ever sooner: whatever becomes of the second process, the
run reads what it finds missing.
"""

import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from pipelines.processes import can_start, start
from pipelines.run.dbt import are_models_read, read_models

#: Seconds; many times what the reading takes. A second process that hangs must not hold a run.
_LONGEST_WAIT = 60.0


@contextmanager
def models_read_ahead(warehouse: Path, finding_models: list[str]) -> Iterator[Callable[[], None]]:
    """Yields what waits until the models are read."""
    if not can_start() or are_models_read(warehouse, finding_models):
        yield lambda: None
        return
    silent = dict.fromkeys(("stdin", "stdout", "stderr"), subprocess.DEVNULL)
    process = start("pipelines.run.read_ahead", str(warehouse), *finding_models, **silent)
    try:
        yield lambda: _wait(process)
    finally:
        _wait(process)


def _wait(process: "subprocess.Popen[bytes]") -> None:
    try:
        process.wait(_LONGEST_WAIT)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()


def main() -> None:
    warehouse, *finding_models = sys.argv[1:]
    read_models(Path(warehouse), finding_models)
