"""What the terminal advises can be done: an option is named only with a command that has it."""

import re

import click
import pytest
from click.testing import CliRunner

from cutfiles.cli import COMMANDS, cli
from cutfiles.cli.remedies import REMEDIES, worded
from cutfiles.errors import Fault, Place

OPTION = re.compile(r"(?<![\w-])--[a-z][a-z-]*")
WITH_COMMAND = re.compile(r"\bcutfiles ([a-z]+)((?: (?!and\b|or\b)[^\s;,:()]+)*)")
ROW = "number,units,height,width,spine_width,opening_angle,made of\nT1,mm,203,133,34,120,ours\n"


def options_of(name):
    """Every option of a command, those of its parts too."""
    command = cli.get_command(click.Context(cli), name)
    parts = [command, *getattr(command, "commands", {}).values()]
    return {option for part in parts for one in part.params for option in one.opts}


def named(text):
    """Return the options a text names by themselves, and those it names with each command."""
    with_command = [(name, OPTION.findall(rest)) for name, rest in WITH_COMMAND.findall(text)]
    return OPTION.findall(WITH_COMMAND.sub(" ", text)), with_command


@pytest.mark.parametrize("key", REMEDIES)
def test_a_remedy_says_which_options_it_names(key):
    alone, with_command = named(REMEDIES[key].text)
    inner = ["--films", "--trials"] if key == "make-first" else []  # in brackets: of `make`
    assert alone == [*inner, *REMEDIES[key].options]
    for name, given in [*with_command, *([("make", inner)] if inner else [])]:
        assert name in COMMANDS
        assert set(given) <= options_of(name), f"{name} has no {given}"


@pytest.mark.parametrize("name", COMMANDS)
def test_a_command_advises_only_options_of_its_own(name):
    command = cli.get_command(click.Context(cli), name)
    told = 0
    for part in getattr(command, "commands", {"": command}).values():
        with click.Context(part):
            for key, remedy in REMEDIES.items():
                said = worded(Fault(Place(file="x"), "this", "that", "do otherwise", key)).remedy
                assert said == "do otherwise" or set(remedy.options) <= options_of(name)
                told += said != "do otherwise"
    assert told >= sum(not remedy.options for remedy in REMEDIES.values())


@pytest.mark.parametrize("name", COMMANDS)
def test_help_names_only_options_that_there_are(name):
    said = re.sub(r"\\\s*\n\s*", " ", CliRunner().invoke(cli, [name, "--help"]).output)
    alone, with_command = [], []
    for line in said.splitlines():
        alone, with_command = alone + named(line)[0], with_command + named(line)[1]
    for other, given in with_command:
        assert other in COMMANDS
        assert set(given) <= options_of(other) | {"--help"}, f"{other} has no {given}"
    everywhere = {one for command in COMMANDS for one in options_of(command)} | {"--help"}
    assert set(alone) <= everywhere


def test_a_list_takes_the_table_of_films_that_it_advises(tmp_path):
    books, films, columns = (
        tmp_path / name for name in ("books.csv", "films.toml", "columns.toml")
    )
    columns.write_text('[columns]\n"made of" = "support.film"\n', encoding="utf-8")
    books.write_text(ROW, encoding="utf-8")
    films.write_text('[[film]]\nname = "ours"\ngauge = "5 mil"\n', encoding="utf-8")
    refused = CliRunner().invoke(cli, ["list", str(books), "--mapping", str(columns)])
    assert refused.exit_code == 1
    assert "name your own table with --films" in refused.output
    given = ["--mapping", str(columns), "--films", str(films)]
    taken = CliRunner().invoke(cli, ["list", str(books), *given])
    assert taken.exit_code == 0, taken.output
