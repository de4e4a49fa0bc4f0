"""Titles in any script, in pictures: drawn with our fonts, whatever the viewer has."""

import re
import unicodedata
from xml.etree import ElementTree

import pytest

from cutfiles.report.outlines import _USUAL, is_usual, outline
from cutfiles.report.pictures.canvas import INK, WIDTH, Canvas
from cutfiles.report.script import _font
from cutfiles.support.states import STATES

SVG = "{http://www.w3.org/2000/svg}"
ODD = "A1 · हिन्दी"
"""No shipped font has its letters."""


def heads(heading, where=""):
    """The headings of a picture that are paths, and all that is text."""
    page = Canvas("x", "y")
    page.head(heading, where, STATES[0])
    root = ElementTree.fromstring(page.svg())
    paths = [path for path in root.iter(f"{SVG}path") if path.find(f"{SVG}title") is not None]
    return paths, [text.text for text in root.iter(f"{SVG}text")]


def test_a_line_after_letters_drawn_is_a_line():
    """It has a look of its own: in the letters' path it would be lost, filled and without width."""
    page = Canvas("x", "y")
    page.line([(1, 1), (2, 2)])
    page.text((5, 5), "植物")
    page.line([(3, 3), (9, 9)])
    before, letters, after = ElementTree.fromstring(page.svg()).iter(f"{SVG}path")
    assert letters.find(f"{SVG}title").text == "植物"
    assert "M3,3" not in letters.get("d")
    assert (before.get("d"), after.get("d")) == ("M1,1l1 1", "M3,3l6 6")
    assert before.get("stroke") == after.get("stroke") == INK


def ends(path):
    return [float(x) for x in re.findall(r"M(-?[\d.]+)", path.get("d"))]


@pytest.mark.parametrize(
    "title", ["A1 · 植物図鑑" * 20, "A1 · كتاب النباتات", "A1 · Περὶ φυτῶν ἱστορία", "Травник", ODD]
)
def test_a_title_is_drawn_within_the_page(title):
    (path, where), texts = heads(title, "藏 12")
    assert path.find(f"{SVG}title").text[:-1] in title
    assert where.find(f"{SVG}title").text == "藏 12"
    assert all(is_usual(text or "") for text in texts)
    assert 15 < min(ends(path)) < 17
    assert max(ends(path)) < WIDTH - 30


def test_a_script_that_no_font_has_is_told_in_words():
    assert outline(ODD, 6, (15, 17)) == outline("A1 · [Devanagari]", 6, (15, 17))


def test_latin_titles_stay_text():
    for title in ("Flore d’été · ½", "Łódź – Việt Nam", "A1 · plain"):
        paths, texts = heads(title)
        assert paths == []
        assert title in texts


def test_signs_stand_one_after_another_from_where_the_line_begins():
    """As far as reportlab, which measures the printed sheets, says too."""
    from cutfiles.report.script import width_of

    text = "植ΩЖ"
    left, middle, right = (min(ends_of(text, share)) for share in (0.0, 0.5, 1.0))
    assert left - right == pytest.approx(width_of(text, 6.0), abs=0.02)
    last = max(ends_of(text, 0.0)) - max(ends_of("Ж", 0.0))
    assert last == pytest.approx(width_of("植Ω", 6.0), abs=0.02)
    assert left - middle == pytest.approx((left - right) / 2, abs=0.002)


def ends_of(text, share):
    return [float(x) for x in re.findall(r"M(-?[\d.]+)", outline(text, 6.0, (50, 9), share))]


@pytest.mark.parametrize("face", ["plain", "bold"])
def test_the_shipped_fonts_have_what_is_left_as_text(face):
    """A PNG takes its letters from them."""
    known = _font(face).face.charToGlyph
    usual = [number for part in _USUAL for number in part]
    none = ("Cc", "Cf", "Cn")
    assert [n for n in usual if n not in known and unicodedata.category(chr(n)) not in none] == []
