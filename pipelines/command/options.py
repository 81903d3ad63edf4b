"""Options that commands share."""

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import click

WAREHOUSE = click.option(
    "--warehouse",
    type=click.Path(dir_okay=False, path_type=Path),
    default=Path("build/warehouse.duckdb"),
    show_default=True,
    help="The warehouse file.",
)
SITE = click.option(
    "--site",
    type=click.Path(file_okay=False, path_type=Path),
    default=Path("build/site"),
    show_default=True,
    help="The folder of the pages.",
)


def settings_option(default: str) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """The option that names a settings file; ``default`` says which are in force without it."""
    return click.option(
        "--settings",
        type=click.Path(exists=True, dir_okay=False, path_type=Path),
        default=None,
        help=f"How each source writes its files (TOML). Default: {default}.",
    )


#: Years of an instant that is asked about: a run counts weeks and years from it, both ways, and a
#: calendar ends with the year 9999.
_FIRST_YEAR, _LAST_YEAR = 1900, 2999


class Instant(click.ParamType[datetime]):
    """A date or an instant: 2026-11-16, 2026-11-16T12:00Z; without an offset it is UTC."""

    name = "instant"

    def convert(
        self, value: str | datetime, param: click.Parameter | None, ctx: click.Context | None
    ) -> datetime:
        if isinstance(value, datetime):
            return value
        try:
            read = datetime.fromisoformat(value)
        except ValueError:
            self.fail(f"{value!r} is no date such as 2026-11-16 or 2026-11-16T12:00Z.", param, ctx)
        if not _FIRST_YEAR <= read.year <= _LAST_YEAR:
            self.fail(
                f"{value!r} is of none of the years {_FIRST_YEAR} to {_LAST_YEAR}.", param, ctx
            )
        return (read if read.tzinfo else read.replace(tzinfo=UTC)).astimezone(UTC)


AS_OF = click.option(
    "--as-of",
    type=Instant(),
    default=None,
    help="The instant that the run calls now, such as 2026-11-16T12:00Z. Default: the clock.",
)


def now_or(as_of: datetime | None) -> datetime:
    """The given instant, or the clock's, to the second."""
    return (as_of or datetime.now(UTC)).replace(microsecond=0)
