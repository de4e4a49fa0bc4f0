"""Makes tests/edits: drawings edited as people do, saved by general-purpose programs.

Not part of CI: it needs inkscape, qpdf, mutool, gs, pdftocairo and svgo on the path. Each file is
packed; what was done and which program saved it stands in tests/edits/saved.csv.

    .venv/bin/python tests/bench/save_edits.py [NAME...]
"""

import copy
import csv
import gzip
import io
import re
import shutil
import subprocess
import sys
import tempfile
from functools import partial
from pathlib import Path as File
from xml.etree import ElementTree as ET

from cutfiles.bench.slip import read_slip
from cutfiles.draft import draft_of
from cutfiles.edits.ring import counter_clockwise, locate, spliced
from cutfiles.files.formats import FORMATS, Options, write_drawing
from cutfiles.files.writers.svg import _path as svg_path
from cutfiles.film.lay import MARGIN
from cutfiles.job.make import make
from cutfiles.plane.moves import shift
from cutfiles.plane.shapes import QUARTER, Path, Point

HERE = File(__file__).parent.parent / "edits"
SVG = "{http://www.w3.org/2000/svg}"
INK = "{http://www.inkscape.org/namespaces/inkscape}"
for prefix, space in (
    ("", SVG[1:-1]),
    ("inkscape", INK[1:-1]),
    ("sodipodi", "http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd"),
    ("xlink", "http://www.w3.org/1999/xlink"),
):
    ET.register_namespace(prefix, space)

SLIP = read_slip(HERE / "E7.toml")
DRAFT = draft_of(SLIP)
PATTERN = DRAFT.pattern
TOP = DRAFT.drawing.height
BASE = PATTERN.span("left base")
LEG = PATTERN.span("left leg")
MIDDLE = PATTERN.band("middle").box


def made(key):
    return write_drawing(FORMATS[key].prepared(DRAFT.drawing), FORMATS[key], Options())


def folded():
    (file,) = [
        one for one in make(SLIP, formats=("fold",), paper=None).files if one.name == "E7.fold"
    ]
    return file.data


def tree():
    root = ET.fromstring(made("svg"))
    for path in root.iter(f"{SVG}path"):  # word by word, for what is changed below
        path.set("d", re.sub("([MLAZ])", r" \1 ", path.get("d")).strip())
    return root


def layer(root, name):
    return next(g for g in root.iter(f"{SVG}g") if g.get("id") == name)


def at(x, y):
    """A place of the pattern in the SVG's own numbers."""
    return x + MARGIN, TOP - MARGIN - y


def shape(group, tag, **attributes):
    return ET.SubElement(group, SVG + tag, {k: str(v) for k, v in attributes.items()})


def outline_with(stretch):
    outline = next(s.path for s in PATTERN.strokes if s.role == "cut-outline")
    return spliced(counter_clockwise(outline), stretch)


def write_outline(root, path):
    one = layer(root, "cut-outline").find(f"{SVG}path")
    one.set("d", svg_path(shift(path, MARGIN, MARGIN), TOP))


# -- what people do -----------------------------------------------------------------------------

EDITS = {}


def edit(function):
    EDITS[function.__name__] = function
    return function


@edit
def plain(root):
    """nothing"""


@edit
def colours(root):
    """cuts red, valleys dark green"""
    layer(root, "cut-outline").set("stroke", "#ff0000")
    layer(root, "score-valley").set("stroke", "#004400")


@edit
def label_moved(root):
    """the left label moved by 5.3 mm to the right and 4.0 mm up"""
    for one in layer(root, "label"):
        d = one.get("d")
        if d and at(BASE[0] + 10, 0)[0] < float(d.split()[1]) < at(LEG[0], 0)[0]:
            one.set("transform", "translate(5.3,-4)")


@edit
def logo(root):
    """a mark of curves Q, T, S and A on the label layer, on the left base"""
    x, y = at(BASE[0] + 20, 30)
    d = (
        f"M {x} {y} q 4 -8 8 0 t 8 0 M {x} {y + 5} c 2 -4 6 -4 8 0 s 6 4 8 0 "
        f"M {x + 4} {y - 9} a 4 2 30 1 1 6 3"
    )
    shape(layer(root, "label"), "path", d=d, id="logo")


@edit
def slot(root):
    """a rounded slot of 8 × 30 mm in the left base"""
    x, y = at(sum(BASE) / 2 - 4, MIDDLE.centre.y + 15)
    shape(layer(root, "cut-holes"), "rect", x=x, y=y, width=8, height=30, rx=2, id="slot")


@edit
def hole_round(root):
    """a round hole of 10 mm in the right base"""
    start, end = PATTERN.span("right base")
    x, y = at((start + end) / 2, 60)
    shape(layer(root, "cut-holes"), "circle", cx=x, cy=y, r=5, id="hole")


@edit
def clone(root):
    """a slot in the left base and a clone of it 20 mm beside"""
    slot(root)
    group = layer(root, "cut-holes")
    shape(group, "use", **{"{http://www.w3.org/1999/xlink}href": "#slot", "x": -20, "y": 0})


@edit
def notch(root, deep=10):
    """a rounded notch of 20 × 10 mm in the tail edge of the left base"""
    outline = counter_clockwise(next(s.path for s in PATTERN.strokes if s.role == "cut-outline"))
    x = sum(BASE) / 2
    spot, _ = locate(outline, (x, 0.0))
    y = list(outline.segments())[spot.segment].start.y
    points = [
        (x - 14, y),
        (x - 12, y + 2),
        (x - 12, y + deep - 2),
        (x - 10, y + deep),
        (x + 10, y + deep),
        (x + 12, y + deep - 2),
        (x + 12, y + 2),
        (x + 14, y),
    ]
    q = QUARTER
    bulges = (q, 0.0, -q, 0.0, -q, 0.0, q)
    write_outline(root, outline_with(Path(tuple(Point(*p) for p in points), bulges, False)))


def tab_corner(root, radius):
    outline = counter_clockwise(next(s.path for s in PATTERN.strokes if s.role == "cut-outline"))
    left = min(p.x for p in outline.points)
    low = min(p.y for p in outline.points if p.x < left + 0.01) - 3.0
    a, b = Point(left, low + 12), Point(left + 12, low)
    points = [a, Point(left, low + radius), Point(left + radius, low), b]
    bulges = (0.0, QUARTER, 0.0)
    if radius == 0:
        points, bulges = [a, Point(left, low), b], (0.0, 0.0)
    write_outline(root, outline_with(Path(tuple(points), bulges, False)))


@edit
def corner(root):
    """a corner of the left tab rounded by 8 instead of 3 mm"""
    tab_corner(root, 8.0)


@edit
def corner_sharp(root):
    """a corner of the left tab made sharp"""
    tab_corner(root, 0.0)


@edit
def hole_crease(root):
    """a round hole of 12 mm across the left foot"""
    x, y = at(LEG[0], 70)
    shape(layer(root, "cut-holes"), "circle", cx=x, cy=y, r=6, id="hole")


@edit
def hole_outside(root):
    """a round hole of 4 mm in the waste"""
    shape(layer(root, "cut-holes"), "circle", cx=6, cy=40, r=2, id="hole")


@edit
def leg_gone(root):
    """a hole of 40 × 140 mm in the left leg"""
    x, y = at(sum(LEG) / 2 - 20, MIDDLE.centre.y + 70)
    shape(layer(root, "cut-holes"), "rect", x=x, y=y, width=40, height=140, rx=3, id="hole")


@edit
def guide_hidden(root):
    """the guide layer switched off"""
    layer(root, "guide").set("style", "display:none")


@edit
def guide_deleted(root):
    """the guide layer deleted"""
    root.remove(layer(root, "guide"))


@edit
def ungrouped(root):
    """all layers taken apart, nothing named"""
    for group in list(root.findall(f"{SVG}g")):
        for one in group.findall(f"{SVG}path"):
            one.attrib.pop("id", None)
            one.set("stroke", group.get("stroke"))
            one.set("fill", "none")
            one.set("stroke-width", "0.1")
            root.append(one)
        root.remove(group)


@edit
def renamed(root):
    """all layers called Layer 1, Layer 2 and so on"""
    for i, group in enumerate(root.findall(f"{SVG}g"), start=1):
        group.set("id", f"layer{i}")
        group.set(f"{INK}label", f"Layer {i}")
        group.remove(group.find(f"{SVG}title"))
        for k, one in enumerate(group.findall(f"{SVG}path")):
            one.set("id", f"path{i}{k:04d}")


@edit
def other_ids(root):
    """all ids changed, labels kept"""
    for i, group in enumerate(root.findall(f"{SVG}g"), start=1):
        group.set("id", f"g{i}")
        group.remove(group.find(f"{SVG}title"))
        for k, one in enumerate(group.findall(f"{SVG}path")):
            one.set("id", f"path{i}{k:04d}")


@edit
def one_colour(root):
    """all layers renamed and black"""
    renamed(root)
    for group in root.findall(f"{SVG}g"):
        group.set("stroke", "#000000")


@edit
def no_unit(root):
    """size without a unit"""
    root.set("width", root.get("width")[:-2])
    root.set("height", root.get("height")[:-2])


def wrapped(root, transform):
    box = ET.Element(f"{SVG}g", {"transform": transform})
    for group in list(root.findall(f"{SVG}g")):
        root.remove(group)
        box.append(group)
    root.append(box)


@edit
def turned_90(root):
    """all turned by 90°"""
    wrapped(root, f"translate({TOP},0) rotate(90)")


@edit
def turned_half(root):
    """all turned by 0.5°"""
    wrapped(root, "rotate(0.5)")


@edit
def stretched(root):
    """all stretched by 1 % left to right"""
    wrapped(root, "scale(1.01,1)")


@edit
def mirrored(root):
    """all mirrored left to right"""
    wrapped(root, f"translate({DRAFT.drawing.width},0) scale(-1,1)")


@edit
def exploded(root):
    """the outline taken apart into single lines and arcs"""
    group = layer(root, "cut-outline")
    one = group.find(f"{SVG}path")
    parts = re.findall(r"([MLAZ])([^MLAZ]*)", one.get("d"))
    group.remove(one)
    first = here = parts[0][1].split()
    for letter, numbers in parts[1:]:
        end = numbers.split()[-2:] if letter != "Z" else first
        step = f"L {' '.join(end)}" if letter != "A" else f"A {numbers.strip()}"
        if end != here:
            shape(group, "path", d=f"M {' '.join(here)} {step}")
        here = end


@edit
def opened(root):
    """the outline opened by 0.2 mm"""
    one = layer(root, "cut-outline").find(f"{SVG}path")
    first = one.get("d").split()[1:3]
    end = one.get("d").rsplit("Z", 1)[0].strip()
    x, y = float(first[0]), float(first[1])
    one.set("d", f"{end} L {x} {y - 0.2:.3f}")


@edit
def crease_pieces(root):
    """a crease in two pieces"""
    group = layer(root, "score-valley")
    one = group.find(f"{SVG}path")
    x, y0, _, x1, y1 = one.get("d").split()[1:6]
    middle = (float(y0) + float(y1)) / 2
    one.set("d", f"M {x} {y0} L {x} {middle}")
    shape(group, "path", d=f"M {x1} {middle} L {x1} {y1}")


@edit
def node_doubled(root):
    """a node of the outline and of a crease doubled"""
    one = layer(root, "cut-outline").find(f"{SVG}path")
    one.set("d", re.sub(r"(L \S+ \S+)", r"\1 \1", one.get("d"), count=1))
    crease = layer(root, "score-valley").find(f"{SVG}path")
    crease.set("d", re.sub(r"^M (\S+ \S+)", r"M \1 L \1", crease.get("d")))


@edit
def doubled(root):
    """the outline drawn twice"""
    group = layer(root, "cut-outline")
    group.append(copy.deepcopy(group.find(f"{SVG}path")))


@edit
def crease_moved(root):
    """the left apex moved by 2 mm"""
    apex = next(s for s in PATTERN.strokes if s.of == "left apex" and s.role == "score-mountain")
    x = at(apex.path.points[0].x, 0)[0]
    for one in layer(root, "score-mountain"):
        words = one.get("d", "").split()
        if words and abs(float(words[1]) - x) < 0.01 and words[1] == words[4]:
            one.set("transform", "translate(2,0)")


@edit
def crease_exchanged(root):
    """the left spine crease made a mountain"""
    group = layer(root, "score-valley")
    one = group.find(f"{SVG}path")
    group.remove(one)
    layer(root, "score-mountain").append(one)


@edit
def crease_removed(root):
    """the left spine crease deleted"""
    group = layer(root, "score-valley")
    group.remove(group.find(f"{SVG}path"))


@edit
def crease_added(root):
    """one more valley, across the left base"""
    x, y = at(sum(BASE) / 2, MIDDLE.bottom)
    shape(layer(root, "score-valley"), "path", d=f"M {x} {y} L {x} {y - MIDDLE.height}")


@edit
def text_on_label(root):
    """a text on the label layer"""
    x, y = at(BASE[0] + 15, 30)
    one = shape(layer(root, "label"), "text", x=x, y=y, fill="#009E73")
    one.set("font-size", "6")
    one.set("stroke", "none")
    one.text = "case 4"


@edit
def unknown(root):
    """a star on a layer of its own"""
    x, y = at(BASE[0] + 30, 30)
    group = ET.SubElement(root, f"{SVG}g", {"id": "star", f"{INK}label": "star", "fill": "none"})
    group.set("stroke", "#cc3399")
    shape(group, "path", d=f"M {x} {y} l 5 10 l 5 -10 l -10 6 l 10 0 z")


# -- how programs save it --------------------------------------------------------------------------


def said(*words):
    done = subprocess.run(words, capture_output=True, text=True, check=False)
    return (done.stdout + done.stderr).strip().splitlines()[0]


def by_tool(data, suffix, out, *words):
    with tempfile.TemporaryDirectory() as folder:
        source, target = File(folder) / f"in{suffix}", File(folder) / f"out{out}"
        source.write_bytes(data)
        words = [w.replace("IN", str(source)).replace("OUT", str(target)) for w in words]
        subprocess.run(words, check=True, capture_output=True, timeout=120)
        return target.read_bytes()


def inkscape(data, out=".svg", actions=""):
    words = [f"--actions={actions}export-filename:OUT;export-plain-svg;export-do"]
    if out == ".svg" and not actions:
        words = ["--export-plain-svg", "--export-filename=OUT"]
    elif out != ".svg":
        words = ["--export-filename=OUT"]
    return by_tool(data, ".svg", out, "inkscape", *words, "IN")


def inkscape_own(data):
    return by_tool(
        data, ".svg", ".svg", "inkscape", "--export-type=svg", "--export-filename=OUT", "IN"
    )


def svgo(data):
    return by_tool(
        data, ".svg", ".svg", shutil.which("svgo"), "--multipass", "-i", "IN", "-o", "OUT"
    )


def written(root):
    return ET.tostring(root, encoding="utf-8", xml_declaration=True)


def drawn_with(*names):
    """The drawing of today with some edits."""
    root = tree()
    for name in names:
        EDITS[name](root)
    return written(root)


def dxf_document(key="dxf-r2000"):
    import ezdxf

    text = made(key).decode("cp1252")
    return ezdxf.read(io.StringIO(text))


def dxf_bytes(document):
    out = io.StringIO()
    document.write(out)
    return out.getvalue().encode("utf-8")


def ezdxf_resaved():
    return dxf_bytes(dxf_document("dxf-r12"))


def ezdxf_lower():
    document = dxf_document()
    for one in (*document.layers, *document.modelspace()):
        name = "layer" if one.dxf.hasattr("layer") else "name"
        one.dxf.set(name, one.dxf.get(name).lower())
    return dxf_bytes(document)


def ezdxf_rich():
    """A spline and a block with an ellipse on LABEL, MTEXT, DIMENSION and HATCH on GUIDE."""
    document = dxf_document()
    space = document.modelspace()
    x, y = BASE[0] + 20 + MARGIN, 30 + MARGIN
    space.add_spline([(x, y), (x + 5, y + 6), (x + 10, y), (x + 15, y + 6)]).dxf.layer = "LABEL"
    block = document.blocks.new("SIGN")
    block.add_ellipse((0, 0), major_axis=(4, 1), ratio=0.5)
    space.add_blockref("SIGN", (x + 5, y + 15), dxfattribs={"layer": "LABEL", "rotation": 20})
    space.add_mtext("a note", dxfattribs={"layer": "GUIDE", "insert": (x, y)})
    space.add_linear_dim((x, 2), (x, 5), (x + 20, 5), dxfattribs={"layer": "GUIDE"}).render()
    hatch = space.add_hatch(dxfattribs={"layer": "GUIDE"})
    hatch.paths.add_polyline_path([(x, 1), (x + 3, 1), (x + 3, 4)], is_closed=True)
    return dxf_bytes(document)


def ezdxf_inches():
    """All in inches, rounded to 0.001."""
    document = dxf_document()
    document.header["$INSUNITS"] = 1

    def inch(value):
        return round(value / 25.4, 3)

    for one in document.modelspace():
        kind = one.dxftype()
        if kind == "LINE":
            one.dxf.start = tuple(inch(v) for v in one.dxf.start)
            one.dxf.end = tuple(inch(v) for v in one.dxf.end)
        elif kind == "LWPOLYLINE":
            points = [(inch(x), inch(y), s, e, b) for x, y, s, e, b in one.get_points()]
            one.set_points(points)
        elif kind == "CIRCLE":
            one.dxf.center = tuple(inch(v) for v in one.dxf.center)
            one.dxf.radius = inch(one.dxf.radius)
    return dxf_bytes(document)


def gdal():
    """Read and written by GDAL's DXF driver: all lines on their layers, arcs broken to chords."""
    import pyogrio

    with tempfile.TemporaryDirectory() as folder:
        source, target = f"{folder}/in.dxf", f"{folder}/out.dxf"
        File(source).write_bytes(made("dxf-r2000"))
        meta, _, shapes, fields = pyogrio.raw.read(source)
        names = list(meta["fields"])
        kept = [i for i, one in enumerate(shapes) if one[1] == 2 or one[1:3] == b"\xea\x03"]
        layers = fields[names.index("Layer")][kept]
        pyogrio.raw.write(
            target, shapes[kept], [layers], ["Layer"], geometry_type="Unknown", driver="DXF"
        )
        return File(target).read_bytes()


def pdf(tool):
    data = made("pdf")
    if tool == "qpdf":
        return by_tool(
            data,
            ".pdf",
            ".pdf",
            "qpdf",
            "--object-streams=generate",
            "--deterministic-id",
            "IN",
            "OUT",
        )
    if tool == "mutool":
        return by_tool(data, ".pdf", ".pdf", "mutool", "clean", "-ggg", "-z", "IN", "OUT")
    if tool == "pdftocairo":
        return by_tool(data, ".pdf", ".pdf", "pdftocairo", "-pdf", "IN", "OUT")
    return by_tool(
        data,
        ".pdf",
        ".pdf",
        "gs",
        "-q",
        "-dNOPAUSE",
        "-dBATCH",
        "-sDEVICE=pdfwrite",
        "-dAutoRotatePages=/None",
        "-sOutputFile=OUT",
        "IN",
    )


def picture():
    from cutfiles.report.pictures.flat import flat_picture

    return flat_picture(PATTERN, DRAFT.support, DRAFT.verdict)


def lettered():
    root = tree()
    text_on_label(root)
    words = ("--export-plain-svg", "--export-text-to-path", "--export-filename=OUT", "IN")
    return by_tool(written(root), ".svg", ".svg", "inkscape", *words)


def stroked():
    return inkscape(made("svg"), actions="select-by-id:cut-outline-1;object-stroke-to-path;")


def several():
    return drawn_with("label_moved", "slot", "notch")


def gdal_version():
    return "GDAL {}.{}.{}".format(*__import__("pyogrio").__gdal_version__)


def ezdxf_version():
    return f"ezdxf {__import__('ezdxf').__version__}"


def tool(*words, before=""):
    return lambda: before + said(shutil.which(words[0]), *words[1:])


PYTHON = f"the standard library, Python {sys.version.split()[0]}"
INKSCAPE = tool("inkscape", "--version")
TEXTS = "a text on the label layer, texts made paths"
SAVED = {
    "several.svg": (lambda: inkscape(several()), "label moved, slot, notch", INKSCAPE),
    "optimised.svg": (
        lambda: svgo(several()),
        "the same",
        tool("svgo", "--version", before="svgo "),
    ),
    "several.pdf": (lambda: inkscape(several(), ".pdf"), "the same", INKSCAPE),
    "stroked.svg": (stroked, "the outline's stroke made an area", INKSCAPE),
    "text_as_paths.svg": (lettered, TEXTS, INKSCAPE),
    "resaved.dxf": (ezdxf_resaved, "nothing; comments are lost", ezdxf_version),
    "lower.dxf": (ezdxf_lower, "layers in lower case", ezdxf_version),
    "rich.dxf": (ezdxf_rich, ezdxf_rich.__doc__, ezdxf_version),
    "inches.dxf": (ezdxf_inches, ezdxf_inches.__doc__, ezdxf_version),
    "gdal.dxf": (gdal, gdal.__doc__, gdal_version),
    "qpdf.pdf": (lambda: pdf("qpdf"), "nothing", tool("qpdf", "--version")),
    "mutool.pdf": (lambda: pdf("mutool"), "nothing", tool("mutool", "-v")),
    "distilled.pdf": (
        lambda: pdf("gs"),
        "distilled again",
        tool("gs", "--version", before="Ghostscript "),
    ),
    "printed.pdf": (
        lambda: pdf("pdftocairo"),
        "drawn through a PDF printer",
        tool("pdftocairo", "-v"),
    ),
    "picture.svg": (picture, "a picture of the pattern instead of a cut file", lambda: "cutfiles"),
}
"""What makes each file, what was done to the drawing in it, and the program with its version."""


def saved_svg(name):
    data = drawn_with(name)
    return inkscape_own(data) if name in BY_INKSCAPE else data


def saved():
    """Return what SAVED holds, and each edit as its own SVG."""
    edits = {
        f"{name}.svg": (
            partial(saved_svg, name),
            function.__doc__,
            INKSCAPE if name in BY_INKSCAPE else (lambda: PYTHON),
        )
        for name, function in EDITS.items()
    }
    return edits | SAVED


BY_INKSCAPE = (
    "plain",
    "colours",
    "label_moved",
    "logo",
    "slot",
    "clone",
    "notch",
    "corner",
    "guide_hidden",
    "renamed",
    "turned_90",
    "turned_half",
    "stretched",
    "hole_crease",
    "leg_gone",
)


def main(names):
    """Make the files of some names, or all; only the programs of those are asked for."""
    table = HERE / "saved.csv"
    rows = {row["file"]: row for row in csv.DictReader(io.StringIO(table.read_text()))}
    for name, (make_it, what, program) in saved().items():
        if names and name not in names and name.split(".")[0] not in names:
            continue
        data, by = make_it(), program()
        (HERE / f"{name}.gz").write_bytes(gzip.compress(data, 9, mtime=0))
        rows[f"{name}.gz"] = {"file": f"{name}.gz", "saved by": by, "what was done": what}
        print(name, len(data), by)
    out = io.StringIO()
    writer = csv.DictWriter(out, ["file", "saved by", "what was done"], lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows[name] for name in sorted(rows))
    table.write_text(out.getvalue())


if __name__ == "__main__":
    main(sys.argv[1:])
