"""ledgerstone serve."""

import functools
import http.server
from pathlib import Path

import click

from pipelines.command.options import SITE


@click.command("serve")
@SITE
@click.option("--port", type=click.IntRange(1, 65535), default=8080, show_default=True,
              help="Another, where this one is taken.")  # fmt: skip
def command(site: Path, port: int) -> None:
    """Show the pages at http://127.0.0.1:PORT, to this machine only. Ctrl-C ends it."""
    if not (site / "index.html").exists():
        raise click.UsageError(f"There are no pages in {site}; make them with ledgerstone run.")
    handler = functools.partial(http.server.SimpleHTTPRequestHandler, directory=str(site))
    try:
        server = http.server.ThreadingHTTPServer(("127.0.0.1", port), handler)
    except OSError as error:
        raise click.UsageError(f"Port {port} is taken ({error.strerror}); try --port.") from error
    with server:
        click.echo(f"http://127.0.0.1:{port}/  (Ctrl-C ends it)")
        server.serve_forever()
