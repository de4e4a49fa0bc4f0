"""Printed pages read back by general PDF libraries: letters with their places, drawn lines, mm."""

import ctypes
import math
import re
from xml.etree import ElementTree

import pypdfium2
import pypdfium2.raw as raw
import shapely
from conftest import outside_module

MM = 25.4 / 72
POINTS = 7.0
"""The smallest letters of any page: read at arm's length."""
NUMBER = re.compile(r"-?(?:\d+\.?\d*|\.\d+)")
INHERITED = ("font-size", "stroke-width", "stroke", "fill", "text-anchor", "font-weight")
"""What an element of SVG takes from those around it (SVG 1.1, presentation attributes)."""
CONTRAST = 4.5
"""The least of letters against their paper, WCAG 2."""


def text_of(data):
    """All text of a PDF, page by page, white space made plain."""
    document = pypdfium2.PdfDocument(data)
    return [" ".join(page.get_textpage().get_text_range().split()) for page in document]


def codes_of(data, dots=300):
    """The QR codes that a general reader finds on the pages, printed with so many dots an inch.

    It is asked for no other code: to look for all takes ten times as long.
    """
    zxing = outside_module("zxingcpp")
    found = []
    for page in pypdfium2.PdfDocument(data):
        picture = page.render(scale=dots / 72, grayscale=True).to_numpy()
        found += zxing.read_barcodes(picture, formats=zxing.BarcodeFormat.QRCode)
    return [code.text for code in found]


def picture_of(svg):
    """The root of a picture, each element with all that is said of it, by groups around it too."""
    root = ElementTree.fromstring(svg)

    def spell(one, said):
        said = said | {key: value for key, value in one.items() if key in INHERITED}
        for key, value in said.items():
            one.set(key, value)
        for part in one:
            spell(part, said)

    spell(root, {})
    return root


def lines_of_path(d):
    """The lines that a path of a picture draws, each as its places; steps are `l`, `h`, `v`."""
    for part in d.split("M")[1:]:
        begin, *told = re.split("([lhv])", part)
        places = [tuple(numbers(begin))]
        for way, text in zip(told[::2], told[1::2], strict=True):
            steps = numbers(text)
            if way == "l":
                moves = zip(steps[::2], steps[1::2], strict=True)
            else:
                moves = [(step, 0.0) if way == "h" else (0.0, step) for step in steps]
            for dx, dy in moves:
                places.append((places[-1][0] + dx, places[-1][1] + dy))
        yield places


def numbers(text):
    return [float(number) for number in NUMBER.findall(text)]


def sizes(data):
    return [(w * MM, h * MM) for w, h in (page.get_size() for page in pypdfium2.PdfDocument(data))]


def letters(page):
    """Every letter of a page and its tight box, mm."""
    read = page.get_textpage()
    text = read.raw  # taken once: each call of the library would ask for it again
    box = left, right, bottom, top = [ctypes.c_double() for _ in range(4)]
    for i in range(read.count_chars()):
        char = chr(raw.FPDFText_GetUnicode(text, i))
        assert raw.FPDFText_GetCharBox(text, i, *box)
        if char.strip() and right.value > left.value and top.value > bottom.value:
            yield char, left.value * MM, bottom.value * MM, right.value * MM, top.value * MM


def check_tidy(data, margin=8.0, points=POINTS):
    """Every letter inside the page's margins, none on another, none small or pale."""
    check_type(data, points)
    for page in pypdfium2.PdfDocument(data):
        found = list(letters(page))
        assert found, "a page without text"
        check_inside(page, found, margin)
        check_apart(found)


def check_inside(page, found, margin):
    """Each of a page's letters stays off its edges, mm."""
    width, height = (v * MM for v in page.get_size())
    for char, left, bottom, right, top in found:
        assert left >= margin, (char, left)
        assert bottom >= margin, (char, bottom)
        assert right <= width - margin, (char, right)
        assert top <= height - margin, (char, top)


def type_of(data):
    """Every letter of a PDF: the letter, its size in points, and its grey, 0 black to 1 white."""
    matrix, colours = raw.FS_MATRIX(), [ctypes.c_uint() for _ in range(4)]
    for page in pypdfium2.PdfDocument(data):
        read = page.get_textpage()
        text = read.raw
        for i in range(read.count_chars()):
            letter = chr(raw.FPDFText_GetUnicode(text, i))
            if not letter.strip():
                continue
            assert raw.FPDFText_GetMatrix(text, i, matrix)
            size = raw.FPDFText_GetFontSize(text, i) * math.hypot(matrix.b, matrix.d)
            assert raw.FPDFText_GetFillColor(text, i, *colours)
            yield letter, size, max(part.value for part in colours[:3]) / 255


def contrast(grey):
    """WCAG 2's contrast with white paper."""
    light = grey / 12.92 if grey <= 0.04045 else ((grey + 0.055) / 1.055) ** 2.4
    return 1.05 / (light + 0.05)


def check_type(data, points=POINTS):
    """Every letter large enough, and black enough for its paper."""
    found = list(type_of(data))
    assert found
    small = {(letter, round(size, 2)) for letter, size, _ in found if size < points}
    assert not small, f"under {points} points: {sorted(small)}"
    # white letters stand on black
    assert {grey for _, _, grey in found if grey < 1 and contrast(grey) < CONTRAST} == set(), "pale"


def check_apart(found):
    """None of these letters, each with its box, lies on another."""
    boxes = shapely.box(*zip(*(one[1:] for one in found), strict=True))
    for i, j in shapely.STRtree(boxes).query(boxes).T:
        if i >= j:
            continue
        char, left, bottom, right, top = found[i]
        other, left2, bottom2, right2, top2 = found[j]
        across = min(right, right2) - max(left, left2)
        up = min(top, top2) - max(bottom, bottom2)
        if across <= 0 or up <= 0 or (char == other == "." and left == left2):
            continue  # an ellipsis is read as three points in one place
        small = min((right - left) * (top - bottom), (right2 - left2) * (top2 - bottom2))
        assert across * up < 0.35 * small, f"{char!r} on {other!r} at {left:.1f}, {bottom:.1f}"


def check_off_lines(page):
    """No letter of a page lies on a line that is drawn there; rules to write on are no letters."""
    found = [one for one in letters(page) if one[0] != "_"]
    boxes = shapely.box(*zip(*(one[1:] for one in found), strict=True))
    lines = shapely.linestrings([*segments(page)])
    met = {found[i] for i in shapely.STRtree(boxes).query(lines, predicate="intersects")[1]}
    assert not met, f"on a line: {sorted(met)}"


def segments(page, width=None):
    """Straight lines drawn on a page as ((x, y), (x, y)), mm; `width`: only those of this width."""
    for thing in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
        matrix, stroke = thing.get_matrix(), raw.c_float()
        raw.FPDFPageObj_GetStrokeWidth(thing, stroke)
        wide = stroke.value * math.hypot(matrix.a, matrix.b) * MM
        if width is not None and abs(wide - width) > 0.004:
            continue
        last = None
        for i in range(raw.FPDFPath_CountSegments(thing)):
            segment = raw.FPDFPath_GetPathSegment(thing, i)
            x, y = raw.c_float(), raw.c_float()
            raw.FPDFPathSegment_GetPoint(segment, x, y)
            here = tuple(v * MM for v in matrix.on_point(x.value, y.value))
            if raw.FPDFPathSegment_GetType(segment) == raw.FPDF_SEGMENT_LINETO:
                yield last, here
            last = here
