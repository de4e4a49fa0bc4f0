"""Film keeps its lengths: what a file asks to stretch is seen, in the file itself and in FOLD."""

import json
import math
import re
from dataclasses import replace
from types import SimpleNamespace

import pytest
from conftest import BOOK
from test_fold_check import proved, said
from test_verify import one

from cutfiles.bench.slip import slip_from
from cutfiles.errors import DifferenceError, FileError
from cutfiles.files.fold_check import fold_file, require_same_folds
from cutfiles.folding.isometry import isometry_findings
from cutfiles.job.recheck import fold_data
from cutfiles.pattern.pattern import Stroke
from cutfiles.plane.shapes import Point, circle


def three(**settings):
    return slip_from({**BOOK, "support": {"gauge": "5 mil", "layers": 3, **settings}})


def lengths_of(data):
    """Flat and folded length of each edge and of each line from a face's first corner."""
    document = json.loads(data)
    flat, folded = document["vertices_coords"], document["file_frames"][0]["vertices_coords"]
    pairs = [*document["edges_vertices"]]
    pairs += [(face[0], other) for face in document["faces_vertices"] for other in face[2:-1]]
    return [(math.dist(flat[a], flat[b]), math.dist(folded[a], folded[b])) for a, b in pairs]


def test_shifted_creases_ask_film_to_stretch():
    """203 × 133 × 34, 30°, 5 mil: with the shift an edge of 121.384 mm has to be 120.786."""
    result = proved(three(nesting=1))
    assert "lies 0.60 mm beside the crease it is folded with" in said(result)
    flat, folded = map(
        float, re.search(r"an edge of ([\d.]+) mm would be ([\d.]+)", said(result)).groups()
    )
    assert flat - folded == pytest.approx(121.384 - 120.786, abs=1e-3)
    worst = max(abs(flat - folded) for flat, folded in lengths_of(fold_file(result)))
    assert worst == pytest.approx(0.598, abs=1e-3)


@pytest.mark.parametrize("key", ["svg", "dxf-r12", "hpgl", "pdf"])
@pytest.mark.parametrize("layers", [1, 3])
def test_every_length_is_kept(key, layers):
    result = proved(three(layers=layers), key)
    assert said(result) == ""
    assert all(abs(flat - folded) < 0.12 for flat, folded in lengths_of(fold_file(result)))
    if key == "svg":
        assert all(abs(flat - folded) < 0.01 for flat, folded in lengths_of(fold_file(result)))


@pytest.fixture(scope="module")
def sound():
    result = proved(three())
    return result, json.loads(fold_file(result))


def test_a_fold_file_whose_folded_form_stretches(sound):
    result, document = sound
    spots = document["file_frames"][0]["vertices_coords"]
    moved = [[x + 0.05, y, z] if i == 7 else [x, y, z] for i, (x, y, z) in enumerate(spots)]
    frame = {**document["file_frames"][0], "vertices_coords": moved}
    data = json.dumps({**document, "file_frames": [frame]}).encode()
    again = fold_data(data, "A1.fold", three())
    assert "film does not stretch" in said(again)
    with pytest.raises(DifferenceError, match="other folded form than fold"):
        require_same_folds("A1.fold", data, result.check)
    assert said(fold_data(json.dumps(document).encode(), "A1.fold", three())) == ""


@pytest.mark.parametrize("spots", [[[0, 0, 0]], "nowhere", [["a", 0, 0]], [[0, 0]]])
def test_a_folded_form_that_is_none_is_refused(sound, spots):
    document = sound[1]
    frame = {**document["file_frames"][0], "vertices_coords": spots}
    data = json.dumps({**document, "file_frames": [frame]}).encode()
    with pytest.raises(FileError, match="folded form"):
        fold_data(data, "A1.fold", three())


def test_excess_and_bow_by_hand(sound):
    """The worked table: 203 × 133, 30°, 5 mil, the outer flap."""
    bows = {(b.panel, b.layer): b for b in sound[0].check.bows}
    assert len(bows) == 7 * 2
    worked = {"spine": (-0.133, 1.37), "left board": (0.199, 3.2), "left leg": (0.465, 3.5)}
    for panel, (excess, bow) in worked.items():
        assert bows[panel, 2].excess == pytest.approx(excess, abs=6e-4)
        assert bows[panel, 2].bow == pytest.approx(bow, abs=0.06)
        assert bows[panel, 1].excess == pytest.approx(excess / 2, abs=6e-4)
    assert bows["right leg", 2].excess == pytest.approx(bows["left leg", 2].excess)
    assert bows["left base", 2].excess == pytest.approx(0.199, abs=6e-4)
    assert proved(three(layers=1)).check.bows == ()


def test_a_spine_panel_that_rises_is_told():
    """5 mil, slopes that add up to 60°: the film rises 1.5 mm at a spine panel of 41.7."""
    for spine, rises in ((40.6, False), (40.8, True)):
        slip = slip_from({**BOOK, "spine_width": spine, "support": {"gauge": "5 mil", "layers": 3}})
        told = [f for f in proved(slip).check.findings if f.rule == "bow"]
        assert bool(told) == rises
    assert "would rise 1.50 mm towards the book" in told[0].message


def test_a_leg_that_bows_is_told():
    told = [
        f for f in proved(three(gauge="10 mil", least_rise=5)).check.findings if f.rule == "bow"
    ]
    assert {f.place for f in told} == {"spine"}  # 5.0 of 5.5
    low = slip_from(
        {
            **BOOK,
            "opening_angle": 160,
            "spine_width": 20,  # tabs side by side: crossed ones are made in one layer
            "support": {"gauge": "5 mil", "layers": 3},
        }
    )
    told = [f for f in proved(low).check.findings if f.rule == "bow"]
    assert {f.place for f in told} == {"left leg", "right leg"}


def holes(sheet, radius):
    """The sheet with relief holes of another size; none with 0."""

    def change(stroke):
        box = stroke.path.points
        xs, ys = zip(*box, strict=True)
        centre = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
        return Stroke(stroke.role, stroke.name, circle(centre, radius)) if radius else None

    for stroke in [s for s in sheet.strokes if s.name.startswith("relief hole")]:
        sheet = one(sheet, stroke.name, change)
    return sheet


def test_relief_holes_are_as_large_as_the_film_has_to_lose(sound):
    """5 mil, apex 120°: 1.86 on the outer flap, 1.5 on the inner one and at the spine."""
    sizes = {}
    for stroke in sound[0].draft.pattern.strokes:
        if stroke.name.startswith("relief hole"):
            xs = [p.x for p in stroke.path.points]
            sizes[stroke.name.removeprefix("relief hole, ")] = max(xs) - min(xs)
    assert sizes["left apex, outer flap"] == pytest.approx(1.87)  # 1.862, rounded up
    assert sizes["left apex, inner flap"] == pytest.approx(1.5)
    assert sizes["right spine, outer flap"] == pytest.approx(1.5)


@pytest.mark.parametrize("radius", [0.0, 0.5])
def test_too_small_a_relief_hole_is_told(radius):
    [told] = [
        f
        for f in proved(three(), change=lambda sheet: holes(sheet, radius)).check.findings
        if f.rule == "relief"
    ]
    assert "apex, outer flap the film has to lose 0.53 mm" in told.message
    assert ("it has none" if radius == 0 else "it has 1.0 mm") in told.message
    assert told.severity == "advise"


def test_a_gap_alone_is_told():
    """A panel off its neighbour's edge: the fold gapes though no length changes."""
    from cutfiles.folding.isometry import isometry_findings
    from cutfiles.folding.space import shifted

    folded = proved(three(layers=1)).check.folded
    assert list(isometry_findings(folded)) == []
    last = folded.hinges[-1].face
    motions = tuple(
        motion.after(shifted(0.0, 0.02, 0.0)) if face == last else motion
        for face, motion in enumerate(folded.motions)
    )
    [told] = isometry_findings(replace(folded, motions=motions))
    assert told.rule == "isometry"


def test_bows_are_told(sound):
    """In the table of the fold check the inmost layer, in its data every layer."""
    from cutfiles.report.text.fold_check import fold_check_data, fold_check_table

    table = fold_check_table(sound[0])
    assert re.search(r"left leg +layer 2 0\.47 too long, bows 3\.5 mm", table)
    assert re.search(r"spine +film on the book face 0\.13 too long, rises 1\.4 mm", table)
    bows = fold_check_data(sound[0])["bows"]
    assert len(bows) == 14
    assert bows[6] == {
        "panel": "spine",
        "layer": 1,
        "excess": -0.0665,
        "bow": pytest.approx(0.971, abs=1e-3),
        "limit": 1.5,
    }


def test_a_fold_that_gapes_is_told_where_and_by_how_much():
    """At the middle of the edge, the widest of all, or nobody finds it on the drawing."""
    graph = SimpleNamespace(
        vertices=(Point(10, 20), Point(10, 60), Point(50, 20)),
        edges=(SimpleNamespace(a=0, b=2), SimpleNamespace(a=0, b=1)),
        faces=(),
    )
    folded = SimpleNamespace(
        graph=graph, motions=(), spots=lambda: (), gaps=lambda: {0: 0.2, 1: 0.45}
    )
    (found,) = isometry_findings(folded)
    assert found.severity == "stop"
    assert found.message.startswith("the fold at (10.0, 40.0) would gape by 0.450 mm")
