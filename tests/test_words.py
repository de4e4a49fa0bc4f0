"""One word for each thing: what people read keeps to the list of words."""

import ast
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
    + r")\b",
    re.IGNORECASE,
)
HELD = {"words/terms.py"}
OLD_NAMES = {"--stock", "stock"}
"""What an option, and a field of files once written, was called: still understood."""


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


@pytest.mark.parametrize("text", ["the left wing", "a fold  proof", "no Stock at hand"])
def test_wrong_words_are_noticed(text):
    assert wrong(text)
