"""Any script in order: text cut into runs of one font each, from left to right as it is printed.

Fonts ship with the package, so that a sheet looks the same on every machine: DejaVu Sans Condensed
(Latin, Greek, Cyrillic, Hebrew, Arabic and more), and WenQuanYi Micro Hei for Chinese, Japanese
and Korean. A letter in neither is never shown as a box: its script is named in square brackets.
"""

import unicodedata
from collections.abc import Iterator
from functools import cache, lru_cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any, Literal, NamedTuple

Face = Literal["plain", "bold", "wide"]

_FILES: dict[Face, str] = {
    "plain": "DejaVuSansCondensed.ttf",
    "bold": "DejaVuSansCondensed-Bold.ttf",
    "wide": "wqy-microhei.ttc",
}
_FACES = {Path(file).stem: face for face, file in _FILES.items()}
"""Faces by the names of their fonts."""
_FONTS = Path(__file__).parent / "fonts"
_COMMON = frozenset(map(chr, range(0x20, 0x7F))) | frozenset("·°×±–…½¼¾")
"""Letters that need no look at fonts or order: most lines hold no others."""
_SELDOM = "#$%*+<=>@[\\]^`{|}~"
"""Signs of ASCII that the text of a card seldom holds."""
_USUAL = frozenset(map(chr, range(0x20, 0x7F))).difference(_SELDOM)
"""Letters that every document has in their own places (`_font`)."""
_BETWEEN = "\uffff"
"""Between texts of one line that keep their places; a noncharacter, so in no text of a slip."""
_RIGHT_TO_LEFT = ("R", "AL")
_NO_SCRIPT = frozenset(["combining", "variation", "musical", "mathematical", "emoji"])


class Run(NamedTuple):
    """Letters of one font, in the order they are printed.

    Attributes:
        font: its name, as registered.
        text: the letters, shaped and turned.

    """

    font: str
    text: str


@lru_cache(maxsize=2048)  # a line is measured before it is drawn, and cards repeat their words
def runs(text: str, *, bold: bool = False) -> tuple[Run, ...]:
    """Return a line of text as runs of one font, from left to right.

    Arabic letters are joined and right-to-left words turned (Unicode bidirectional algorithm, by
    python-bidi; without it such words are named in square brackets). Vowel points of Arabic and
    Hebrew are left out: without them a title reads the same.

    >>> [run.text for run in runs("Tafel 藏")]
    ['Tafel ', '藏']
    """
    first: Face = "bold" if bold else "plain"
    if set(text) <= _COMMON:
        return (Run(_font_name(first), text),) if text else ()
    found: list[Run] = []
    for char in _turned(_printable(text)):
        font = _font_name(first if _has(first, char) else "wide")
        if found and found[-1].font == font:
            found[-1] = Run(font, found[-1].text + char)
        else:
            found.append(Run(font, char))
    return tuple(found)


def written(run: Run, canvas: Any) -> Iterator[tuple[str, str]]:
    """Yield a run's letters as a page of reportlab's tells them, after the name of their font."""
    from reportlab.lib.rl_accel import escapePDF

    font = _font(_FACES[run.font])
    document = canvas._doc  # fonts are asked by document, and no call hands it out
    for subset, letters in font.splitString(run.text, document):
        yield font.getSubsetInternalName(subset, document), escapePDF(letters)


def glyphs(text: str, *, bold: bool = False) -> Iterator[tuple[Path, int]]:
    """Return font file and glyph number of each sign of a line of text, from left to right.

    >>> [file.stem for file, number in glyphs("Ω藏")]
    ['DejaVuSansCondensed', 'wqy-microhei']
    """
    for run in runs(text, bold=bold):
        face = _FACES[run.font]
        known = _font(face).face.charToGlyph
        yield from ((_FONTS / _FILES[face], known[ord(char)]) for char in run.text)


def plain(text: str) -> str:
    """Return the text without the marks that `from_left` puts into it."""
    return text.replace(_BETWEEN, "")


@lru_cache(maxsize=4096)
def width_of(text: str, size: float, *, bold: bool = False) -> float:
    """Return the width of a line of text, in the unit of the font's size."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    return float(sum(stringWidth(run.text, run.font, size) for run in runs(text, bold=bold)))


def shortened(text: str, width: float, size: float, *, bold: bool = False) -> str:
    """Return the text, or as much of its beginning as fits with an ellipsis."""
    if width_of(text, size, bold=bold) <= width:
        return text
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if width_of(text[:middle].rstrip() + "…", size, bold=bold) <= width:
            low = middle
        else:
            high = middle - 1
    return text[:low].rstrip() + "…"


def wrapped(
    text: str, width: float, size: float, *, bold: bool = False, indent: float = 0.0
) -> list[str]:
    """Return the text in lines no wider than `width`, broken at spaces, else inside a word.

    Args:
        text: any script.
        width: of the lines, in the unit of `size`.
        size: of the font.
        bold: heavier.
        indent: how much shorter the first line is.

    """
    lines: list[str] = []
    line, wide = "", 0.0
    blank = width_of(" ", size, bold=bold)
    # words are as wide beside others as alone, but for scripts that `runs` turns or names
    plain = _COMMON.issuperset(text)
    for word in text.split():
        trial = f"{line} {word}" if line else word
        own = width_of(word if plain else trial, size, bold=bold)
        long = wide + blank + own if plain and line else own
        if long <= width - (0 if lines else indent):
            line, wide = trial, long
            continue
        if line:
            lines.append(line)
        line, wide = word, width_of(word, size, bold=bold)
        while wide > width and len(line) > 1:
            cut = _most(line, width, size, bold)
            lines.append(line[:cut])
            line = line[cut:]
            wide = width_of(line, size, bold=bold)
    return [*lines, line] if line else lines


def _most(word: str, width: float, size: float, bold: bool) -> int:
    """Return how many letters of a word too long for a line fit on it, at least one."""
    low, high = 1, len(word)
    while low < high:
        middle = (low + high + 1) // 2
        if width_of(word[:middle], size, bold=bold) <= width:
            low = middle
        else:
            high = middle - 1
    return low


def _printable(text: str) -> str:
    """Return the text in letters that one of the fonts has; others as the name of their script."""
    out: list[str] = []
    for char in unicodedata.normalize("NFC", " ".join(text.split())):
        if char == _BETWEEN:
            out.append(char)
        elif unicodedata.category(char) in ("Cf", "Cc") or _point(char):
            continue
        elif (_has("plain", char) or _has("wide", char)) and (_can_turn() or not _turns(char)):
            out.append(char)
        elif not unicodedata.category(char).startswith("M"):
            named = _named(char)
            if [part for part in out if part != " "][-1:] != [named]:
                out.append(named)
    return "".join(out)


def _point(char: str) -> bool:
    """Tell a vowel point of Hebrew or Arabic."""
    return unicodedata.category(char) == "Mn" and (
        "\u0591" <= char <= "\u05c7" or "\u0610" <= char <= "\u06ed"
    )


def _named(char: str) -> str:
    word = unicodedata.name(char, "sign").split()[0].lower()
    letter = unicodedata.category(char)[0] == "L" and word not in _NO_SCRIPT
    return f"[{word.capitalize()}]" if letter else "[sign]"


def _turns(char: str) -> bool:
    """Tell a letter that is written from right to left."""
    return unicodedata.bidirectional(char) in _RIGHT_TO_LEFT


@cache
def _can_turn() -> bool:
    """Tell whether the libraries for right-to-left scripts are installed (extra ``scripts``)."""
    return all(find_spec(name) for name in ("arabic_reshaper", "bidi"))


def _turned(text: str) -> str:
    """Return the text as it stands on paper from left to right."""
    return "".join(_turned_part(part) for part in text.split(_BETWEEN))


def _turned_part(text: str) -> str:
    if not any(_turns(char) for char in text):
        return text
    from arabic_reshaper import reshape
    from bidi.algorithm import get_display  # this one also turns brackets over

    return str(get_display(reshape(text)))


def from_left(*parts: str) -> str:
    """Return texts of one line in the order given, whatever the script of each.

    >>> [run.text for run in runs(from_left("12", "אב", "x"))]
    ['12, בא, x']
    """
    return f"{_BETWEEN}, {_BETWEEN}".join(part for part in parts if part)


def _has(face: Face, char: str) -> bool:
    if face != "wide" and "!" <= char <= "~":
        return True
    return ord(char) in _font(face).face.charToGlyph


@cache
def _font(face: Face) -> Any:
    """Return a font, read and registered once: reportlab knows fonts by name only.

    reportlab puts the letters of ASCII into each document, so that all of an exhibit's cards have
    the same font, which is kept once where they are joined; others, and those that cards seldom
    hold (a fifth of its bytes), only where they are written. Of the wide font no letter is usual.
    """
    from reportlab.pdfbase.pdfmetrics import registerFont
    from reportlab.pdfbase.ttfonts import TTFont

    class Font(TTFont):  # type: ignore[misc]
        def splitString(self, text: str, doc: Any, encoding: str = "utf-8") -> Any:
            if doc not in self.state:
                state = self._assignState(doc)
                for code in map(ord, _SELDOM if face != "wide" else ""):
                    del state.assignments[code]
                    state.subsets[0][code] = 0
            if face != "wide" and _USUAL.issuperset(text):  # looked up one by one: 4 ms a card
                return [(0, text.encode())]
            return super().splitString(text, doc, encoding)

    name, file = Path(_FILES[face]).stem, str(_FONTS / _FILES[face])
    font = Font(name, file, asciiReadable=int(face != "wide"))
    registerFont(font)
    return font


def _font_name(face: Face) -> str:
    return str(_font(face).fontName)
