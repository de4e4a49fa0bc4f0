"""Fonts read by our own reader, and parts of them, held against fontTools."""

import io

import pytest
from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.ttLib import TTFont

from cutfiles.report.script import _FILES, _FONTS, font_of

LETTERS = "Aa0 .é…×ﬁΩЖ"
FACES = list(_FILES)


@pytest.fixture(scope="module", params=FACES)
def both(request):
    """A font by our reader and by fontTools."""
    with TTFont(_FONTS / _FILES[request.param], fontNumber=0, lazy=True) as theirs:
        yield font_of(request.param), theirs


def known_of(theirs):
    numbers = theirs.getReverseGlyphMap()
    return {chr(code): numbers[name] for code, name in theirs.getBestCmap().items()}


def test_every_letter_has_its_glyph_and_no_other_has_one(both):
    ours, theirs = both
    known = known_of(theirs)
    assert len(known) > 5000
    beside = {chr(ord(char) + 1) for char in known if char < "\U0010ffff"} - set(known)
    assert {char: ours.glyph(char) for char in known} == known
    assert {ours.glyph(char) for char in beside | {"\uffff"}} == {None}


def test_every_glyph_is_as_wide(both):
    ours, theirs = both
    names = theirs.getGlyphOrder()
    wide = [theirs["hmtx"][name][0] for name in names]
    assert [ours.advance(number) for number in range(len(names))] == wide
    assert ours.units == theirs["head"].unitsPerEm
    assert ours.width("Aa") == (ours.advance(ours.glyph("A")) + ours.advance(ours.glyph("a"))) / (
        ours.units
    )


def drawn(font, name):
    pen = DecomposingRecordingPen(font.getGlyphSet())
    font.getGlyphSet()[name].draw(pen)
    return pen.value


def test_a_part_has_its_glyphs_alone_as_they_were_without_hints(both):
    ours, theirs = both
    wanted = {ours.glyph(char) for char in LETTERS} - {None}
    whole = ours.alone(wanted)
    part = TTFont(io.BytesIO(whole), checkChecksums=2)
    assert set(part.keys()) - {"GlyphOrder"} == {"glyf", "head", "hhea", "hmtx", "loca", "maxp"}
    before, after = theirs.getGlyphOrder(), part.getGlyphOrder()
    assert len(after) == max(wanted) + 1
    for number in wanted:
        assert drawn(part, after[number]) == drawn(theirs, before[number])
        assert part["hmtx"][after[number]] == theirs["hmtx"][before[number]]
        glyph = part["glyf"][after[number]]
        assert not getattr(glyph, "program", b"")
    empty = [n for n, name in enumerate(after) if n and not part["glyf"][name].numberOfContours]
    assert len(empty) > len(after) - 2 * len(wanted) - 2
    assert len(whole) < 8 * len(after) + 700 * len(wanted)


def test_a_font_of_many_shapes_tells_their_places_in_long_numbers():
    ours = font_of("wide")
    wanted = [ours.glyph(chr(code)) for code in range(0x4E00, 0x4E00 + 2000)]
    part = TTFont(io.BytesIO(ours.alone(one for one in wanted if one)), checkChecksums=2)
    assert part["head"].indexToLocFormat == 1
    last = wanted[-1]
    with TTFont(_FONTS / _FILES["wide"], fontNumber=0, lazy=True) as theirs:
        name = theirs.getGlyphOrder()[last]
        assert drawn(part, part.getGlyphOrder()[last]) == drawn(theirs, name)
