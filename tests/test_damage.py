"""Whatever a machine obeys, damaged: over the table of formats and kinds of damage.

Each cell says what must be named, or why the format knows no such thing. What becomes of single
lines (moved, missing, doubled, closed) stands in test_verify.py.
"""

import re
import zlib
from dataclasses import replace

import pytest
from conftest import SAMPLES
from test_verify import KEYS, OPTIONS

from cutfiles.bench.slip import read_slip
from cutfiles.draft import draft_of
from cutfiles.errors import FileError
from cutfiles.files.formats import FORMATS
from cutfiles.files.verify import compare
from cutfiles.pattern.pattern import Role


@pytest.fixture(scope="module")
def good():
    return draft_of(read_slip(SAMPLES / "B1.toml")).drawing


@pytest.fixture(scope="module")
def files(good):
    return {key: FORMATS[key].write(FORMATS[key].prepared(good), OPTIONS) for key in KEYS}


def swap(old, new, count=1):
    """Return a change of bytes that must find what it changes."""

    def change(data):
        assert old in data, old
        return data.replace(old, new, count)

    return change


def packed(change):
    """Return a change of a PDF's lines, which are packed."""

    def repacked(data):
        head, start, rest = data.partition(b"/Filter /FlateDecode >>\nstream\n")
        content, end, rest = rest.partition(b"\nendstream")
        assert start
        assert end
        new = zlib.compress(change(zlib.decompress(content)))
        head = head[: head.rindex(b"/Length ")] + b"/Length %d " % len(new)
        return head + start + new + end + rest

    return repacked


def cut_off(end):
    """Return a change that takes away the end of a file."""

    def change(data):
        assert data.endswith(end), data[-40:]
        return data[: -len(end)]

    return change


def moved(begin, end, before):
    """Return a change that puts a stretch of a file before another."""

    def change(data):
        stretch = re.search(begin + rb".*?" + end, data, re.DOTALL)[0]
        rest = data.replace(stretch, b"", 1)
        at = re.search(before, rest).start()
        return rest[:at] + stretch + rest[at:]

    return change


def dxf_line(*tags):
    """Return a change that gives the first valley score tags of its own."""

    def change(data):
        head, entities, rest = data.partition(b"ENTITIES\n")
        old = b"8\nSCORE_VALLEY\n"
        assert old in rest
        return head + entities + rest.replace(old, old + b"".join(tags), 1)

    return change


def dxf_layer(old, new, layer=b"SCORE_VALLEY"):
    """Return a change of a row in the table of layers, of the valley scores if not named."""

    def change(data):
        head, name, rest = data.partition(b"2\n%s\n" % layer)
        assert old in rest
        return head + name + rest.replace(old, new, 1)

    return change


OUTLINE_FIRST = r"outline: comes before .*, should come after right"
OWN_COLOUR = r"is coloured .*, unlike its layer"
DASHED = "is drawn with gaps, should be whole"
LAYER_COLOUR = r"score-valley: colour: is #000000, should be #0072B2"

PRINTED = r"(?i)guide(-tape)?: layer: is printed and worked, should be locked or not printed"
LEFT_OUT = r"(?i)cut.outline: layer: is locked, frozen or not printed, should be worked"

SVG = {
    "guide printed": (swap(b' sodipodi:insensitive="true"', b""), PRINTED),
    "work left out": (
        swap(b'id="cut-outline"', b'id="cut-outline" sodipodi:insensitive="true"'),
        LEFT_OUT,
    ),
    "outline first": (
        moved(rb"<g [^>]*id=\"cut-outline\"", rb"</g>", rb"<g [^>]*id=\"score-valley\""),
        OUTLINE_FIRST,
    ),
    "a line recoloured": (
        swap(b'id="score-valley-1"', b'id="score-valley-1" stroke="black"'),
        r"coloured #000000, unlike its layer",
    ),
    "a line recoloured by style": (
        swap(b'id="score-valley-1"', b'id="score-valley-1" style="fill:none;stroke:#000"'),
        r"coloured #000000, unlike its layer",
    ),
    "a layer recoloured": (swap(b'stroke="#0072B2"', b'stroke="#000000"'), LAYER_COLOUR),
    "recoloured by a style sheet": (
        swap(b"<defs />", b"<defs><style>path{stroke:#000}</style></defs>"),
        "style sheet that colours",
    ),
    "a line dashed": (
        swap(b'id="score-valley-1"', b'id="score-valley-1" stroke-dasharray="2 1"'),
        DASHED,
    ),
    "a layer dashed": (
        swap(b'id="score-valley"', b'id="score-valley" stroke-dasharray="2"'),
        DASHED,
    ),
    "cut off": (cut_off(b"</svg>"), "no XML"),
    "another unit": (
        lambda data: re.sub(rb'"([\d.]+)mm"', rb'"\1in"', data),
        r"whole file: is 25\.4 times",
    ),
}
DXF = {
    "a line recoloured": (dxf_line(b"62\n7\n"), r"coloured #000000, unlike its layer"),
    "a layer recoloured": (
        dxf_layer(b"62\n5\n", b"62\n7\n"),
        r"SCORE_VALLEY: colour: is #000000, should be #0000FF",
    ),
    "a line dashed": (dxf_line(b"6\nDASHED\n"), DASHED),
    "a layer dashed": (dxf_layer(b"6\nContinuous\n", b"6\nDASHED\n"), DASHED),
    "cut off": (cut_off(b"0\nEOF\n"), "no EOF at its end"),
}
HPGL = {
    "cut off": (cut_off(b"PU;\nSP0;\n"), "an end with the tool down"),
    "cut off before the tool is put away": (cut_off(b"SP0;\n"), "an end without SP0"),
    "cut off in a word": (cut_off(b"0;\n"), "an end without SP0"),
    "tool left on": (lambda data: data + b"SP1;PD;", "an end with the tool down"),
    "tool left on by what stands last": (
        swap(b"PU;\nSP0;\n", b"SP0;\nPD;\n"),
        "PD without a tool|an end with the tool down",
    ),
    "no start": (swap(b"IN;\n", b""), "before any IN"),
    "a line dashed": (swap(b"SP3;\n", b"SP3;\nLT2;\n"), "the command LT"),
    "another way of counting": (swap(b"SP3;\n", b"SP3;\nPR;\n"), "the command PR"),
    "another unit": (swap(b"IN;\n", b"IN;\nSC0,10,0,10;\n"), "the command SC"),
}
GCODE = {
    "cut off": (cut_off(b"M5 S0\nG0 X0 Y0\nM2\n"), "an end with no M5 and M2"),
    "tool left on": (swap(b"Y0\nM2\n", b"Y0\nM4\nM2\n"), "an end with no M5 and M2"),
    "head left away": (swap(b"G0 X0 Y0\nM2\n", b"M2\n"), "head away from home"),
    "no start": (swap(b"M5 S0\n", b""), "a G0 before any M5"),
    "no G90": (swap(b"G90\n", b""), "no G90 before the first move"),
    "G90 too late": (
        lambda data: swap(b"M2\n", b"G90\nM2\n")(swap(b"G90\n", b"")(data)),
        "no G90 before the first move",
    ),
    "no G21": (swap(b"G21\n", b""), "no G21"),
    "no G94": (swap(b"G94\n", b""), "no G94"),
    "no G17": (swap(b"G17\n", b""), "no G17"),
    "another way of counting": (swap(b"G90\n", b"G91\n"), "G91|no G90"),
    "another unit": (swap(b"G21\n", b"G20\n"), "G20|no G21"),
    "another beam": (swap(b"M4 S0\n", b"M3 S0\n", -1), "beam: is M3, should be M4"),
    "another beam once": (swap(b"M4 S0\n", b"M3 S0\n"), "beam: is M3 and M4, should be M4"),
    "travel with power": (
        lambda data: re.sub(
            rb"(\(role score-valley\)\nG0 X\S+ Y\S+) S0", rb"\1 S300", data, count=1
        ),
        "travel is with M5 and S0",
    ),
    "travel with the beam armed": (
        swap(b"M5 S0\n(role score-mountain)", b"(role score-mountain)"),
        "G0 with the beam armed",
    ),
    "words after the end": (lambda data: data + b"M4 S300\n", "words after M2"),
}


def pdf_left_out(found):
    """Name the outline's group where guides are named that are off when printed, with its usage."""
    group = re.findall(rb"(\d+) 0 obj\n<< /Type /OCG /Name \(cut-outline\)", found[0] + b"")
    number = group[-1] if group else b"0"
    usage = b" /Usage << /Print << /PrintState /OFF >> >>"
    return found[1] + found[2] + b" " + number + b" 0 R" + found[3] + usage


PDF = {
    "outline first": (packed(moved(rb"/OC /L7 BDC", rb"EMC\n?", rb"/OC /L4 BDC")), OUTLINE_FIRST),
    "a layer recoloured": (
        packed(swap(b"/C4 CS", b"/C7 CS")),
        r"coloured cut-outline, unlike its layer",
    ),
    "a line recoloured": (
        packed(swap(b"/C4 CS\n1 SCN", b"0 0 0 RG")),
        r"score-valley: .*coloured 0 0 0 RG, unlike",
    ),
    "a layer dashed": (packed(swap(b"/C4 CS\n1 SCN", b"/C4 CS [2]0 d")), DASHED),
    "cut off": (cut_off(b"%%EOF\n"), "no %%EOF at its end"),
    "guide printed": (swap(b"/PrintState /OFF", b"/PrintState /ON "), PRINTED),
    "guides printed": (swap(b"/Event /Print", b"/Event /View "), PRINTED),
    "work left out": (
        lambda data: re.sub(
            rb"(/AS \[<< .*?/OCGs \[)(\d+ 0 R)(.*?/Name \(cut-outline\))",
            pdf_left_out,
            data,
            flags=re.S,
        ),
        LEFT_OUT,
    ),
}
LAYERS = ("guide printed", "work left out")
CELLS = {
    "svg": SVG,
    "svg-plain": {kind: cell for kind, cell in SVG.items() if kind not in LAYERS},
    "dxf-r12": {
        **DXF,
        "guide printed": (dxf_layer(b"70\n1\n", b"70\n0\n", b"GUIDE"), PRINTED),
        "work left out": (dxf_layer(b"70\n0\n", b"70\n1\n", b"CUT_OUTLINE"), LEFT_OUT),
    },
    "dxf-r2000": {
        **DXF,
        "guide printed": (dxf_layer(b"290\n0\n", b"290\n1\n", b"GUIDE"), PRINTED),
        "work left out": (dxf_layer(b"70\n0\n", b"70\n4\n", b"CUT_OUTLINE"), LEFT_OUT),
        "another unit": (
            lambda data: re.sub(rb"(\$INSUNITS\s+70\s+)4", rb"\g<1>1", data),
            r"25\.4 times",
        ),
        "no unit": (lambda data: re.sub(rb"9\n\$INSUNITS\s+70\s+4\n", b"", data), "no unit"),
        "a unit that is none": (
            lambda data: re.sub(rb"(\$INSUNITS\s+70\s+)4", rb"\g<1>0", data),
            "unit code",
        ),
        "a line recoloured in true colour": (dxf_line(b"420\n0\n"), OWN_COLOUR),
    },
    "pdf": PDF,
    "hpgl": HPGL,
    "gcode": GCODE,
}
KINDS = (
    *("outline first", "a line recoloured", "a line dashed", "cut off", "another unit"),
    *LAYERS,
)
"""What every format must tell, unless it has no such thing."""
HAS_NONE = {
    **{(key, kind): "no guides" for key in ("hpgl", "gcode") for kind in LAYERS},
    **{("svg-plain", kind): "SVG by itself knows no locked layers" for kind in LAYERS},
    ("gcode", "a line recoloured"): "no colour and no tool: power is in the name of the layer",
    ("gcode", "a line dashed"): "no kinds of line",
    ("hpgl", "a line recoloured"): "no colour: a line under another pen is on another layer",
    ("pdf", "a line dashed"): "dashes are set for what follows: see a layer dashed",
    ("pdf", "another unit"): "one unit, 1/72 in; /UserUnit is refused by the reader's own test",
    ("dxf-r12", "another unit"): "R12 has no unit",
}
WRITTEN = ("dxf-r12", "dxf-r2000", "hpgl", "gcode")
"""Formats that keep the sheet's order, so that a wrong one can be written."""


def told(good, data, key):
    """Return what is said of a file, be it a difference or a refusal to read it."""
    try:
        return "\n".join(map(str, compare(good, data, FORMATS[key], OPTIONS)))
    except FileError as error:
        return str(error)


@pytest.mark.parametrize(("key", "kind"), [(k, kind) for k in KEYS for kind in CELLS[k]])
def test_damage_is_named(good, files, key, kind):
    change, message = CELLS[key][kind]
    assert told(good, files[key], key) == ""
    damaged = change(files[key])
    assert damaged != files[key]
    said = told(good, damaged, key)
    assert re.search(message, said), said
    assert key == "pdf" or said.count("\n") <= 2, said  # a dash in PDF goes on until it is ended


@pytest.mark.parametrize("key", WRITTEN)
def test_the_outline_before_the_scores_is_named(good, key):
    form = FORMATS[key]
    first = sorted(form.prepared(good).strokes, key=lambda stroke: stroke.role is not Role.OUTLINE)
    data = form.write(replace(form.prepared(good), strokes=tuple(first)), OPTIONS)
    said = told(good, data, key)
    assert re.search(r"outline: comes before .*, should come after ", said), said
    assert said.count("\n") == 0, said


@pytest.mark.parametrize("key", WRITTEN)
def test_a_score_after_the_outline_is_named(good, key):
    """It comes off the film before it is scored."""
    form = FORMATS[key]
    strokes = form.prepared(good).strokes
    late = next(stroke for stroke in strokes if stroke.role is Role.VALLEY)
    data = form.write(
        replace(form.prepared(good), strokes=(*(s for s in strokes if s is not late), late)),
        OPTIONS,
    )
    said = told(good, data, key)
    told_before = re.search(rf"{late.name}: comes after outline, should come before (.*)", said)
    assert told_before, said
    right = sorted(strokes, key=lambda stroke: form.order(stroke, OPTIONS))
    names = [stroke.name for stroke in right]
    assert told_before[1] in names[names.index(late.name) + 1 :], said


@pytest.mark.parametrize("key", KEYS)
def test_every_cell_is_filled(key):
    for kind in KINDS:
        filled = kind in CELLS[key] or (kind == "outline first" and key in WRITTEN)
        assert filled != ((key, kind) in HAS_NONE), (key, kind)
