"""The bench card's fold order, folded step by step: it ends at the standing support."""

import math

import pytest
from conftest import drawn, plain, sample_slips
from hypothesis import given, settings
from strategies import slips

from cutfiles.draft import draft_of
from cutfiles.files.fold_check import check_reading, face_layers
from cutfiles.files.formats import FORMATS, Options
from cutfiles.folding.clash import clashes
from cutfiles.folding.drawn import places_of
from cutfiles.folding.fold import fold
from cutfiles.folding.space import dot
from cutfiles.support.steps import angles_after

OPTIONS = Options(hpgl_range=8_388_607)


def standing(slip):
    made = draft_of(slip)
    form = FORMATS["svg"]
    data = form.write(form.prepared(made.drawing), OPTIONS)
    return check_reading(form.read(data), "x.svg", made, form, OPTIONS, compared=True)


def after(checked, steps, share=1.0):
    """Fold the graph as far as these steps go, the last one by a share."""
    whole, pattern = checked.check.folded, checked.draft.pattern
    done = angles_after(steps[:-1])
    now = {name: angle * share for name, angle in angles_after(steps[-1:]).items()}
    middle = pattern.band("middle").box
    flanges = [one for one in pattern.strokes if one.name in {f.name for f in pattern.flanges}]
    angles = {}
    places, folded = places_of(pattern), {**done, **now}
    for number, edge in enumerate(whole.graph.edges):
        if edge.kind not in "MV":
            continue
        ends = (whole.graph.vertices[edge.a], whole.graph.vertices[edge.b])
        stroke, _ = places.nearest(ends)
        # a hem is named with its end, "left board hem, head"; a crease without its band
        name = stroke.name if stroke in flanges else stroke.name.partition(",")[0]
        angle = folded.get(name, 0.0)
        # a flap is turned over: what is a valley on the middle is drawn a mountain on it
        level = sum(end.y for end in ends) / 2
        inside = middle.bottom - 0.01 <= level <= middle.top + 0.01
        on_flap = "long" not in name and stroke not in flanges and not inside
        angles[number] = -angle if on_flap else angle
    return fold(whole.graph, angles, whole.root)


def check(slip):
    checked = standing(slip)
    whole = checked.check.folded
    steps = checked.draft.support.steps
    faces = [f for f, layer in face_layers(checked).items() if layer == 0]
    for count in range(1, len(steps) + 1):
        for share in (0.5, 1.0):
            bent = after(checked, steps[:count], share)
            assert None not in bent.motions
            # stood still between two steps, no panel passes through another
            assert [pair for *pair, gap in clashes(bent, faces, 0.0) if gap < 0] == []
    end = after(checked, steps)
    for face in range(len(whole.graph.faces)):
        for a, b in zip(whole.corners(face), end.corners(face), strict=True):
            assert math.dist(a, b) < 1e-6
    if len(checked.draft.pattern.bands) == 3:
        under = after(checked, steps[: 1 + [step.verb for step in steps].index("Cover")])
        flaps = [f for f, layer in face_layers(checked).items() if layer]
        assert flaps
        for flap in flaps:
            assert dot(under.motion(flap).normal, under.motion(under.root).normal) < -0.999


@pytest.mark.parametrize("path", sample_slips(), ids=lambda p: p.stem)
def test_the_order_ends_at_the_standing_support(path):
    check(plain(path.stem))


@settings(max_examples=drawn(40))
@given(slips())
def test_any_order_ends_at_the_standing_support(slip):
    check(slip)
