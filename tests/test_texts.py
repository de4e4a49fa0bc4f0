"""What texts of the package may say, and that none is parsed to decide anything."""

import re

import pytest
from conftest import ROOT
from sources import PACKAGE, named, parsed, sources, texts_of

from cutfiles.cli.remedies import REMEDIES

COMMAND = re.compile(r"(?:^|[\s\"'`=]|(?<!var)\()--[a-z]|\bcutfiles [a-z]+\b(?! \d)")


def below():
    """Return what stands below the command line and the desk."""
    return [one for one in sources() if not one.where.startswith(("cli/", "desk/"))]


def commanding(texts):
    """Return the texts that name a command or an option."""
    return [text for text in texts if COMMAND.search(text)]


def test_no_text_names_a_command_and_none_is_parsed():
    assert len(below()) > 300
    commands = {one.where: found for one in below() if (found := commanding(one.texts))}
    assert not commands, named(commands)
    found = {one.where: f"lines {one.parsed}" for one in below() if one.parsed}
    assert not found, named(found)


@pytest.mark.parametrize(
    "source",
    ['x = "rename it, or give --replace"', 'x = f"{a}: cutfiles fold {b}"', 'x = "(--mapping)"'],
)
def test_texts_that_name_a_command_are_noticed(source):
    assert commanding(texts_of(source)[0])


@pytest.mark.parametrize(
    "source",
    [
        'found.message.startswith("is moved")',
        '"overwrite" in message',
        'str(error).partition(":")',
        'stroke.name.startswith("tape")',
        '"x" in finding.message',
        'finding.message == "x"',
        're.match("a", finding.message)',
    ],
)
def test_texts_that_are_parsed_are_noticed(source):
    assert list(parsed(source))


def test_every_remedy_of_the_terminal_is_asked_for():
    texts = {text for one in below() for text in one.texts}
    composed = ("quote-films", "quote-workshop", "size-wide")  # of a noun, of a question's key
    assert [key for key in REMEDIES if key not in texts and key not in composed] == []


def test_the_page_for_contributors_names_what_there_is():
    """Modules and folders in its code marks exist; a moved one is told."""
    page = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    named = {
        name for name in re.findall(r"`([a-z_/]+(?:\.py)?)`", page) if re.search(r"/|\.py", name)
    }
    assert "support/judge.py" in named
    for name in named:
        places = (ROOT / name, PACKAGE / name, PACKAGE / f"{name}.py", ROOT / f"{name}.py")
        assert any(place.exists() for place in places), name
