"""Wordings of sizes as collections and library catalogues have them: read right, or asked."""

import json

import pytest
from conftest import ROOT
from hypothesis import given
from hypothesis import strategies as st

from cutfiles.lists.wording.checks import ASKS
from cutfiles.lists.wording.reading import read_wording
from cutfiles.units import read_length

REAL = json.loads((ROOT / "tests/bench/wordings.json").read_text())
"""Real wordings that may be shipped; what they say was set by hand, by two readers."""


def sizes_of(read):
    texts = (read.height, read.width, read.thickness)
    return [read_length(text) if text else None for text in texts]


@pytest.mark.parametrize("row", REAL, ids=[row["text"][:40] for row in REAL])
def test_real_wordings(row):
    read = read_wording(row["text"])
    if "ask" in row:
        assert read.ask is not None
        assert read.ask.key == row["ask"]
        return
    assert read.ask is None
    for got, wanted in zip(sizes_of(read), row["sizes"], strict=True):
        assert (got is None) == (wanted is None)
        assert got is None or got == pytest.approx(wanted, abs=0.1)


BOOK = [200, 130, 30]


@pytest.mark.parametrize(
    ("text", "sizes", "order"),
    [
        ("20 x 13 x 3 cm", BOOK, "convention"),
        ("20x13x3cm", BOOK, "convention"),
        ("Overall (closed): 20 × 13 × 3 cm (7 7/8 × 5 1/8 × 1 3/16 in.)", BOOK, "convention"),
        ("7 7/8 x 5 1/8 in. | 20 x 13 cm", [200.025, 130.175, None], "convention"),
        ("7⅞ × 5⅛ in", [200.025, 130.175, None], "convention"),
        ('7-7/8" x 5-1/8" x 1-3/16"', [200.025, 130.175, 30.1625], "convention"),
        ("20 cm (7 7/8 in.) x 13 cm (5 1/8 in.)", [200, 130, None], "convention"),
        ("Height 20 cm (7 7/8 in), width 13 cm (5 1/8 in)", [200, 130, None], "labels"),
        ("H 20 x W 13 x D 3 cm", BOOK, "labels"),
        ("W 13 x H 20 x D 3 cm", BOOK, "labels"),
        ("20 (H) x 13 (W) x 3 (D) cm", BOOK, "labels"),
        ("20 cm H x 13 cm W x 3 cm D", BOOK, "labels"),
        ("H20cm W13cm D3cm", BOOK, "labels"),
        ("20 x 13 x 3 cm (H x W x D)", BOOK, "labels"),
        ("BxHxT: 13 x 20 x 3 cm", BOOK, "labels"),
        ("Höhe: 20 cm; Breite: 13 cm; Tiefe: 3 cm", BOOK, "labels"),
        ("Hauteur 20 cm ; largeur 13 cm ; épaisseur 3 cm", BOOK, "labels"),
        ("Alto: 20 cm; Ancho: 13 cm; Fondo/Profundidad: 3 cm", BOOK, "labels"),
        ("13 cm wide by 20 cm tall", [200, 130, None], "labels"),
        ("20 x 13 cm, 3 cm thick", BOOK, "convention"),
        ("Folio; 52 × 34 × 7 cm", [520, 340, 70], "convention"),
        ("1 book, 20 x 13 cm", [200, 130, None], "convention"),
        ("8vo, 20 x 13 cm", [200, 130, None], "convention"),
        ("closed: 20 x 13 x 3 cm; open: 20 x 27 cm", BOOK, "convention"),
        ("Einband: 20 x 13 x 3 cm; Blatt: 19 x 12 cm", BOOK, "convention"),
        ("Page: 19 x 12 cm. Overall: 20 x 13 x 3 cm.", BOOK, "convention"),
        ("20 x 13 x 3 cm; box 25 x 18 x 8 cm", BOOK, "convention"),
        ("xii, 345 p., [8] leaves of plates : ill. ; 20 x 13 cm", [200, 130, None], "catalogue"),
        ("1 v. : ill., folded map ; 13 x 20 cm", [130, 200, None], "catalogue"),
        ("20 x 13 cm, 120 leaves", [200, 130, None], "catalogue"),
        ("landscape 13 x 20 cm", [130, 200, None], "labels"),
        ("Maße: 20 x 13 x 3 cm", BOOK, "convention"),
    ],
)
def test_read(text, sizes, order):
    read = read_wording(text)
    assert read.ask is None, read.ask
    assert sizes_of(read) == pytest.approx(sizes)
    assert read.order == order


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("27 cm (height)", "height"),
        ("Larghezza 320 mm", "height"),
        ("88 ff., 24 cm.", "height"),
        ("each: 20 x 13 x 3 cm", "each"),
        ("20 x 13 cm (average)", "each"),
        ("30 x 20 cm, folded to 15 x 10 cm", "folded"),
        ("20 x 13 cm, in box 25 x 18 cm", "held"),
        ("with slipcase: 20 x 13 x 3 cm", "held"),
        ("Bd. 1–4: 20 x 13 x 3 cm", "set"),
        ("3 v. : ill. ; 20 x 13 cm", "set"),
        ("a–c: 20 x 13 x 3 cm", "set"),
        ("2 books, 20 x 13 x 3 cm", "set"),
        ("3 album, 20 x 13 x 3 cm", "set"),
        ("two volumes: 20 x 13 x 3 cm", "set"),
        ("20 x 13 cm; 24 x 16 cm", "several"),
        ("34 (17) x 25 (24,5) cm", "several"),
        ("1 score (24 p.) ; 31 x 24 cm", "loose"),
        ("20 x 13 cm + 1 booklet", "accompanied"),
        ("20-24 x 13 cm", "range"),
        ("x 13 x 3 cm", "number"),
        ("9 14/ in. x 11 in.", "number"),
        ("1,234 x 200 mm", "number"),
        ("20 x 0 cm", "number"),
        ("20 x 13 x 3", "unit"),
        ("20 cm x 13", "unit"),
        ("10' x 8'", "feet"),
        ("Image: 6 x 4 in. Sheet: 8 x 5 in.", "other"),
        ("20 x 13 cm (sheet)", "other"),
        ("open: 20 x 27 cm", "other"),
        ("20 x 13 x 3 cm with frame", "other"),
        ("20 x 13 x 3 cm (without clasps)", "words"),
        ("20 x 13 cm?", "words"),
        ("8 1/2 x 5 1/2 in (26.1 x 14 cm)", "units"),
        ("9 in x 6 cm", "units"),
        ("3 x 13 x 20 cm", "order"),
        ("L 20 x W 13 x H 3 cm", "order"),
        ("20 x 13 x 3 cm (height x depth)", "order"),
        ("Volumes: 20 x 13 x 3 cm", "set"),
        ("28 x 22 cm (oblong)", "order"),
        ("diam. 12 cm", "round"),
        ("120 x 80 cm", "large"),
        ("various dimensions", "various"),
        ("see file", "nothing"),
        ("9" * 40_000, "long"),
    ],
)
def test_asked(text, key):
    read = read_wording(text)
    assert read.ask is not None
    assert read.ask.key == key


def test_every_question_is_reached_and_worded():
    assert all(ask.needed and ask.remedy for ask in ASKS.values())
    reached = {key for mark in test_asked.pytestmark for _, key in mark.args[1]}
    assert set(ASKS) - reached == set()


def test_what_is_known_of_a_size_is_kept():
    assert read_wording("85 pages ; 22 cm").height == "22 cm"
    assert read_wording("20 x 13 cm; weight 1.2 kg").weight == "1.2 kg"
    assert read_wording("ca. 20 x 13 cm").about
    assert read_wording("20 x 13", bare="cm").ask is None
    turned = read_wording("13 x 20 cm", order=("width", "height"))
    assert (turned.height, turned.width, turned.order) == ("20 cm", "13 cm", "header")


def test_an_order_told_of_two_numbers_holds_for_three():
    """A header "W x H" over "30 x 20 x 3": a landscape book, not one 30 tall."""
    read = read_wording("30 x 20 x 3 cm", order=("width", "height"))
    assert (read.height, read.width, read.thickness) == ("20 cm", "30 cm", "3 cm")
    read = read_wording("30 x 20 cm", order=("width", "height", "thickness"))
    assert (read.height, read.width) == ("20 cm", "30 cm")
    read = read_wording("30 x 20 x 3 cm (W x H)")
    assert (read.height, read.width) == ("20 cm", "30 cm")
    assert read_wording("30 cm", order=("width", "height")).ask == ASKS["order"]


def test_a_size_wider_than_tall_says_so_unless_something_tells_the_order():
    assert read_wording("4 x 38 x 3 cm").wide
    assert not read_wording("H 4 x W 38 x D 3 cm").wide
    assert not read_wording("59 p. ; 23 x 27 cm").wide
    assert not read_wording("38 x 4 cm").wide


WORDS = st.sampled_from(
    "20 13 3 1/2 x × cm in. mm ( ) : ; , | + - H W D closed open each sheet book p. vol. folded "
    "[8] ½ ' \" and xyzzy about 450 g".split()
)


@given(st.lists(WORDS, max_size=14).map(" ".join) | st.text(max_size=30))
def test_any_words_are_read_or_asked(text):
    read = read_wording(text)
    if read.ask is None:
        height, width, _ = sizes_of(read)
        assert 0 < height <= 1000
        assert 0 < width <= 1000
        assert "xyzzy" not in text
        assert "sheet" not in text or read.thickness or "book" in text or "closed" in text
