"""Text as single strokes: lays our glyphs in a line, with accents composed on their letters."""

import unicodedata
from functools import lru_cache

from cutfiles.pattern.glyphs import ABOVE, BASELINE, BELOW, CAP_HEIGHT, GLYPHS, SAME, X_HEIGHT
from cutfiles.plane.shapes import Path, Point

_UNITS = CAP_HEIGHT - BASELINE
_GAP = 2
_TALL_SMALL = frozenset("bdfhklđłħ")


def text_strokes(text: str, at: tuple[float, float], height: float) -> tuple[Path, ...]:
    """Return the strokes of a line of text, their places to 0.01 mm.

    So no file tells a letter to more places than anybody sees: a twentieth of a cut file. Nothing
    has to meet a letter, so this rounding ahead of the writer's opens no gap.

    Args:
        text: Latin letters with accents, digits, punctuation.
        at: left end of the baseline, mm.
        height: of the capitals, mm.

    Raises:
        KeyError: a character has no glyph; `undrawable` tells before.

    """
    scale, (left, base) = height / _UNITS, at
    paths: list[Path] = []
    x = 0.0
    for cluster in _clusters(text):
        for points, closed in _glyph(cluster):
            placed = [
                Point(round(left + (x + px) * scale, 2), round(base + py * scale, 2))
                for px, py in points
            ]
            straight = (0.0,) * (len(placed) if closed else len(placed) - 1)
            paths.append(Path(tuple(placed), straight, closed))
        x += GLYPHS[_known(cluster)][0] + _GAP
    return tuple(paths)


def text_width(text: str, height: float) -> float:
    """Return the width of a line of text, mm, for capitals of this height in mm.

    >>> text_width("HH", 6.0)
    10.0
    """
    return _width(text) * height / _UNITS


@lru_cache(maxsize=512)  # a line is fitted before it is drawn, and lines come again
def _width(text: str) -> int:
    """Return the width of a line of text in units of its glyphs."""
    widths = [GLYPHS[_known(cluster)][0] for cluster in _clusters(text)]
    return sum(widths) + _GAP * max(0, len(widths) - 1)


def undrawable(text: str) -> str:
    """Return the characters of a text that have no glyph, each once, in order.

    >>> undrawable("Ångström 藏")
    '藏'
    """
    known = GLYPHS.keys() | SAME.keys() | ABOVE.keys() | BELOW.keys()
    return "".join(dict.fromkeys(c for c in unicodedata.normalize("NFD", text) if c not in known))


def drawable(text: str) -> str:
    """Return the text with every character that has no glyph replaced by a question mark."""
    missing = undrawable(text)
    plain = unicodedata.normalize("NFD", text)
    return unicodedata.normalize("NFC", "".join("?" if c in missing else c for c in plain))


def _clusters(text: str) -> list[str]:
    """Return letters, each followed by its combining marks; a mark before them all on a space."""
    clusters: list[str] = []
    for char in unicodedata.normalize("NFD", text):
        if char in ABOVE or char in BELOW:
            clusters[-1:] = [(clusters or [" "])[-1] + char]
        else:
            clusters.append(char)
    return clusters


def _known(cluster: str) -> str:
    """Return the letter whose glyph is drawn: without its dot where a mark stands above it."""
    base = _letter(cluster)
    return SAME.get(base, base)


def _letter(cluster: str) -> str:
    base, marks = cluster[0], cluster[1:]
    dotless = any(mark in ABOVE for mark in marks)
    return {"i": "ı", "j": "ȷ"}.get(base, base) if dotless else base


@lru_cache(maxsize=512)  # letters come again: a twentieth of a draft
def _glyph(cluster: str) -> tuple[tuple[tuple[Point, ...], bool], ...]:
    """Return the strokes of a letter with its marks, y = 0 the baseline."""
    base, marks = _letter(cluster), cluster[1:]
    width, drawn = GLYPHS[_known(cluster)]
    strokes = [_stroke(run, 1.0, 0.0, -float(BASELINE)) for run in drawn.split()]
    tall = base.isupper() or base.isdigit() or base in _TALL_SMALL
    top = float((CAP_HEIGHT if tall else X_HEIGHT) - BASELINE)
    for mark in marks:
        middle = width / 2 - 1
        if mark in ABOVE:
            strokes += [_stroke(run, 0.5, middle, top) for run in ABOVE[mark].split()]
            top += 2
        else:
            strokes += [_stroke(run, 0.5, middle, -3.0) for run in BELOW[mark].split()]
    return tuple(strokes)


def _stroke(run: str, sx: float, dx: float, dy: float) -> tuple[tuple[Point, ...], bool]:
    """Return the points of a run, and whether it comes back to its start."""
    corners = zip(run[::2], run[1::2], strict=True)
    points = tuple(Point(int(x) * sx + dx, int(y) + dy) for x, y in corners)
    closed = len(points) > 3 and points[0] == points[-1]
    return (points[:-1] if closed else points), closed
