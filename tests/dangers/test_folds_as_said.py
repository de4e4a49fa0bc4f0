"""The fold check, at the level of files: what does not fold is told, in mm and degrees.

Each file is a sound one in which somebody moved something by hand.
"""

import json
import math
import re

import pytest
from dangers.jobs import THIRDS, done, first_sample, run, slip


@pytest.fixture(scope="module")
def files(tmp_path_factory):
    """An SVG in one layer, its edges cut, and one in three; the book 60 × 60 mm, opening 110°."""
    folder = tmp_path_factory.mktemp("fold")
    for name, layers in (("one", 1), ("three", 3)):
        edges = "cut" if layers == 1 else "folded"
        made = {"layers": layers, "gauge": "5 mil", "construction": "plain", "edges": edges}
        path = slip(folder, name, width=60, support=made)
        done("make", path, "--format", "svg-plain", "--no-cards", "--to", folder)
    return folder


def told(tmp_path, files, name, change):
    """Return exit code and findings of the fold check of a changed file."""
    text = (files / f"{name}.plain.svg").read_text(encoding="utf-8")
    new = change(text)
    assert new != text
    path = tmp_path / f"{name}.plain.svg"
    path.write_text(new, encoding="utf-8")
    ended = run("fold", path, "--check")
    return ended.exit_code, ended.output


NUMBER = r"-?\d+(?:\.\d+)?"


def line_of(text, ident):
    """Return the line drawn under an id: the match, and x1 y1 x2 y2 as written."""
    found = re.search(rf'd="M({NUMBER}) ({NUMBER})L({NUMBER}) ({NUMBER})" id="{ident}"', text)
    assert found, ident
    return found, [float(v) for v in found.groups()]


def added(text, ident, *ends):
    """Add a line beside another, in its layer."""
    found = re.search(rf'<path [^>]*id="{ident}"[^>]*>(<title>[^<]*</title></path>)', text)
    (x1, y1), (x2, y2) = ends
    more = re.sub(r'd="[^"]*"', f'd="M {x1} {y1} L {x2} {y2}"', found[0])
    more = more.replace(f'id="{ident}"', f'id="{ident}-more"')
    return text.replace(found[0], found[0] + more)


def end_moved(text, by):
    """Move the right end of the strip: the tab becomes longer or shorter by so much."""
    found = re.search(r'd="([^"]*)" id="cut-outline-1"', text)
    numbers = [float(v) for v in re.findall(NUMBER, found[1])]
    right = max(x for x in numbers)

    def place(match):
        x = float(match[2])
        return f"{match[1]}{x + by if x > right - 4 else x:.4f} {match[3]}"

    new = re.sub(rf"([ML]|A{NUMBER} {NUMBER} 0 \d \d )({NUMBER}) ({NUMBER})", place, found[1])
    return text.replace(found[1], new)


def test_sound_files_fold(files):
    for name in ("one", "three"):
        ended = run("fold", files / f"{name}.plain.svg", "--check")
        assert ended.exit_code == 0, ended.output


@pytest.mark.parametrize("by", [3.0, -3.0])
def test_a_tab_of_another_length_is_told(files, tmp_path, by):
    code, said = told(tmp_path, files, "one", lambda text: end_moved(text, by))
    assert code == 1, said
    assert re.search(r"the right tab would reach \d+\.\d+ mm under the spine panel", said), said


@pytest.mark.parametrize("degrees", [0.4, -0.4, 0.8])
def test_a_leg_that_leans_is_told(files, tmp_path, degrees):
    """An apex scored askew by less than a degree: its leg comes to lean by about as much."""
    text = (files / "one.plain.svg").read_text("utf-8")
    leaning = []
    for ident in re.findall(r'id="(score-mountain-\d+)"', text):
        code, said = told(
            tmp_path, files, "one", lambda text, ident=ident: askew(text, ident, degrees)
        )
        assert code == 1, f"{ident} askew by {degrees}° folds as if nothing were: {said}"
        leaning += [float(found) for found in re.findall(r"would lean by (\d+\.\d)°", said)]
    assert leaning, "no leg leans"
    assert max(leaning) <= 2 * abs(degrees)


def askew(text, ident, degrees):
    """Turn a straight crease about its middle."""
    found, (x1, y1, x2, y2) = line_of(text, ident)
    by = (y2 - y1) / 2 * math.tan(math.radians(degrees))
    return text.replace(found[0], f'd="M {x1 - by:.3f} {y1} L {x2 + by:.3f} {y2}" id="{ident}"')


def test_a_line_that_bounds_nothing_is_told(files, tmp_path):
    """Ten millimetres scored in the middle of a panel: the film would fold there."""
    text = (files / "one.plain.svg").read_text(encoding="utf-8")
    _, (x, y1, _, y2) = line_of(text, "score-mountain-1")
    middle = (y1 + y2) / 2
    for ident in ("score-mountain-1", "score-valley-1"):
        code, said = told(
            tmp_path,
            files,
            "one",
            lambda text, ident=ident: added(text, ident, (x + 6, middle), (x + 6, middle + 10)),
        )
        assert code == 1, said
        assert "10.0" in said
        assert "no crease of the pattern" in said or "bounds no panel" in said


def drawn(lines):
    from cutfiles.folding.graph import FoldLine, build_graph
    from cutfiles.plane.shapes import Point

    return build_graph(
        [FoldLine(kind, tuple(Point(*place) for place in places), kind) for kind, places in lines]
    )


SQUARE = ("B", [(0, 0), (60, 0), (60, 40), (0, 40), (0, 0)])


def test_a_node_drawn_twice_over_is_one():
    """At either end of a score, and a score that is one place alone."""
    plain = drawn([SQUARE, ("M", [(20, 0), (20, 40)])])
    for places in ([(20, 0), (20, 0), (20, 40)], [(20, 0), (20, 40), (20, 40)]):
        assert drawn([SQUARE, ("M", places)]).faces == plain.faces
    spot = drawn([SQUARE, ("M", [(20, 0), (20, 40)]), ("V", [(40, 15), (40, 15)])])
    assert spot.faces == plain.faces


def test_what_hangs_loose_is_in_the_graph():
    """A score of 8 mm that touches nothing, and one that stops 10 mm short of the edge."""
    graph = drawn([SQUARE, ("M", [(20, 0), (20, 40)]), ("V", [(40, 15), (40, 23)])])
    assert [round(size, 3) for _, size in graph.loose] == [8.0]
    assert len(graph.faces) == 2
    graph = drawn([SQUARE, ("M", [(20, 0), (20, 30)])])
    assert [round(size, 3) for _, size in graph.loose] == [30.0]


def test_what_ends_over_a_hole_or_within_a_file_s_step_hangs_from_nothing():
    """A crease ends 6 mm inside a hole on both sides: where nothing is, nothing hangs loose."""
    from cutfiles.folding.graph import FoldLine, build_graph
    from cutfiles.plane.shapes import Point

    def loose(*scores):
        ring = [(20, 10), (40, 10), (40, 30), (20, 30), (20, 10)]
        lines = [("B", SQUARE[1], False), ("B", ring, True), *(("M", s, False) for s in scores)]
        graph = build_graph(
            [FoldLine(k, tuple(Point(*p) for p in ends), k, h) for k, ends, h in lines]
        )
        return [round(size, 3) for _, size in graph.loose]

    assert loose([(0, 20), (26, 20)], [(34, 20), (60, 20)]) == []
    assert loose([(26, 20), (34, 20)]) == []
    assert loose([(0, 35), (26, 35)]) == [26.0]
    assert loose([(50, 20), (50.14, 20)]) == []
    assert loose([(50, 20), (50.2, 20)]) == [0.2]


@pytest.mark.parametrize(("apart", "kinds"), [(0.06, "CVV"), (0.2, "VVV")])
def test_a_stretch_between_two_layers_creases_is_a_slit_as_long_as_a_files_step(apart, kinds):
    """A long fold, a crease of one layer above it, of the other below, `apart` beside it.

    Rounding in a file parts creases that meet: their stretch of the fold, under 0.1 mm, cannot
    fold and is a slit. 0.2 mm apart they do not meet, and the film between them is folded.
    """
    graph = drawn(
        [
            SQUARE,
            ("V", [(0, 20), (60, 20)]),
            ("M", [(30, 20), (30, 40)]),
            ("M", [(30 + apart, 0), (30 + apart, 20)]),
        ]
    )
    level = [edge for edge in graph.edges if graph.vertices[edge.a].y == 20.0]
    stretches = [edge for edge in level if graph.vertices[edge.b].y == 20.0]
    assert sorted(edge.kind for edge in stretches if edge.kind in "CV") == sorted(kinds)


@pytest.mark.parametrize(("gap", "closes"), [(0.0, True), (0.04, True), (0.2, False), (0.4, False)])
def test_an_outline_that_nearly_closes(gap, closes):
    """Two units of a plotter, 0.05 mm, are closed; 0.2 mm are film that holds on."""
    from cutfiles.folding.graph import FoldLine
    from cutfiles.plane.shapes import Point

    places = [(0, 0), (60, 0), (60, 40), (0, 40), (0, gap)]
    assert FoldLine("B", tuple(Point(*p) for p in places)).closed is closes


@pytest.mark.parametrize("off", [0.6, 1.0])
def test_a_flap_that_stands_out_is_told(tmp_path, off):
    """An outer flap half a millimetre too broad shows beyond the middle, above 0.4 mm of film."""
    path = slip(tmp_path, "wide", width=60, support={"layers": 3, "gauge": "5 mil"})
    done("make", path, "--format", "svg-plain", "--no-cards", "--to", tmp_path)
    text = (tmp_path / "wide.plain.svg").read_text(encoding="utf-8")
    file = tmp_path / "wide.plain.svg"
    file.write_text(head_moved(text, 0.5 + off), encoding="utf-8")
    ended = run("fold", file, "--check")
    assert ended.exit_code == 1, ended.output
    assert re.search(r"the (outer|inner) flap would stand out \d\.\d+ mm", ended.output), (
        ended.output
    )


def head_moved(text, by):
    """Move the head edge of the strip outwards: y counts down from it in the file."""
    found = re.search(r'd="([^"]*)" id="cut-outline-1"', text)
    places = re.findall(rf"(?:[ML]|A{NUMBER} {NUMBER} 0 \d \d ){NUMBER} ({NUMBER})", found[1])
    top = min(float(y) for y in places)

    def place(match):
        y = float(match[3])
        return f"{match[1]}{match[2]} {y - by if y < top + 4 else y:.4f}"

    new = re.sub(rf"([ML]|A{NUMBER} {NUMBER} 0 \d \d )({NUMBER}) ({NUMBER})", place, found[1])
    return text.replace(found[1], new)


def test_creases_that_do_not_fold_flat_are_told_by_their_angle():
    """Four creases meet; one of them 4° off: Kawasaki's sum is 4° off, and that is said."""
    from cutfiles.folding.graph import FoldLine, build_graph
    from cutfiles.folding.vertices import meetings
    from cutfiles.plane.shapes import Point

    def star(off):
        middle = Point(50.0, 50.0)
        ends = [(100.0, 50.0), (50.0, 100.0), (0.0, 50.0 - 50 * math.tan(off)), (50.0, 0.0)]
        kinds = "MMMV"
        outline = [(0, 0), (100, 0), (100, 100), (0, 100), (0, 0)]
        lines = [FoldLine("B", tuple(Point(*p) for p in outline))]
        lines += [FoldLine(k, (middle, Point(*e))) for k, e in zip(kinds, ends, strict=True)]
        graph = build_graph(lines)
        angles = {
            i: math.pi * (1 if edge.kind == "V" else -1)
            for i, edge in enumerate(graph.edges)
            if edge.kind in "MV"
        }
        return [m for m in meetings(graph, angles) if m.flat]

    [sound] = star(0.0)
    assert math.degrees(sound.kawasaki) == pytest.approx(0.0, abs=1e-6)
    [off] = star(math.radians(4.0))
    assert math.degrees(off.kawasaki) == pytest.approx(4.0, abs=0.01)


def test_a_crossing_off_by_degrees_is_told(tmp_path, monkeypatch):
    """A crease set askew by 3°: what it does where it crosses a long fold is told by its angle.

    That it lies elsewhere than drawn would be told first; here nobody looks at that.
    """
    monkeypatch.setattr("cutfiles.folding.check.drawing_findings", lambda *_: ())
    sample = first_sample(tmp_path, *THIRDS)
    done("make", sample, "--format", "svg-plain", "--no-cards", "--to", tmp_path)
    file = tmp_path / "A1.plain.svg"
    text = file.read_text(encoding="utf-8")
    data = json.loads(run("fold", file, "--check", "--json").stdout)
    assert data["folds"] is True
    askew = 0
    for ident in re.findall(r'id="(score-(?:valley|mountain)-\d+)"', text):
        found, (x1, y1, x2, y2) = line_of(text, ident)
        if abs(x1 - x2) > 1:
            continue  # a long fold
        lean = abs(y2 - y1) * 0.052
        file.write_text(
            text.replace(found[0], f'd="M {x1} {y1} L {x2 + lean:.3f} {y2}" id="{ident}"'), "utf-8"
        )
        ended = run("fold", file, "--check")
        assert ended.exit_code == 1, ident
        askew += "from folding flat" in ended.output
    assert askew, "no crossing is told by its angle"
