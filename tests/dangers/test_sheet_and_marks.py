"""What stands on a sheet beside the piece: rules to measure by, marks that tell a turned sheet.

Measured in the files by readers from outside the package.
"""

import io
import itertools
import math
import re

import pypdfium2
import pytest
from conftest import SAMPLES
from dangers.jobs import THIRDS, done, first_sample, profile
from interpreters import KnifeMachine
from pages import segments

MM = 25.4 / 72


@pytest.fixture(scope="module")
def files(tmp_path_factory):
    folder = tmp_path_factory.mktemp("sheet")
    done("make", first_sample(folder, *THIRDS), "--format", "all", "--to", folder)
    return folder


def svg_lines(path):
    """Straight lines of an SVG: id, ends in mm, y down."""
    import svgelements

    svg = svgelements.SVG.parse(io.StringIO(path.read_text(encoding="utf-8")), ppi=25.4)
    for one in svg.elements():
        if isinstance(one, svgelements.Path) and len(one) == 2:
            a, b = one.first_point, one.current_point
            yield str(one.id), ((a.x, a.y), (b.x, b.y))


def dxf_lines(path):
    import ezdxf

    space = ezdxf.readfile(path).modelspace()
    for one in space.query("LINE"):
        yield one.dxf.layer, (one.dxf.start.vec2, one.dxf.end.vec2)
    for one in space.query("POLYLINE LWPOLYLINE"):
        places = [v.vec2 for v in one.points()] if one.dxftype() == "POLYLINE" else one.vertices()
        places = [tuple(p)[:2] for p in places]
        if len(places) == 2:
            yield one.dxf.layer, tuple(places)


def level(ends):
    (ax, ay), (bx, by) = ends
    return math.dist((ax, ay), (bx, by)) if abs(ay - by) < 1e-3 else 0.0


def pdf_lines(path):
    for page in pypdfium2.PdfDocument(path.read_bytes()):
        for ends in segments(page):
            yield "", ends


@pytest.mark.parametrize(
    ("suffix", "read", "within"),
    [
        (".svg", svg_lines, 0.0011),
        (".plain.svg", svg_lines, 0.0011),
        (".r12.dxf", dxf_lines, 0.0002),
        (".r2000.dxf", dxf_lines, 0.0002),
        (".pdf", pdf_lines, 0.0005),
    ],
)
def test_the_check_line_is_100_mm(files, suffix, read, within):
    """Whoever measures it learns whether the file was scaled on its way."""
    lengths = [level(ends) for _, ends in read(files / f"A1{suffix}")]
    near = [length for length in lengths if 98 < length < 102]
    assert near, "no line of about 100 mm"
    assert all(abs(length - 100.0) <= within for length in near), near


def written_at(path, words):
    """Yield the places of a text on a PDF's pages, mm."""
    for page in pypdfium2.PdfDocument(path.read_bytes()):
        text = page.get_textpage()
        search = text.search(words)
        while hit := search.get_next():
            left, bottom, _, _ = text.get_charbox(hit[0])
            yield left * 25.4 / 72, bottom * 25.4 / 72


def test_the_bar_on_the_card_is_50_mm(files):
    """The line that its words stand beside: of the pictures' lines some are about as long."""
    card = files / "A1.bench.pdf"
    places = list(written_at(card, "50 mm"))
    bars = [
        level(ends)
        for _, ends in pdf_lines(card)
        if 45 < level(ends) < 55
        and any(abs(y - ends[0][1]) < 5 and -5 < x - ends[0][0] < 60 for x, y in places)
    ]
    assert bars
    assert all(abs(length - 50.0) < 0.001 for length in bars)


def texts_of_svg(path):
    import xml.etree.ElementTree as Tree

    for one in Tree.fromstring(path.read_text(encoding="utf-8")).iter():
        if one.tag.endswith("}text"):
            yield one


def test_notes_can_be_seen(files):
    """Text filled with nothing and drawn with nothing is there for programs only."""
    found = list(texts_of_svg(files / "A1.svg"))
    assert len(found) > 8
    for one in found:
        fill = one.get("fill", "none")
        assert fill not in ("none", "#FFFFFF", "#ffffff", "white"), one.text
        assert one.get("opacity", "1") != "0"


def test_notes_read_the_same_way_in_every_format(files):
    """Upright notes run towards the head: in DXF turned by 90°, y up; in SVG by -90°, y down."""
    import ezdxf

    turned = {}
    for one in ezdxf.readfile(files / "A1.r2000.dxf").modelspace().query("TEXT"):
        turned.setdefault(one.dxf.text, set()).add(round(one.dxf.rotation) % 360)
    upright = 0
    for one in texts_of_svg(files / "A1.svg"):
        match = re.search(r"rotate\((-?\d+(?:\.\d+)?)", one.get("transform", ""))
        degrees = -float(match[1]) if match else 0.0
        text = "".join(one.itertext())
        assert round(degrees) % 360 in turned[text], f"{text} reads another way in SVG than in DXF"
        upright += round(degrees) % 360 == 90
        assert round(degrees) % 360 in (0, 90)
    assert upright >= 2


def test_notes_stand_on_the_inner_flap(files):
    """Hidden when folded, and on neither the labels' band nor the tape's."""
    import ezdxf

    space = ezdxf.readfile(files / "A1.r2000.dxf").modelspace()
    long = [
        ends
        for layer, ends in dxf_lines(files / "A1.r2000.dxf")
        if layer == "SCORE_MOUNTAIN" and level(ends) > 300
    ]
    inner = min(ends[0][1] for ends in long)
    names = [
        one
        for one in space.query("TEXT")
        if re.match(r"(left|right|spine) ?\w* [\d.]+", one.dxf.text)
    ]
    assert len(names) >= 9
    for one in names:
        assert 10 < one.dxf.insert.y < inner, one.dxf.text


def crosses(path):
    """Centres of the registration crosses of a DXF."""
    lines = [ends for layer, ends in dxf_lines(path) if layer == "REGISTRATION"]
    middles = sorted(((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in lines)
    return [a for a, b in itertools.pairwise(middles) if math.dist(a, b) < 1e-3]


def test_marks_tell_every_turn(files):
    """Turned by half a turn, over either axis: no mark comes to lie on another's place."""
    found = crosses(files / "A1.r2000.dxf")
    assert len(found) == 3
    [size] = re.findall(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', (files / "A1.svg").read_text("utf-8"))
    w, h = map(float, size)
    for name, move in {
        "turned by 180°": lambda x, y: (w - x, h - y),
        "turned over left to right": lambda x, y: (w - x, y),
        "turned over head to tail": lambda x, y: (x, h - y),
    }.items():
        moved = [move(*place) for place in found]
        off = max(min(math.dist(p, q) for q in found) for p in moved)
        assert off > 5.0, f"a sheet {name} looks right at its marks"


def test_pin_holes_are_for_pins_of_3_mm_and_free(tmp_path):
    """Read from the drawing of the sheet: diameter, and a millimetre of film to whatever is cut."""
    import ezdxf
    from shapely import LineString, Point

    done("make", SAMPLES / "B1.toml", "--cutter", "desktop-knife", "--to", tmp_path)
    space = ezdxf.readfile(tmp_path / "B1.face-a.dxf").modelspace()
    circles = [one for one in space.query("CIRCLE") if abs(one.dxf.radius - 1.5) < 0.5]
    assert len(circles) == 3
    lines = [LineString(ends) for _, ends in dxf_lines(tmp_path / "B1.face-a.dxf")]
    for one in circles:
        assert one.dxf.radius == pytest.approx(1.5, abs=1e-4)
        hole = Point(tuple(one.dxf.center)[:2]).buffer(1.5, 256)
        assert min(hole.distance(line) for line in lines) > 0.99


@pytest.mark.parametrize("off", [0.3, 0.6, 0.9])
def test_a_pin_hole_keeps_off_what_is_near(off):
    """A line so near to where a hole would go: the hole moves on, or none is made."""
    from cutfiles.film.register import pin_holes
    from cutfiles.pattern.pattern import Role, Stroke
    from cutfiles.plane.measure import box_of, distance_to_path
    from cutfiles.plane.shapes import Box, open_path, rectangle

    piece = Stroke(Role.OUTLINE, "outline", rectangle(Box(20, 20, 180, 130)))
    first = box_of([pin_holes(200, 150, (piece,))[0].path])
    y = first.top + off
    near = Stroke(Role.REGISTRATION, "cross 9", open_path((2, y), (18, y)))
    for hole in pin_holes(200, 150, (piece, near)):
        middle = box_of([hole.path]).centre
        assert distance_to_path(middle, near.path) - 1.5 >= 1.0 - 1e-9


@pytest.mark.parametrize("sample", ["A1", "B1", "H2"])
def test_labels_keep_off_creases_and_edges(sample):
    """A letter scored near a crease is a place where the film tears: two millimetres at least.

    The ticks that tape is stuck to begin 1 mm from the edge, along the creases.
    """
    from shapely import LineString, MultiLineString

    from cutfiles.bench.slip import read_slip
    from cutfiles.draft import draft_of
    from cutfiles.pattern.pattern import Role
    from cutfiles.plane.measure import chords

    pattern = draft_of(read_slip(SAMPLES / f"{sample}.toml")).pattern

    def lines(*roles):
        found = []
        for stroke in pattern.strokes:
            if stroke.role in roles and not stroke.name.startswith("tape tick"):
                places = chords(stroke.path, 0.02)
                found.append(LineString([*places, *places[: 1 if stroke.path.closed else 0]]))
        return MultiLineString(found)

    letters = lines(Role.LABEL)
    assert letters.length > 20
    assert (
        letters.distance(lines(Role.VALLEY, Role.MOUNTAIN, Role.OUTLINE, Role.HOLES)) > 2.0 - 1e-9
    )


def test_long_and_small_labels_keep_off_too():
    """A number of many letters on a narrow panel is written smaller, not nearer to the crease."""
    from cutfiles.pattern.labels import label
    from cutfiles.plane.measure import box_of
    from cutfiles.plane.shapes import Box

    for number in ("A1", "WWWWWWWWWWWW-123456"):
        for panel in (Box(0, 0, 40, 60), Box(0, 0, 100, 20), Box(0, 0, 22, 90)):
            strokes = label(number, "left", panel)
            assert strokes
            box = box_of(stroke.path for stroke in strokes)
            near = min(box.left, box.bottom, panel.right - box.right, panel.top - box.top)
            assert near > 2.0, (number, panel)


@pytest.fixture(scope="module")
def fed(tmp_path_factory):
    """A piece longer than the bed, worked in frames; and the same on a bed that holds it."""
    lines = {}
    for name, length in (("frames", "300 mm"), ("whole", "1600 mm")):
        folder = tmp_path_factory.mktemp(name)
        cutter = profile(folder, "wide-roll-knife", ('length = "1600 mm"', f'length = "{length}"'))
        done("make", first_sample(folder, *THIRDS), "--cutter", cutter, "--to", folder)
        files = sorted(folder.glob("A1.*face-b*.hpgl"))
        lines[name] = [KnifeMachine().take(file.read_bytes()) for file in files]
    return lines


def cut_length(machines):
    return sum(
        math.dist(a, b)
        for machine in machines
        for line in machine.lines
        if line.pen == 1
        for a, b in itertools.pairwise(line.places)
    )


def test_a_seam_is_cut_through_and_hardly_further(fed):
    """Cuts run 0.2 mm past a seam on either side of it: no bridge, and no slit into the next."""
    assert len(fed["whole"]) == 1
    assert len(fed["frames"]) > 2
    over = cut_length(fed["frames"]) - cut_length(fed["whole"])
    seams = len(fed["frames"]) - 1
    # two edges of the outline cross each seam, each run over from both sides
    assert over == pytest.approx(seams * 2 * 2 * 0.2, abs=0.06 * seams * 4)


def test_lands_are_as_the_coupon_was_judged():
    """A lot whose coupon held best with lands of 1.6 mm is perforated with such lands."""
    from machine.benches import cutter, small_sheet

    from cutfiles.machine.plan import plan
    from cutfiles.pattern.pattern import Role

    judged = [{"lot": "L7", "gauge": "5 mil", "setting": 3, "what": "land", "value": 1.6}]
    machine = cutter(score={"method": "perforate", "dash": "3 mm", "land": "0.8 mm"}, judged=judged)

    def least(lot):
        """The shortest piece of film left between two dashes of one crease."""
        made = plan(small_sheet(), machine, lot)
        rows = {}
        for one in made.passes:
            for stroke in one.drawing.strokes:
                if stroke.role in (Role.VALLEY, Role.MOUNTAIN):
                    (ax, ay), (bx, by) = stroke.path.points
                    key = round(ax, 3) if abs(ax - bx) < 1e-6 else round(ay, 3)
                    ends = sorted((ay, by)) if abs(ax - bx) < 1e-6 else sorted((ax, bx))
                    rows.setdefault((one.name, key), []).append(ends)
        return min(
            after[0] - before[1]
            for row in rows.values()
            for before, after in itertools.pairwise(sorted(row))
        )

    assert 0.8 - 1e-6 <= least("") < 1.2
    assert least("L7") >= 1.6 - 1e-6
