"""Letters as outlines: titles in any script look alike wherever a picture is opened.

Every viewer has Latin letters; whether it has Greek, Arabic or Chinese ones, nobody knows. Those
are drawn, by the fonts that ship with the package.
"""

from functools import cache
from pathlib import Path
from typing import Any

from cutfiles.lengths import trimmed
from cutfiles.report.script import glyphs

_USUAL = (
    *(range(0x2EA), range(0x300, 0x350), range(0x1E00, 0x1EFC)),
    *(range(0x2010, 0x2028), range(0x2030, 0x2060), range(0x2070, 0x20B6)),
    *(range(0x2150, 0x2186), range(0x2190, 0x2300)),
)
"""Latin letters with their accents; punctuation, money, fractions, arrows, arithmetic: as far as
the shipped fonts have them, so that a PNG shows all of them too."""
Place = tuple[float, float]


def is_usual(text: str) -> bool:
    """Tell whether every viewer has the letters of a text.

    >>> is_usual("Flore d’été"), is_usual("植物図鑑")
    (True, False)
    """
    return all(any(ord(char) in part for part in _USUAL) for char in text if char > "\x7f")


def outline(text: str, size: float, at: Place, before: float = 0.0, *, bold: bool = False) -> str:
    """Return a line of text as a path in SVG's words; a script that no font has is named in [].

    Args:
        text: any script.
        size: of the letters.
        at: a place on the baseline, y down.
        before: share of the line's width that lies left of it.
        bold: heavier.

    """
    from fontTools.pens.svgPathPen import SVGPathPen
    from fontTools.pens.transformPen import TransformPen

    signs = [(*_font(file), _name(number)) for file, number in glyphs(text, bold=bold)]
    x, y, path = at[0], at[1], ""
    x -= before * size * sum(shapes[name].width / units for shapes, units, name in signs)
    for shapes, units, name in signs:
        pen, scale = SVGPathPen(shapes, ntos=_number), size / units
        shapes[name].draw(TransformPen(pen, (scale, 0, 0, -scale, x, y)))
        path += pen.getCommands()
        x += shapes[name].width * scale
    return path


@cache
def _font(file: Path) -> tuple[Any, int]:
    """Return the shapes of a font and the units of its em."""
    from fontTools.ttLib import TTFont

    font = TTFont(file, fontNumber=0, lazy=True)
    # named by number: to make names from the letters takes a second
    font.setGlyphOrder([_name(number) for number in range(font["maxp"].numGlyphs)])
    return font.getGlyphSet(), font["head"].unitsPerEm


def _number(value: float) -> str:
    """Return a number to 0.001 mm, without idle zeros."""
    return trimmed(value, 3)


def _name(number: int) -> str:
    return f"glyph{number}"
