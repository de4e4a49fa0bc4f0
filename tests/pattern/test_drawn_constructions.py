"""Hems, lips and posts as drawn: the worked cases in the written pattern, in SVG and in DXF."""

import json
import math

import pytest
from conftest import ROOT

from cutfiles.bench.slip import slip_from
from cutfiles.draft import draft_of
from cutfiles.errors import CutfilesError, DesignError
from cutfiles.files.formats import FORMATS, Options
from cutfiles.pattern.pattern import Role
from cutfiles.plane.measure import box_of
from cutfiles.support import construct
from cutfiles.support.constructions.corners import Corner, rounded
from cutfiles.support.design import design

CASES = {
    case["name"].split()[0].rstrip(",:"): case
    for case in json.loads(
        (ROOT / "tests" / "support" / "cases" / "constructions.json").read_text("utf-8")
    )["cases"]
}
NEAR = 0.05
"""Tolerance of the worked cases, mm."""


def slip_of(case, **more):
    given = case["slip"]
    joints = {"left_joint": given["jL"], "right_joint": given["jR"]} if "jL" in given else {}
    return slip_from(
        {
            "number": "A1",
            "units": "mm",
            "height": given["H"],
            "left_width": given["WL"],
            "right_width": given["WR"],
            "spine_width": given["spine"],
            "left_slope": given["aL"],
            "right_slope": given["aR"],
            **joints,
            "support": {
                "gauge": given["gauge"],
                "layers": 1,
                "construction": given["con"],
                "edges": "folded" if given["edge"] == "hemmed" else "cut",
                "posts": 2,
                "tab_least": 9,
                "tab_most": 12,
                **more,
            },
        }
    )


def same_kind(case):
    """Whether the tool lays out the same strip as a worked case, and not its mirror image."""
    want = case["expected"]
    try:
        made = design(slip_of(case))
    except CutfilesError:
        return False
    own = [x for x, fold in zip(made.profile.ends()[1:], strip_folds(made), strict=False) if fold]
    lengths = [want["length"], *(one["x"] for one in want["creases"])]
    return made.kind == want["kind"] and all(
        abs(a - b) < NEAR for a, b in zip([made.profile.length, *own], lengths, strict=False)
    )


def strip_folds(made):
    return construct.strip_of(made.profile, made.breadth).folds


WORKED = [pytest.param(case, id=name) for name, case in CASES.items() if same_kind(case)]


def test_there_are_worked_cases():
    assert {param.id for param in WORKED} >= {"A", "one"}


@pytest.mark.parametrize("case", WORKED)
@pytest.mark.parametrize("key", ["svg", "dxf-r12", "dxf-r2000"])
def test_worked_outline_as_written(case, key):
    """The outline's corners, each rounded by its own radius, read back from the file."""
    want, made = case["expected"], draft_of(slip_of(case))
    form = FORMATS[key]
    reading = form.read(form.write(form.prepared(made.drawing), Options()))
    layer = form.kin(form.layer(made.pattern.of_role(Role.OUTLINE)[0], Options()))
    outlines = [path for path in reading.paths if form.kin(path.layer) == layer]
    assert len(outlines) == 1 + len(want["posts"])
    strip = max(outlines, key=lambda path: len(path.points))
    meant = rounded([Corner(*corner) for corner in want["outline"]]).points
    left, low = (min(p[i] for p in strip.points) for i in (0, 1))
    own_left, own_low = (min(p[i] for p in meant) for i in (0, 1))
    for x, y in meant:
        at = (x - own_left + left, y - own_low + low)
        assert min(math.dist(at, p) for p in strip.points) < NEAR, (x, y)
    assert len(strip.points) == len(meant)


@pytest.mark.parametrize("case", WORKED)
def test_worked_creases_folds_and_tape(case):
    want, made = case["expected"], draft_of(slip_of(case))
    pattern, middle = made.pattern, made.pattern.band("middle").box
    x0, y0 = middle.left, middle.centre.y
    scores = {s.of: s for s in pattern.strokes if s.role in (Role.VALLEY, Role.MOUNTAIN)}
    for crease, one in zip(pattern.creases, want["creases"], strict=True):
        stroke = scores[crease.name]
        assert crease.position - x0 == pytest.approx(one["x"], abs=NEAR)
        assert math.degrees(crease.angle) == pytest.approx(one["angle"], abs=0.01)
        assert stroke.role.value == one["role"]
        ends = [p.y - y0 for p in stroke.path.points]
        assert ends == pytest.approx([-one["half"], one["half"]], abs=NEAR)
    lines = [one for one in want["long_folds"] if one["kind"] in ("hem", "lip") and "x0" in one]
    found = sorted(
        (f.path.points[0].x - x0, f.path.points[1].x - x0, f.path.points[0].y - y0, f.kind)
        for f in pattern.flanges
        if not f.name.endswith("end")
    )
    meant = sorted((f["x0"], f["x1"], y, f["kind"]) for f in lines for y in f["y"])
    assert [one[3] for one in found] == [one[3] for one in meant]
    for got, one in zip(found, meant, strict=True):
        assert got[:3] == pytest.approx(one[:3], abs=NEAR)
    ends = [f for f in pattern.flanges if f.name.endswith("hem, end")]
    assert len(ends) == sum(one["kind"] == "end hem" for one in want["long_folds"])
    tapes = [box_of([s.path]) for s in pattern.strokes if s.use == "tape"]
    for tape in want["tape"]:
        left, low, right, high = tape["box"]
        near = [
            t for t in tapes if abs(t.left - x0 - left) < NEAR and abs(t.right - x0 - right) < NEAR
        ]
        assert near, tape
        assert near[0].bottom - y0 == pytest.approx(low, abs=NEAR)
        assert near[0].top - y0 == pytest.approx(high, abs=NEAR)


@pytest.mark.parametrize("case", WORKED)
def test_worked_posts(case):
    want, made = case["expected"]["posts"], draft_of(slip_of(case))
    posts = made.pattern.posts
    assert len(posts) == len(want)
    for post, one in zip(posts, want, strict=True):
        assert post.box.height == pytest.approx(one["height_at_A"], abs=NEAR)
        assert [c.position for c in post.creases] == pytest.approx(one["creases_x"])
        corners = rounded([Corner(*corner) for corner in one["blank"]]).points
        outline = post.of_role(Role.OUTLINE)[0].path.points
        assert all(math.dist(a, b) < NEAR for a, b in zip(outline, corners, strict=True))
        label = box_of([s.path for s in post.of_role(Role.LABEL)])
        assert post.box.left < label.left < label.right < post.box.left + post.creases[0].position
        assert label.centre.x == pytest.approx(post.creases[0].position / 2, abs=0.1)
        assert label.centre.y == pytest.approx(post.box.centre.y, abs=1)
        # 6 wide and 3 off foot and head: a post whose lap holds on less carries an eighth
        high = one["height_at_A"] - 3
        guides = [box_of([s.path]) for s in post.of_role(Role.GUIDE) if "tape" in s.name]
        tapes = sorted((t.left, t.bottom, t.right, t.top) for t in guides)
        assert tapes == [
            pytest.approx((3, 3, 9, high), abs=NEAR),
            pytest.approx((38, 3, 44, high), abs=NEAR),
        ]
    ticks = [s for s in made.pattern.of_role(Role.LABEL) if s.name.startswith("tick,")]
    assert len(ticks) == 2 * len(posts)
    x0 = made.pattern.band("middle").box.left
    for tick in ticks:
        base = next(p for p in made.pattern.panels if p.part == "base" and p.side in tick.name)
        left, right = made.pattern.span(base.name)
        assert all(left + 1.9 < p.x < right - 1.9 for p in tick.path.points)
    meant = {round(one["tick_x"], 2) for one in want}
    assert {round(t.path.points[0].x - x0, 2) for t in ticks} == meant


BOOK = {"number": "A1", "units": "mm", "height": 203, "width": 133, "spine_width": 34}


@pytest.mark.parametrize(
    ("support", "message"),
    [
        ({"construction": "lips", "layers": 3}, "lips on a strip folded in three"),
        ({"construction": "posts", "layers": 3}, "posts on a strip folded in three"),
        ({"construction": "posts", "layers": 1, "gauge": "3 mil"}, "a post is made of film of 4"),
    ],
)
def test_what_is_left_out_is_refused(support, message):
    with pytest.raises(DesignError, match=message):
        design(slip_from({**BOOK, "opening_angle": 120, "support": support}))


def test_a_low_leg_has_no_lips_and_no_posts():
    for construction in ("lips", "posts"):
        support = {"construction": construction, "layers": 1, "edges": "cut"}
        made = design(slip_from({**BOOK, "width": 22, "opening_angle": 130, "support": support}))
        piece = construct.piece_of(made)
        assert (piece.flanges, piece.posts) == ((), ())
        assert {step.verb for step in made.steps}.isdisjoint(("Lip", "Post", "Hem"))


def test_steps_come_before_the_cross_creases():
    support = {"construction": "lips", "layers": 1, "edges": "folded"}
    made = design(slip_from({**BOOK, "opening_angle": 120, "support": support}))
    verbs = [step.verb for step in made.steps]
    assert verbs[:7] == ["Lay", "Turn over", "Hem", "Lip", "Tape", "Turn back", "Raise"]
    lip = made.steps[3]
    turned = {}
    for fold in lip.folds:
        turned.setdefault(fold.crease, []).append(round(math.degrees(fold.angle)))
    assert set(map(tuple, turned.values())) == {(-120, -90)}
    assert len(turned) == 4


@pytest.mark.parametrize(
    ("construction", "least"),
    [("plain", 0.0), ("posts", 12 * math.sqrt(0.75) / math.cos(math.radians(30)) + 3)],
)
def test_slots_keep_off_hems_and_posts(construction, least):
    """c + 6 from the finished end; c √¾ / cos a + 3 from the apex where posts bear."""
    support = {"construction": construction, "layers": 1, "strap_slots": "yes"}
    made = draft_of(slip_from({**BOOK, "opening_angle": 120, "support": support}))
    pattern, middle = made.pattern, made.pattern.band("middle").box
    slots = [box_of([s.path]) for s in pattern.strokes if s.use == "slot"]
    assert len(slots) == 4
    for slot in slots:
        off = min(slot.centre.y - middle.bottom, middle.top - slot.centre.y)
        assert off == pytest.approx(14.0)
    apexes = [c.position for c in pattern.creases if c.fold.part == "apex"]
    near = min(min(abs(b.left - x), abs(b.right - x)) for b in slots for x in apexes)
    assert near >= least - 0.06  # from the fore edge it is told to a tenth
