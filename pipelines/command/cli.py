"""Entry point: one module per command, errors without tracebacks."""

import os
import sys
import tempfile
import traceback
from importlib import import_module
from pathlib import Path

import click

from pipelines.errors import LedgerstoneError
from pipelines.room import no_room

_COMMANDS = {
    "demo": "Run the demo group end to end and say where its pages are.",
    "run": "Take a drop into the warehouse and publish the pages.",
    "check": "Look at one file before it is loaded.",
    "template": "Write a blank file of a feed and what its columns mean.",
    "rejects": "List the records that are held back, and how to mend them.",
    "trace": "Tell one case: its custody line, papers and findings.",
    "census": "Say who was in care at any instant, where, held by whom, and how sure it is.",
    "sample": "Draw cases by chance, for an inspection that anybody can redraw.",
    "publish": "Make the pages again from a warehouse.",
    "status": "Say what the warehouse holds and whether its run log is whole.",
    "serve": "Show the pages in a browser on this machine.",
}
_OUR_FAULT = 3


class _Lazy(click.Group):
    """Loads a command's module when it is called: help and small commands stay quick."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(_COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in _COMMANDS:
            return None
        command = import_module(f"pipelines.command.{cmd_name}").command
        assert isinstance(command, click.Command)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl(list(_COMMANDS.items()))


@click.group(
    cls=_Lazy,
    context_settings={"help_option_names": ["-h", "--help"]},
    epilog="Exit codes: 0 done; 1 done, but a file was set aside (or, with --strict, a record was "
    "held back or a critical finding is open); 2 wrong use, or nothing could be loaded; 3 a fault "
    "of ours.",
)
@click.version_option(package_name="ledgerstone", message="%(version)s")
def cli() -> None:
    """A funeral group's CSV drops into an audited warehouse and plain pages."""


def main() -> None:
    """Run the command; a known error is shown with what to do, any other is kept in a file."""
    try:
        cli(standalone_mode=False)
    except click.exceptions.Exit as stop:
        sys.exit(stop.exit_code)
    except click.ClickException as error:
        error.show()
        sys.exit(error.exit_code)
    except (click.Abort, KeyboardInterrupt):
        click.echo("Stopped. Nothing was swapped in.", err=True)
        sys.exit(130)
    except BrokenPipeError:
        sys.stderr.close()
        sys.exit(0)
    except Exception as error:
        sys.exit(_tell(error))


def _tell(error: Exception) -> int:
    """Say what went wrong, whose fault it is and what to do; returns the exit code."""
    known = error if isinstance(error, LedgerstoneError) else no_room(error)
    if _is_of_output(error):
        # What is still to be written there would fail again at the end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        click.echo("ledgerstone: what is said here cannot be written where it goes.", err=True)
        click.echo("  What to do: make room there, or send it elsewhere.", err=True)
        return LedgerstoneError.exit_code
    if known is not None:
        click.echo(f"ledgerstone: {known}", err=True)
        return known.exit_code
    click.echo(f"ledgerstone: a fault of ours: {type(error).__name__}: {error}", err=True)
    click.echo(f"  What to do: report it with {_keep(error)}", err=True)
    return _OUR_FAULT


def _is_of_output(error: BaseException) -> bool:
    """It, or what it came from, came about while something was printed."""
    is_here = isinstance(error, OSError) and any(
        frame.f_code is click.echo.__code__ for frame, _ in traceback.walk_tb(error.__traceback__)
    )
    return is_here or (error.__cause__ is not None and _is_of_output(error.__cause__))


def _keep(error: Exception) -> str:
    """Where the traceback is kept; where it cannot be, the traceback itself."""
    told = "".join(traceback.format_exception(error))
    try:
        handle, path = tempfile.mkstemp(prefix="ledgerstone-fault-", suffix=".txt")
    except OSError:
        return f"this:\n{told}"
    try:
        with os.fdopen(handle, "w", encoding="utf-8") as kept:
            kept.write(told)
    except OSError:
        Path(path).unlink()
        return f"this:\n{told}"
    return f"the file {path}"
