"""What texts of the package may say, that none is parsed to decide anything, that examples hold."""

import doctest
import importlib
import re

import pytest
from conftest import ROOT
from sources import MODULES, PACKAGE, name_of, named, parsed, sources, texts_of

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


def examples_of(docs):
    """Return the docstrings that show examples."""
    return [text for text in docs if ">>>" in text]


def disproved(module, docs):
    """Return what is said of the examples in docstrings of a module that do not hold."""
    said, parser, runner = [], doctest.DocTestParser(), doctest.DocTestRunner(verbose=False)
    for text in examples_of(docs):
        shown = parser.get_doctest(text, vars(module), module.__name__, module.__file__, 0)
        runner.run(shown, out=said.append)
    return "".join(said)


ROOMS = {
    name_of(path).split(".")[0] for path in MODULES if ">>>" in path.read_text(encoding="utf-8")
}
"""Those that show examples."""


@pytest.mark.parametrize("room", sorted(ROOMS))
def test_examples_hold(room):
    found = {}
    for one in sources():
        if one.name.split(".")[0] == room and examples_of(one.docs):
            module = importlib.import_module(f"cutfiles.{one.name}".rstrip("."))
            found[one.where] = disproved(module, one.docs)
    said = {where: text for where, text in found.items() if text}
    assert found
    assert not said, named(said)


def test_examples_are_found_and_one_that_does_not_hold_is_noticed():
    assert sum(len(examples_of(one.docs)) for one in sources()) >= 230
    wrong = ["Of a name:\n\n    >>> name_of(ROOT / 'cutfiles' / 'draft.py')\n    'drift'\n"]
    said = disproved(importlib.import_module(__name__), [*wrong, "No example."])
    assert "Expected:\n    'drift'\nGot:\n    'draft'" in said
