"""Text of any script: order, fonts, nothing lost, nothing shown as a box."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutfiles.report.script import _font, from_left, runs, shortened, width_of, wrapped


def printed(text, **kind):
    return "".join(run.text for run in runs(text, **kind))


@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=40))
def test_every_letter_printed_has_a_glyph(text):
    for run in runs(text):
        face = next(f for f in ("plain", "bold", "wide") if _font(f).fontName == run.font)
        known = _font(face).face.charToGlyph
        assert all(ord(char) in known or char == " " for char in run.text)


@pytest.mark.parametrize(
    ("text", "order"),
    [
        ("abc", "abc"),
        ("שלום", "םולש"),
        ("MS 12: שלום, 1650", "MS 12: 1650 ,םולש"),
        ("植物図鑑 가나", "植物図鑑 가나"),
        ("כתב (יד)", "(די) בתכ"),
        ("שָׁלוֹם", "םולש"),
        ("हिन्दी पुस्तक", "[Devanagari]"),
        ("a हिन्दी b", "a [Devanagari] b"),
        ("x\u200by", "xy"),
    ],
)
def test_order_on_paper(text, order):
    assert " ".join(printed(text).split()) == order


def test_arabic_letters_are_joined():
    """Initial, medial, final form (Unicode block Arabic Presentation Forms-B), right to left."""
    assert printed("بيت") == "\ufe96\ufef4\ufe91"


def test_parts_keep_their_places():
    assert printed(from_left("12", "שלום", "template 1:1")) == "12, םולש, template 1:1"
    assert printed(from_left("שלום", "", "GC 12")) == "םולש, GC 12"


@given(st.text(st.sampled_from("abc WWW 植אב"), max_size=60), st.floats(5, 60))
def test_lines_fit_and_lose_nothing(text, width):
    lines = wrapped(text, width, 3.0)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    for line in lines:
        assert width_of(line, 3.0) <= width + 1e-6 or len(line) == 1


@given(st.text(st.sampled_from("abc WWW植"), max_size=60), st.floats(5, 60))
def test_shortened_fits_and_begins_alike(text, width):
    short = shortened(text, width, 3.0)
    assert width_of(short, 3.0) <= width + 1e-6
    assert short == text or (short.endswith("…") and text.startswith(short[:-1]))
