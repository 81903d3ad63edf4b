"""Errors that a person can mend. Each says what happened, where, and what to do next."""


class LedgerstoneError(Exception):
    """Something that the caller can mend; shown without a traceback.

    ``exit_code`` 2: wrong use, or nothing could be loaded. 3: our fault. ``next_step`` may be left
    out where ``what`` says it already.
    """

    exit_code = 2

    def __init__(self, what: str, next_step: str = "") -> None:
        super().__init__(f"{what}\n  What to do: {next_step}" if next_step else what)
        self.what = what
        self.next_step = next_step


class DropError(LedgerstoneError):
    """The drop folder cannot be taken as it is."""


class WarehouseError(LedgerstoneError):
    """The warehouse file cannot be opened or written."""


class CheckFailed(LedgerstoneError):
    """A check of the built warehouse failed: our fault; nothing is swapped."""

    exit_code = 3
