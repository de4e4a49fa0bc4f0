"""The bench card's steps carried out for hems, lips and posts: in order, to the support proved.

Three layers and plain strips: `test_fold_steps`.
"""

import math

import pytest
from test_fold_steps import after, check, standing
from tilted import slip_of

from cutfiles.files.fold_check import face_layers
from cutfiles.folding.clash import clashes
from cutfiles.folding.fold import fold
from cutfiles.support.construct import POST_FOLDS

KINDS = ("LEVEL", "LAPPED", "CROSSED", "NONE", "FLAT", "RISER", "LONE")
WAYS = ("plain", "lips", "posts")
CASES = [
    (kind, way)
    for i, kind in enumerate(KINDS)
    for k, way in enumerate(WAYS)
    if kind == "RISER" or (i + k) % 3 < 2
]
ACROSS = ("Raise", "Bend", "Bend up", "Turn in", "Roll")


def made(kind, way):
    return standing(slip_of(kind, support={"construction": way, "edges": "folded"}))


@pytest.mark.parametrize(("kind", "way"), CASES)
def test_steps_end_at_the_support_proved(kind, way):
    checked = made(kind, way)
    draft, whole = checked.draft, checked.check.folded
    steps = draft.support.steps
    verbs = [step.verb for step in steps]
    wanted = ["Hem"] + ["Lip"] * (way == "lips") + ["Post"] * (way == "posts")
    assert [verb for verb in verbs if verb in ("Hem", "Lip", "Post")] == wanted
    first = min(verbs.index(verb) for verb in ACROSS if verb in verbs)
    assert verbs.index(wanted[-1]) < first, "flanges and posts come before any cross crease"
    folded = {one.crease for step in steps for one in step.folds}
    assert {fold.name for fold in draft.support.profile.folds} <= folded
    assert {one.name for one in draft.pattern.flanges} <= folded
    assert {f"{p.name}, {f}" for p in draft.pattern.posts for f in POST_FOLDS} <= folded
    for verb in ("Tape", "Stick"):  # laid on the film, then stuck to what it meets
        taped = [tape for step in steps if step.verb == verb for tape in step.taped]
        assert sorted(taped, key=repr) == sorted(draft.support.contacts.tapes, key=repr)
    faces = [face for face, layer in face_layers(checked).items() if layer == 0]
    for count in range(1, len(steps) + 1):
        if not steps[count - 1].folds or steps[count - 1].verb == "Post":
            continue
        for share in (0.5, 1.0):
            bent = after(checked, steps[:count], share)
            assert None not in bent.motions
            assert [pair for *pair, gap in clashes(bent, faces, 0.0) if gap < 0] == [], verbs[count]
    end = after(checked, steps)
    for face in range(len(whole.graph.faces)):
        for a, b in zip(whole.corners(face), end.corners(face), strict=True):
            assert math.dist(a, b) < 1e-6


@pytest.mark.parametrize(("kind", "way"), CASES)
def test_a_hem_lies_under_its_panel_and_a_lip_under_nothing(kind, way):
    checked = made(kind, way)
    above, faces = face_layers(checked), checked.check.faces
    assert {above[face] for (_, band), face in faces.items() if band == "hem"} == {1}
    lips = {above[face] for (_, band), face in faces.items() if band == "lip"}
    assert lips == ({0} if way == "lips" else set())


@pytest.mark.parametrize("kind", ["LEVEL", "RISER"])
def test_posts_fold_in_the_order_told(kind):
    """A|B, B|C, C|lap: no face through another on the way, and the tube that was proved."""
    checked = made(kind, "posts")
    (step,) = (one for one in checked.draft.support.steps if one.verb == "Post")
    posts = {one.name: one for one in checked.draft.pattern.posts}
    assert [one.name for one in checked.check.posts] == [*posts]
    for post in checked.check.posts:
        order = [one for one in step.folds if one.crease.startswith(f"{post.name}, ")]
        assert [one.crease.partition(", ")[2] for one in order] == list(POST_FOLDS)
        whole, pattern = post.folded, posts[post.name]
        places = sorted(crease.position for crease in pattern.creases)
        assert len(places) == len(order)
        angles = {}
        for one, place in zip(order, places, strict=True):
            for number, edge in enumerate(whole.graph.edges):
                ends = (whole.graph.vertices[edge.a], whole.graph.vertices[edge.b])
                if edge.kind in "MV" and abs(ends[0].x - ends[1].x) < 1e-6:
                    left = min(v.x for v in whole.graph.vertices)
                    if abs(ends[0].x - left - place) < 0.01:
                        angles[number] = one.angle
            bent = fold(whole.graph, angles, whole.root)
            found = clashes(bent, range(len(whole.graph.faces)), 0.0)
            assert [pair for *pair, gap in found if gap < 0] == []
        for face in range(len(whole.graph.faces)):
            for a, b in zip(whole.corners(face), bent.corners(face), strict=True):
                assert math.dist(a, b) < 1e-6


def test_a_step_left_out_is_noticed():
    checked = made("LEVEL", "lips")
    steps = [step for step in checked.draft.support.steps if step.verb != "Lip"]
    end, whole = after(checked, steps), checked.check.folded
    assert any(
        math.dist(a, b) > 1
        for face in range(len(whole.graph.faces))
        for a, b in zip(whole.corners(face), end.corners(face), strict=True)
    )


def test_plain_steps_still_are():
    check(slip_of("LEVEL"))
