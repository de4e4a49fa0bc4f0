"""One word for each thing: what people read keeps to the list of words."""

import re

import pytest
from click.testing import CliRunner
from conftest import ROOT
from sources import named, sources

from cutfiles.cli import COMMANDS, cli
from cutfiles.words.terms import TERMS

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
ADDRESS = re.compile(r"http://\S+")
"""The name of a vocabulary of drawings, spelled as its makers spelled it."""


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


def test_texts_keep_to_the_words():
    """Docstrings too: help is made of them."""
    read = [one for one in sources() if one.where not in HELD]
    assert len(read) == len(sources()) - len(HELD)
    found = {
        f"{one.where}, {text!r}": words
        for one in read
        for text in (*one.texts, *one.docs)
        if text not in OLD_NAMES and not ADDRESS.fullmatch(text) and (words := wrong(text))
    }
    assert not found, named(found)


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


def homeless(word, homes):
    """Yield the texts outside its homes that say a word: there it would mean another thing."""
    said = re.compile(rf"(?<!style )(?<![\w.\[/-]){word}s?(?![\w.\]/-])")
    for one in sources():
        if not one.where.startswith(
            (*homes, *HELD, *HEARD)
        ):  # no docstring, no key: it has no blank
            read = (text for text in one.texts if " " in text)  # keys have no blank
            yield from (f"{one.where}: {text}" for text in read if said.search(text))


@pytest.mark.parametrize("word", HOMES)
def test_a_word_is_said_only_where_its_thing_is(word):
    assert [*homeless(word, HOMES[word])] == []
    assert any(homeless(word, ())), "it is said nowhere: it needs no home"


@pytest.mark.parametrize("text", ["the left wing", "a fold  proof", "no Stock at hand"])
def test_wrong_words_are_noticed(text):
    assert wrong(text)
