"""What texts of the package may say, and that none is parsed to decide anything."""

import ast
import functools
import re

import pytest
from conftest import ROOT

from cutfiles.cli.remedies import REMEDIES

PACKAGE = ROOT / "cutfiles"
BELOW = [
    path
    for path in sorted(PACKAGE.rglob("*.py"))
    if path.relative_to(PACKAGE).parts[0] not in ("cli", "desk")
]
COMMAND = re.compile(r"(?:^|[\s\"'`=]|(?<!var)\()--[a-z]|\bcutfiles [a-z]+\b(?! \d)")
ASKS = {
    "startswith",
    "endswith",
    "partition",
    "rpartition",
    "split",
    "find",
    "count",
    "removeprefix",
    "removesuffix",
}
SAID = {"message", "found", "needed", "remedy"}


@functools.lru_cache(maxsize=1)
def tree_of(source):
    """Return a source parsed, once for all that is asked of it in turn; all would fill memory."""
    return ast.parse(source)


@functools.cache
def texts_of(source):
    """Every text of a source but its docstrings."""
    nodes = list(ast.walk(tree_of(source)))
    told = {
        id(node.value)
        for node in nodes
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
    }
    texts = (node for node in nodes if isinstance(node, ast.Constant) and id(node) not in told)
    return tuple(node.value for node in texts if isinstance(node.value, str))


def named(source):
    """Return the texts that name a command or an option."""
    return [text for text in texts_of(source) if COMMAND.search(text)]


def is_said(node):
    """Whether an expression is what a message says, or the name of a stroke."""
    if isinstance(node, ast.Attribute):
        of_stroke = isinstance(node.value, ast.Name) and node.value.id in ("stroke", "s")
        return node.attr in SAID or (node.attr == "name" and of_stroke)
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "str":
        return any(isinstance(a, ast.Name) and a.id in ("error", "finding") for a in node.args)
    return isinstance(node, ast.Name) and node.id == "message"


def _compared(node):
    """What a comparison asks: either side of an equation, and what a text is looked for in."""
    named = isinstance(node.left, ast.Attribute) and node.left.attr == "name"  # found by its name
    equal = isinstance(node.ops[0], ast.Eq | ast.NotEq) and not named
    return [node.left, *node.comparators] if equal else node.comparators


def parsed(source):
    """Return the lines at which a message is asked for what it says."""
    for node in ast.walk(tree_of(source)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            of_re = isinstance(node.func.value, ast.Name) and node.func.value.id == "re"
            asked = [node.func.value] if node.func.attr in ASKS else []
            if node.args and any(map(is_said, [*asked, *(node.args if of_re else ())])):
                yield node.lineno
        elif (
            isinstance(node, ast.Compare)
            and isinstance(node.ops[0], ast.In | ast.NotIn | ast.Eq | ast.NotEq)
            and any(map(is_said, _compared(node)))
        ):
            yield node.lineno


@pytest.mark.parametrize("path", BELOW, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_no_text_names_a_command_and_none_is_parsed(path):
    source = path.read_text(encoding="utf-8")
    assert named(source) == []
    assert list(parsed(source)) == []


@pytest.mark.parametrize(
    "source",
    ['x = "rename it, or give --replace"', 'x = f"{a}: cutfiles fold {b}"', 'x = "(--mapping)"'],
)
def test_texts_that_name_a_command_are_noticed(source):
    assert named(source)


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
    texts = {text for path in BELOW for text in texts_of(path.read_text(encoding="utf-8"))}
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
