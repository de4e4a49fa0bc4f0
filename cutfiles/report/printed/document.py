"""Pages and their fonts as one PDF; the cards of many supports as one, each font in it once.

A letter is written as the number of its glyph in the whole font, two bytes: so what stands on a
page means the same in every file of ours, and pages are put together without being written anew.

Source: ISO 32000-1 §9.7 (composite fonts), §9.10.3 (which letter a glyph is read as).
"""

import re
from array import array
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Any, NamedTuple

from cutfiles.errors import Defect
from cutfiles.files.pdf_objects import GrowingPdf, packed_stream, stream, text_string
from cutfiles.files.readers.pdf_plain import NotPlain, PlainFile, open_plain
from cutfiles.lengths import trimmed
from cutfiles.report.script import Face, font_of
from cutfiles.version import VERSION

FONTS: dict[Face, str] = {"plain": "/P", "bold": "/B", "wide": "/W"}
"""What pages call the fonts."""
_STEMS: dict[Face, int] = {"plain": 87, "bold": 165, "wide": 87}
"""How thick upright strokes are, 1/1000 of the size, for a viewer that has to draw its own."""
_READ_AS = re.compile(rb"<([0-9A-F]{4})> <([0-9A-F]+)>\n")
_MAKER = f"cutfiles {VERSION}"
_PER_BLOCK = 100
"""Letters that one block of a table may tell."""

Letters = dict[Face, dict[int, str]]
"""Of each font the glyphs that are used, and the letter that each is read as."""


class Page(NamedTuple):
    """One page: its size in points, and what stands on it, packed."""

    width: str
    height: str
    packed: bytes


class Pages(NamedTuple):
    """Pages, and the letters on them."""

    pages: tuple[Page, ...]
    letters: Letters


def document(parts: Iterable[Pages], title: str) -> Iterator[bytes]:
    """Yield a PDF of all pages, one after another, part by part; it is printed as large as it is.

    Of each page eight bytes are kept until the end, and of all of them the letters, once.
    """
    file, letters = GrowingPdf(), Letters()
    root, tree, info = range(first := file.kept(3), first + 3)
    kids = array("Q")
    yield file.begun()
    for part in parts:
        for page in part.pages:
            number, content = file.added(packed_stream(page.packed))
            yield content
            box = f"[0 0 {page.width} {page.height}]"
            said = f"<< /Type /Page /Parent {tree} 0 R /MediaBox {box} /Contents {number} 0 R >>"
            number, written = file.added(said.encode("ascii"))
            kids.append(number)
            yield written
        for face, own in part.letters.items():
            letters[face] = own | letters.get(face, {})
    fonts = ""
    for face, name in FONTS.items():
        if face in letters:
            at = file.kept(5)
            fonts += f" {name} {at} 0 R"
            for i, body in enumerate(_font(face, letters[face], at)):
                yield file.placed(at + i, body)
    catalog = f"<< /Type /Catalog /Pages {tree} 0 R /ViewerPreferences << /PrintScaling /None >> >>"
    yield file.placed(root, catalog.encode("ascii"))
    listed = " ".join(f"{number} 0 R" for number in kids)
    shared = f"/Kids [{listed}] /Resources << /Font <<{fonts} >> >>"
    node = f"<< /Type /Pages /Count {len(kids)} {shared} >>"
    yield file.placed(tree, node.encode("ascii"))
    told = f"<< /Title {text_string(title)} /Creator ({_MAKER}) /Producer ({_MAKER}) >>"
    yield file.placed(info, told.encode("ascii"))
    yield file.ended(root, info)


def _font(face: Face, letters: Mapping[int, str], at: int) -> Iterator[bytes]:
    """Yield the five objects of a font, the first of this number."""
    font = font_of(face)
    name, (box, ascent, descent) = f"/{_tag(letters)}+{font.name}", font.extent
    program = font.alone(letters)
    widths = " ".join(
        f"{run[0]} [{' '.join(str(font.thousandths(font.advance(one))) for one in run)}]"
        for run in _runs(sorted(letters))
    )
    told = (
        f"<< /Type /Font /Subtype /Type0 /BaseFont {name} /Encoding /Identity-H "
        f"/DescendantFonts [{at + 1} 0 R] /ToUnicode {at + 4} 0 R >>",
        f"<< /Type /Font /Subtype /CIDFontType2 /BaseFont {name} /CIDToGIDMap /Identity "
        f"/CIDSystemInfo << /Registry (Adobe) /Ordering (Identity) /Supplement 0 >> "
        f"/FontDescriptor {at + 2} 0 R /W [{widths}] >>",
        f"<< /Type /FontDescriptor /FontName {name} /Flags 4 /ItalicAngle 0 "
        f"/FontBBox [{' '.join(map(str, box))}] /Ascent {ascent} /Descent {descent} "
        f"/CapHeight {ascent} /StemV {_STEMS[face]} /FontFile2 {at + 3} 0 R >>",
    )
    yield from (text.encode("ascii") for text in told)
    yield stream(program, f" /Length1 {len(program)}")
    yield stream(_read_as(letters))


def _tag(letters: Mapping[int, str]) -> str:
    """Return the six letters that tell one part of a font from another."""
    left, tag = sum((i + 1) * glyph for i, glyph in enumerate(sorted(letters))), ""
    for _ in range(6):
        left, part = divmod(left, 26)
        tag += chr(ord("A") + part)
    return tag


def _runs(glyphs: Sequence[int]) -> Iterator[Sequence[int]]:
    """Yield the stretches of numbers that follow one another."""
    ends = [i for i, (a, b) in enumerate(pairwise(glyphs), 1) if b != a + 1]
    for start, end in pairwise([0, *ends, len(glyphs)]):
        yield glyphs[start:end]


def _read_as(letters: Mapping[int, str]) -> bytes:
    """Return the table that tells which letter each glyph is read as."""
    rows = [f"<{one:04X}> <{letters[one].encode('utf-16-be').hex().upper()}>" for one in letters]
    rows.sort()
    blocks = [rows[i : i + _PER_BLOCK] for i in range(0, len(rows), _PER_BLOCK)]
    told = "\n".join(
        f"{len(block)} beginbfchar\n" + "\n".join(block) + "\nendbfchar" for block in blocks
    )
    return (
        "/CIDInit /ProcSet findresource begin 12 dict begin begincmap\n"
        "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n"
        "/CMapName /Adobe-Identity-UCS def /CMapType 2 def\n"
        "1 begincodespacerange <0000> <FFFF> endcodespacerange\n"
        f"{told}\nendcmap CMapName currentdict /CMap defineresource pop end end\n"
    ).encode("ascii")


def pages_of(data: bytes) -> Pages:
    """Return the pages of a file of ours, and the letters on them.

    Raises:
        Defect: it is not one of ours.

    """
    try:
        return _pages_of(open_plain(data))
    except (NotPlain, LookupError, TypeError, AttributeError, ValueError):
        raise Defect(
            "a PDF that is not as we write them",
            "cards are joined as they were printed",
            "nothing was written; please report this list",
            "joined",
        ) from None


def _pages_of(file: PlainFile) -> Pages:
    tree = _at(file, file.trailer, "/Root", "/Pages")
    pages = []
    for kid in tree["/Kids"]:
        page = file.resolve(kid)
        if set(page) != {"/Type", "/Parent", "/MediaBox", "/Contents"}:
            raise NotPlain
        _, _, width, height = (trimmed(side, 4) for side in page["/MediaBox"])
        pages.append(Page(width, height, file.resolve(page["/Contents"]).packed))
    faces: dict[str, Face] = {name: face for face, name in FONTS.items()}
    letters: Letters = {}
    for name, font in tree["/Resources"]["/Font"].items():
        table = _at(file, file.resolve(font), "/ToUnicode").data
        letters[faces[name]] = {
            int(glyph, 16): bytes.fromhex(code.decode("ascii")).decode("utf-16-be")
            for glyph, code in _READ_AS.findall(table)
        }
    return Pages(tuple(pages), letters)


def _at(file: PlainFile, value: Any, *keys: str) -> Any:
    for key in keys:
        value = file.resolve(value[key])
    return value
