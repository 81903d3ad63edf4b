"""A further process of this program, in the same interpreter and of the same modules."""

import os
import subprocess
import sys
from typing import Any


def start(module: str, *arguments: str, **options: Any) -> "subprocess.Popen[bytes]":
    """Run ``main()`` of a module. ``options`` are those of ``subprocess.Popen``."""
    # -P: nothing in the folder that a user happens to stand in is imported.
    return subprocess.Popen(
        [sys.executable, "-P", "-c", f"from {module} import main; main()", *arguments],
        env={**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))},
        **options,
    )


def can_start() -> bool:
    """Whether this system gives a further process what it needs."""
    return os.name == "posix" and bool(sys.executable)
