"""The help of a command is its documentation."""

import click
import pytest

from pipelines.command.cli import cli

COMMANDS = cli.list_commands(click.Context(cli))


@pytest.mark.parametrize("name", COMMANDS)
def test_every_option_says_what_it_does(name: str) -> None:
    command = cli.get_command(click.Context(cli), name)
    assert command is not None
    assert command.help
    options = [option for option in command.params if isinstance(option, click.Option)]
    assert {option.name for option in options if not option.help} == set()
