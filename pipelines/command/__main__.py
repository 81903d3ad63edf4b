"""``python -m pipelines.command`` is ``ledgerstone``."""

from pipelines.command.cli import main

main()
