"""One word for each thing: what people read keeps to the list of words."""

import ast
import functools
import re

import pytest
from click.testing import CliRunner
from conftest import ROOT

from cutfiles.cli import COMMANDS, cli
from cutfiles.words.terms import TERMS

PACKAGE = ROOT / "cutfiles"
NEVER = re.compile(
    r"\b("
    + "|".join(re.escape(word).replace(r"\ ", r"\s+") for term in TERMS for word in term.never)
    + r")\b(?!-)",  # "cut sheet-001" is a verb and a number
    re.IGNORECASE,
)
HELD = {"words/terms.py"}
HEARD = ("lists/wording/", "lists/headers.py", "lists/mapping.py", "lists/ledger.py")
"""What people write in lists is read there: their words, not ours."""
OLD_NAMES = {"--stock", "stock"}
"""What an option, and a field of files once written, was called: still understood."""


CUTTING = ("job/asked.py", "job/cut_record.py", "job/cutting.py", "job/pass_files.py")
HOMES = {
    "sheet": (
        *CUTTING,
        *("film/", "exhibit/", "machine/", "cli/", "bench/films.py", "files/passes.py"),
        *(
            "desk/",
            "files/readers/limits.py",
            "report/text/plan.py",
            "support/advice.py",
            "lists/spreadsheet.py",
        ),
        *("report/pictures/alignment.py", "report/printed/pass_"),
    ),
    "plan": (
        *CUTTING,
        *("cli/align.py", "cli/cut.py", "job/aligned.py", "job/beside.py"),
        *("desk/front.py", "desk/sheets.py", "desk/shelf.py", "desk/plan.py", "desk/sittings.py"),
        *("machine/", "files/passes.py"),
    ),
    "worksheet": ("lists/",),
}
"""Where a word may be said, for there it means one thing: film to be cut, what a cutter does."""


def wrong(text):
    return [found.group(0) for found in NEVER.finditer(text)]


def texts(path):
    """Every text constant of a module, docstrings too: help is made of them."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value


@pytest.mark.parametrize(
    "path",
    [p for p in sorted(PACKAGE.rglob("*.py")) if str(p.relative_to(PACKAGE)) not in HELD],
    ids=lambda path: str(path.relative_to(PACKAGE)),
)
def test_texts_keep_to_the_words(path):
    found = [(text, wrong(text)) for text in texts(path) if text not in OLD_NAMES]
    assert [one for one in found if one[1]] == []


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md"])
def test_handbooks_keep_to_the_words(name):
    assert wrong((ROOT / name).read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("name", COMMANDS)
def test_help_keeps_to_the_words(name):
    assert wrong(CliRunner().invoke(cli, [name, "--help"]).output) == []


def test_samples_keep_to_the_words():
    for path in sorted((ROOT / "samples" / "files").glob("*.svg")):
        texts = re.findall(r">([^<]+)<", path.read_text(encoding="utf-8"))
        assert wrong("\n".join(texts)) == [], path.name


def test_no_word_stands_twice_or_is_forbidden_elsewhere():
    words = [term.word for term in TERMS]
    assert len(set(words)) == len(words)
    assert not set(words) & {word for term in TERMS for word in term.never}


@functools.cache
def told(path):
    """Return all texts of a module that people may read: no docstring, no key (it has no blank)."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    hidden = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    texts = (
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and id(node) not in hidden
    )
    return tuple(text for text in texts if isinstance(text, str) and " " in text)


def homeless(word, homes):
    """Yield the texts outside its homes that say a word: there it would mean another thing."""
    said = re.compile(rf"(?<!style )(?<![\w.\[/-]){word}s?(?![\w.\]/-])")
    for path in sorted(PACKAGE.rglob("*.py")):
        name = str(path.relative_to(PACKAGE))
        if not name.startswith((*homes, *HELD, *HEARD)):
            yield from (f"{name}: {text}" for text in told(path) if said.search(text))


@pytest.mark.parametrize("word", HOMES)
def test_a_word_is_said_only_where_its_thing_is(word):
    assert [*homeless(word, HOMES[word])] == []
    assert any(homeless(word, ())), "it is said nowhere: it needs no home"


@pytest.mark.parametrize("text", ["the left wing", "a fold  proof", "no Stock at hand"])
def test_wrong_words_are_noticed(text):
    assert wrong(text)
