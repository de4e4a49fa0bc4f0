"""What other programs make of our files.

ezdxf's auditor, GDAL's DXF driver, a JavaScript DXF parser (npm dxf-parser); svgelements, resvg and
the W3C's SVG 1.1 DTD; qpdf, poppler, pikepdf and pdfium; hp2xx.
"""

import io
import json
import math
import re
import shutil
import subprocess
from pathlib import Path

import pytest
from conftest import ROOT, outside_tool, plain, sample_slips

from cutfiles.draft import draft_of
from cutfiles.files.formats import FORMATS, Options, write_drawing
from cutfiles.machine.cutter import Setting
from cutfiles.pattern.pattern import COLOURS, Role
from cutfiles.plane.measure import box_of, path_length

BEAM = {role.value: Setting(power=30, speed=20) for role in Role}
ROOMY = Options(hpgl_range=8_388_607, settings=BEAM)
SLIPS = [path.stem for path in sample_slips()]
DTD = Path("/usr/share/xml/w3c-sgml-lib/schema/dtd/REC-SVG11-20110816/svg11.dtd")
NODE = ROOT / "tests" / "outside" / "node_modules"


def sheet_of(stem):
    return draft_of(plain(stem)).drawing


def written(stem, key, tmp_path):
    form = FORMATS[key]
    path = tmp_path / f"{stem}{form.suffix}"
    path.write_bytes(write_drawing(sheet_of(stem), form, ROOMY))
    return path


def run(*command):
    # one of these programs prints bytes of its own memory between its words
    return subprocess.run(
        list(map(str, command)), capture_output=True, text=True, errors="replace", check=False
    )


# -- DXF -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("stem", SLIPS)
@pytest.mark.parametrize("key", ["dxf-r12", "dxf-r2000"])
def test_ezdxf_finds_nothing_to_mend(stem, key, tmp_path):
    import ezdxf

    document = ezdxf.readfile(written(stem, key, tmp_path))
    audit = document.audit()
    assert audit.errors == []
    assert audit.fixes == []
    sheet = FORMATS[key].prepared(sheet_of(stem))
    assert len(document.modelspace()) == len(sheet.strokes) + len(sheet.notes)
    assert document.dxfversion == {"dxf-r12": "AC1009", "dxf-r2000": "AC1015"}[key]
    if key == "dxf-r2000":
        assert document.header["$INSUNITS"] == 4
    assert document.header["$EXTMAX"][:2] == pytest.approx((sheet.width, sheet.height), abs=1e-4)


@pytest.mark.parametrize("stem", SLIPS)
@pytest.mark.parametrize("key", ["dxf-r12", "dxf-r2000"])
def test_gdal_reads_the_same_lines(stem, key, tmp_path):
    import pyogrio
    import shapely

    meta, _, geometry, columns = pyogrio.raw.read(written(stem, key, tmp_path))
    layers = list(columns[list(meta["fields"]).index("Layer")])
    sheet = sheet_of(stem)
    for role in Role:
        name = FORMATS[key].layer(_stroke(sheet, role), ROOMY) if sheet.of_role(role) else ""
        found = [
            shapely.from_wkb(g)
            for g, layer in zip(geometry, layers, strict=True)
            if layer == name and shapely.from_wkb(g).geom_type != "Point"
        ]
        wanted = [stroke.path for stroke in sheet.of_role(role)]
        assert len(found) == len(wanted)
        for shape, path in zip(found, wanted, strict=True):
            length = shape.length if shape.geom_type != "Polygon" else shape.exterior.length
            assert length == pytest.approx(path_length(path), rel=2e-3, abs=1e-3)
            box = box_of([path])
            assert shape.bounds == pytest.approx(tuple(box), abs=5e-3)


def _stroke(sheet, role):
    return sheet.of_role(role)[0]


@pytest.mark.parametrize("key", ["dxf-r12", "dxf-r2000"])
def test_javascript_parser_reads_the_same_entities(key, tmp_path):
    outside_tool("npm dxf-parser", shutil.which("node") and (NODE / "dxf-parser").exists())
    path = written("A1", key, tmp_path)
    script = (
        f"const P=require({json.dumps(str(NODE / 'dxf-parser'))});"
        f"const d=new P().parseSync(require('fs').readFileSync({json.dumps(str(path))},'latin1'));"
        "console.log(JSON.stringify(d.entities))"
    )
    done = run("node", "-e", script)
    assert done.returncode == 0, done.stderr
    entities = json.loads(done.stdout)
    sheet = FORMATS[key].prepared(sheet_of("A1"))
    assert len(entities) == len(sheet.strokes) + len(sheet.notes)
    counts = {}
    for entity in entities:
        counts[entity["layer"]] = counts.get(entity["layer"], 0) + 1
    for role in set(Role) - {Role.GUIDE}:
        assert counts[role.value.upper().replace("-", "_")] == len(sheet.of_role(role))
    outline = next(e for e in entities if e["layer"] == "CUT_OUTLINE")
    assert outline["shape"] is True
    wanted = sheet.of_role(Role.OUTLINE)[0].path
    assert len(outline["vertices"]) == len(wanted.points)
    for vertex, point, bulge in zip(outline["vertices"], wanted.points, wanted.bulges, strict=True):
        assert (vertex["x"], vertex["y"]) == pytest.approx(tuple(point), abs=1e-4)
        assert vertex.get("bulge", 0) == pytest.approx(bulge, abs=1e-6)


# -- SVG -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("stem", SLIPS)
def test_svgelements_reads_the_same_paths(stem, tmp_path):
    import svgelements

    path = written(stem, "svg-plain", tmp_path)
    svg = svgelements.SVG.parse(io.StringIO(path.read_text(encoding="utf-8")), ppi=25.4)
    sheet = sheet_of(stem)
    found = [e for e in svg.elements() if isinstance(e, svgelements.Path)]
    assert len(found) == len(sheet.strokes)
    for element, stroke in zip(found, sheet.strokes, strict=True):
        assert element.id.rpartition("-")[0] == stroke.role.value
        box = box_of([stroke.path])
        wanted = (box.left, sheet.height - box.top, box.right, sheet.height - box.bottom)
        assert element.bbox() == pytest.approx(wanted, abs=3e-3)
        assert element.length() == pytest.approx(path_length(stroke.path), abs=5e-3)


def test_rendered_size():
    """One unit is one mm: at 96 dots an inch the picture is as large as the sheet."""
    import resvg_py

    sheet = sheet_of("B1")
    svg = write_drawing(sheet, FORMATS["svg"], ROOMY).decode()
    png = bytes(resvg_py.svg_to_bytes(svg_string=svg, dpi=96))
    width, height = (int.from_bytes(png[i : i + 4], "big") for i in (16, 20))
    assert width == pytest.approx(sheet.width / 25.4 * 96, abs=1)
    assert height == pytest.approx(sheet.height / 25.4 * 96, abs=1)


@pytest.mark.parametrize("stem", SLIPS)
def test_plain_svg_is_valid_by_the_w3c_dtd(stem, tmp_path):
    outside_tool("xmllint with the W3C DTDs", shutil.which("xmllint") and DTD.exists())
    done = run(
        "xmllint", "--noout", "--nonet", "--dtdvalid", DTD, written(stem, "svg-plain", tmp_path)
    )
    assert done.returncode == 0, done.stderr


# -- PDF -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("stem", SLIPS)
def test_qpdf_finds_no_error(stem, tmp_path):
    outside_tool("qpdf", shutil.which("qpdf"))
    done = run("qpdf", "--check", written(stem, "pdf", tmp_path))
    assert done.returncode == 0, done.stdout + done.stderr
    assert "No syntax or stream encoding errors" in done.stdout


def test_poppler_sees_the_page_and_its_ink(tmp_path):
    outside_tool("poppler", shutil.which("pdftoppm"))
    path = written("B1", "pdf", tmp_path)
    sheet = sheet_of("B1")
    info = run("pdfinfo", path).stdout
    width, height = map(float, re.search(r"Page size:\s+([\d.]+) x ([\d.]+)", info).groups())
    assert width * 25.4 / 72 == pytest.approx(sheet.width, abs=0.01)
    assert height * 25.4 / 72 == pytest.approx(sheet.height, abs=0.01)
    assert "PDF version:     1.7" in info
    run("pdftoppm", "-r", "25.4", "-gray", path, tmp_path / "page")
    data = next(tmp_path.glob("page*.pgm")).read_bytes()
    assert min(data[20:]) < 200  # something is drawn


def test_pikepdf_reads_layers_and_processing_steps(tmp_path):
    """The pairs of ISO 19593-1 stand in the optional content groups, as names, directly."""
    import pikepdf

    with pikepdf.open(written("A1", "pdf", tmp_path)) as pdf:
        groups = pdf.Root.OCProperties.OCGs
        found = {str(g.Name): tuple(str(v) for v in g.GTS_Metadata.values()) for g in groups}
        assert found["cut-outline"] == found["cut-holes"] == ("/Structural", "/Cutting")
        assert found["score-valley"] == ("/Structural", "/Creasing")
        assert found["score-mountain"] == ("/Structural", "/ReverseCreasing")
        assert found["guide-tape"] == ("/Structural", "/Gluing")
        assert found["registration"] == found["label"] == ("/Legend",)
        assert found["guide"] == ("/Dimensions",)
        assert list(groups[0].GTS_Metadata.keys()) == ["/GTS_ProcStepsGroup"]
        assert not groups[0].GTS_Metadata.is_indirect
        assert [str(g.Name) for g in pdf.Root.OCProperties.D.Order] == [str(g.Name) for g in groups]
        assert len(pdf.Root.OCProperties.D.ON) == len(groups)
        page = pdf.pages[0]
        assert page.MediaBox == page.TrimBox
        spaces = [page.Resources.ColorSpace[key] for key in page.Resources.ColorSpace]
        assert {str(space[0]) for space in spaces} == {"/Separation"}
        assert len({str(space[1]) for space in spaces}) == len(groups)
        state = page.Resources.ExtGState.G0
        assert state.OP is True
        assert state.op is True
        operators = [str(op.operator) for op in pikepdf.parse_content_stream(page)]
        assert operators.count("BDC") == operators.count("EMC") == len(groups)
        strokes = [o for o in operators if o in ("S", "s")]
        from cutfiles.film.drawing import with_notes_drawn

        assert len(strokes) == len(with_notes_drawn(sheet_of("A1")).strokes)


def test_each_ink_of_a_pdf_looks_like_its_role(tmp_path):
    """Red, green and blue are what cyan, magenta, yellow and black leave of white, in their range.

    ISO 32000-1 §8.6.6.4: a tint of 1 of a Separation is shown by its alternate space; §10.3.5.
    """
    import pikepdf

    with pikepdf.open(written("A1", "pdf", tmp_path)) as pdf:
        spaces = pdf.pages[0].Resources.ColorSpace
        inks = {str(one[1])[1:]: [float(v) for v in one[3].C1] for one in spaces.as_dict().values()}
        assert {str(one[2]) for one in spaces.as_dict().values()} == {"/DeviceCMYK"}
        assert all([float(v) for v in one[3].C0] == [0] * 4 for one in spaces.as_dict().values())
    assert {"guide", "guide-tape", "registration", "score-valley", "cut-outline"} <= inks.keys()
    for name, (*process, black) in inks.items():
        assert all(0 <= ink <= 1 for ink in (*process, black)), name
        shown = "".join(f"{round(255 * (1 - ink) * (1 - black)):02X}" for ink in process)
        assert f"#{shown}" == COLOURS[Role(name.removesuffix("-tape"))], name


def test_pdfium_renders_each_layer(tmp_path):
    import pypdfium2

    pdf = pypdfium2.PdfDocument(written("B1", "pdf", tmp_path))
    sheet = sheet_of("B1")
    assert len(pdf) == 1
    width, height = pdf[0].get_size()
    assert (width * 25.4 / 72, height * 25.4 / 72) == pytest.approx(
        (sheet.width, sheet.height), abs=1e-3
    )
    objects = list(pdf[0].get_objects())
    assert len(objects) > len(sheet.strokes)
    left = min(o.get_bounds()[0] for o in objects)
    assert left * 25.4 / 72 == pytest.approx(2, abs=0.2)  # the arm of the first cross
    pdf.close()


# -- HP-GL ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("stem", SLIPS)
def test_hp2xx_takes_every_command(stem, tmp_path):
    outside_tool("hp2xx", shutil.which("hp2xx"))
    path = written(stem, "hpgl", tmp_path)
    done = run("hp2xx", "-t", "-m", "svg", "-f", tmp_path / "out.svg", path)
    said = done.stdout + done.stderr
    assert done.returncode == 0, said
    assert re.search(r"command\(s\) ignored:\s+0\b", said), said
    assert re.search(r"Unexpected event\(s\):\s+0\b", said), said
    assert re.search(r"Pens used: 1 2 3 4", said), said
    box = box_of(s.path for s in sheet_of(stem).strokes if s.role is not Role.GUIDE)
    numbers = re.search(r"Coordinate range: \((\d+), (\d+)\) ... \((\d+), (\d+)\)", said)
    assert tuple(map(int, numbers.groups())) == tuple(math.floor(v * 40 + 0.5) for v in box)
