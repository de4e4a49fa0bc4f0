"""Odd slips: what a hand, a spreadsheet or a hostile file may hold is refused in plain words."""

import pytest
from conftest import BOOK

from cutfiles.bench.slip import read_slip, slip_from
from cutfiles.draft import draft_of
from cutfiles.errors import FileError, SlipError
from cutfiles.tables.value import _LETTERS, _SIGNS


@pytest.mark.parametrize(
    "height",
    ["9" * 400 + "/3", "9" * 5000 + "/3", "9" * 5000, "1/" + "9" * 400, 10**400, -(10**5000)],
    ids=["above", "far above", "plain", "below", "whole", "far whole"],
)
@pytest.mark.parametrize("field", ["height", "opening_angle", "weight"])
def test_endless_digits_are_refused_in_a_short_line(field, height):
    with pytest.raises(SlipError) as caught:
        slip_from({**BOOK, field: height})
    assert len(str(caught.value)) < 300


@pytest.mark.parametrize("path", ["number", "layers", "nesting"])
def test_endless_digits_in_other_fields(path):
    number = 10**5000
    more = {"number": number} if path == "number" else {"support": {path: number}}
    with pytest.raises(SlipError, match="thousands of digits"):
        slip_from({**BOOK, **more})


@pytest.mark.parametrize(
    "text",
    [
        "a = " + "[" * 5000 + "]" * 5000,
        "a = " + "{a=" * 3000 + "1" + "}" * 3000,
        "height = " + "9" * 5000,
    ],
    ids=["lists", "tables", "digits"],
)
def test_toml_that_its_reader_gives_up_on(tmp_path, text):
    path = tmp_path / "deep.toml"
    path.write_text(text)
    with pytest.raises(
        FileError, match=r"slip deep\.toml: found lists nested.*fill in a blank one"
    ):
        read_slip(path)


def test_long_text_is_quoted_short():
    with pytest.raises(SlipError) as caught:
        slip_from({**BOOK, "height": "x" * 900_000})
    assert len(str(caught.value)) < 300


@pytest.mark.parametrize(
    ("values", "seen"),
    [
        ({"height": "\x1b[31m5"}, r"\x1b[31m5"),
        ({"height": "5\u202emm"}, r"5\u202emm"),
        ({"he\night": 5}, r"he\night"),
        ({"\x1b[31m": 5}, r"\x1b[31m"),
    ],
)
def test_what_is_hidden_in_a_text_is_shown(values, seen):
    with pytest.raises(SlipError) as caught:
        slip_from({**BOOK, **values})
    assert str(caught.value).isprintable()
    assert seen in str(caught.value)


def test_a_number_written_as_a_number_is_told_its_quotation_marks():
    with pytest.raises(SlipError, match=r'write number = "4\.12"'):
        slip_from({**BOOK, "number": 4.12})


@pytest.mark.parametrize("letter", sorted(_SIGNS - {" "} | _LETTERS | {"i", "l", "1"}))
def test_every_letter_labels_a_support_alone(letter):
    made = draft_of(slip_from({**BOOK, "number": letter}))
    assert dict(made.drawing.facts)["number"] == letter
    assert any(stroke.name == "label left" for stroke in made.drawing.strokes)
