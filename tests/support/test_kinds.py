"""Strips of every kind: worked cases, closed, mirrored, rigid, continuous in the step."""

import dataclasses
import functools
import itertools
import math

import pytest
from conftest import DEEP, outside_module
from laid_drawn import CASES, crossings, drawn, lay_out, measured_of, one, stood, wanted_of

from cutfiles.bench.joints import resolve_joints
from cutfiles.bench.slip import slip_from
from cutfiles.errors import DesignError
from cutfiles.plane.measure import distance
from cutfiles.support.contacts import Contacts, Rest
from cutfiles.support.design import design
from cutfiles.support.kinds import laid, riser
from cutfiles.support.kinds.laid import left_leads
from cutfiles.support.profile import walk
from cutfiles.support.rigid import _bodies, _rows, free_movements, rank
from cutfiles.support.standing import along, tape_middle

COUNT = 50  # of 5,000: tests/bench/riser.py draws them all
KINDS = {
    "riser, both stand": "riser",
    "riser, low side flat": "riser",
    "level, lapped": "lapped",
    "level, crossed": "crossed",
}


@pytest.mark.parametrize("case", CASES["show"], ids=lambda case: str(case["id"]))
def test_worked_case(case):
    meant, wanted = case["expected"], wanted_of(case["slip"])
    strip = lay_out(wanted)
    assert strip.kind == KINDS[meant["case"]]
    panels = without_run_ons(strip)
    assert [name for name, _ in panels] == [name for name, _ in meant["panels"]]
    assert [length for _, length in panels] == pytest.approx(
        [length for _, length in meant["panels"]], abs=1e-3
    )
    assert strip.profile.length == pytest.approx(meant["length"], abs=1e-3)
    folds = [(fold.name, fold.after) for fold in strip.profile.folds]
    assert [name for name, _ in folds] == [name for name, _, _ in meant["creases"]]
    angles = [math.degrees(fold.angle) for fold in strip.profile.folds]
    assert angles == pytest.approx([angle for _, _, angle in meant["creases"]], abs=1e-3)
    assert math.fsum(angles) == pytest.approx(meant["sum_of_fold_angles"], abs=1e-3)
    assert strip.lift == pytest.approx(meant["deck_lift"], abs=1e-3)
    assert strip.step == pytest.approx(meant["step"], abs=1e-3)
    assert math.degrees(strip.tilt) == pytest.approx(meant["tilt"], abs=1e-3)
    run_ons = {i + (p.side == "left") for i, p in panels_of(strip) if p.part == "run-on"}
    places = [place for i, place in enumerate(strip.places) if i not in run_ons]
    for place, corner in zip(places, meant["corners"], strict=True):
        assert place == pytest.approx(corner, abs=1e-3)
    joints = resolve_joints(measured_of(case["slip"]))
    assert not [doubt for doubt in joints.doubts if doubt.severity == "stop"]
    assert joints.lowered == meant["lowered"]


def panels_of(strip):
    return list(enumerate(strip.profile.panels))


def without_run_ons(strip):
    """Names and lengths; a base with what it runs on by, as the cases have it."""
    run = {p.side: p.length for _, p in panels_of(strip) if p.part == "run-on"}
    return [
        (p.name, p.length + (run.get(p.side, 0.0) if p.part == "base" else 0.0))
        for _, p in panels_of(strip)
        if p.part != "run-on"
    ]


@pytest.mark.parametrize("case", CASES["show"], ids=lambda case: str(case["id"]))
def test_worked_tape(case):
    strip = lay_out(wanted_of(case["slip"]))
    for tape, meant in zip(strip.contacts.tapes, case["expected"]["tape"], strict=True):
        found = (tape.panel, tape.face, tape.to, tape.to_face)
        assert found == (meant["on"], meant["face"], meant["onto"], meant["onto_face"])
        room = meant["room"]
        if strip.kind == "lapped" and tape.to == "left tab":
            room = 2 * 12 - 15  # the case gives the tab; two of 12 under a spine of 15 meet over 9
        assert overlap(strip, tape) == pytest.approx(room, abs=0.4)  # toe and lift shift it


def ends_of(strip, name):
    i = strip.profile.index(name)
    return strip.places[i], strip.places[i + 1]


def overlap(strip, tape):
    """How far a panel lies on the flat piece that it is taped to, mm."""
    ends, to = ends_of(strip, tape.panel), piece_of(strip, tape.to)
    spans = [along(to, end)[0] for end in ends]
    return min(max(spans), distance(*to)) - max(min(spans), 0.0)


def piece_of(strip, name):
    first, end = strip.profile.piece(name)
    return strip.places[first], strip.places[end]


def test_worked_notes():
    joints = resolve_joints(measured_of(CASES["show"][1]["slip"]))
    assert [one.message for one in joints.told] == [
        "both joints were off the table: set down by 12.0 mm"
    ]
    in_line = lay_out(wanted_of(CASES["show"][2]["slip"]))
    assert [one.message for one in in_line.told] == CASES["show"][2]["expected"]["told"]


@pytest.mark.parametrize(
    ("name", "found", "field"),
    [("spine panel under 8 with a step of 5", "a spine panel of 7.0 mm", "spine_width")],
)
def test_refused_case(name, found, field):
    slip = next(case["slip"] for case in CASES["refused"] if case["name"] == name)
    with pytest.raises(DesignError) as refusal:
        lay_out(wanted_of(slip))
    assert found in refusal.value.fault.found
    assert refusal.value.fault.place.field == field


@pytest.mark.parametrize("sign", [1, -1])
def test_no_room_for_the_riser_tab_names_the_high_side(sign):
    wanted = wanted_of(CASES["show"][0]["slip"])
    steep = dataclasses.replace(wanted.left, panel=20, slope=math.radians(60), rise=20)
    wanted = dataclasses.replace(wanted, left=steep)
    with pytest.raises(DesignError, match="of base outside the riser") as refusal:
        lay_out(wanted if sign > 0 else wanted.mirrored())
    assert refusal.value.fault.place.field == ("left_width" if sign > 0 else "right_width")
    assert refusal.value.fault.found.startswith("8.9 mm")


def check(wanted, strip):
    """Everything that holds for every strip."""
    corners = stood(strip)
    for place, corner in zip(strip.places, corners, strict=True):
        assert place == pytest.approx(corner, abs=1e-7)
    assert not crossings(strip)
    assert free_movements(strip) == 0
    assert all(panel.length > 0 for panel in strip.profile.panels)
    assert sum_of_angles(strip) == pytest.approx(meant_sum(wanted, strip), abs=1e-7)
    joints = joints_of(strip)
    lift = strip.lift
    assert sorted(y for _, y in joints) == pytest.approx(
        [lift, lift + abs(strip.step)], abs=1e-7
    ), "joints stand where they should"
    for name, side in (("left", wanted.left), ("right", wanted.right)):
        check_board(strip, name, side, wanted)
    for tape in strip.contacts.tapes:
        assert tape.width >= 6 - 1e-9
        middle = along(piece_of(strip, tape.to), tape_middle(tape, ends_of(strip, tape.panel)))[0]
        long = distance(*piece_of(strip, tape.to))
        # off the tip of what it lies on, and not beyond the end of what it is stuck to
        assert tape.width / 2 - 1e-9 <= middle <= long - tape.width / 2 + 1e-9
        assert tape.clear >= (1 if tape.panel == "spine" else 3) - 1e-9


def check_board(strip, name, side, wanted):
    """The board panel has its length and slope, its fore end as high as the book's."""
    i = strip.profile.index(f"{name} board")
    inner, outer = strip.places[i : i + 2] if name == "right" else strip.places[i : i + 2][::-1]
    assert math.dist(inner, outer) == pytest.approx(side.panel, abs=1e-7)
    slope = math.atan2(outer.y - inner.y, abs(outer.x - inner.x))
    lies_flat = side.rise < wanted.least_rise and inner.y <= strip.lift + 1e-7
    assert slope == pytest.approx(0.0 if lies_flat else side.slope, abs=1e-7)


def joints_of(strip):
    left, right = (strip.profile.index(f"{side} board") for side in ("left", "right"))
    return strip.places[left + 1], strip.places[right]


def sum_of_angles(strip):
    return math.degrees(math.fsum(fold.angle for fold in strip.profile.folds))


def meant_sum(wanted, strip):
    if strip.kind == "riser":
        return -540.0 if "left foot" in names(strip) and "right foot" in names(strip) else -360.0
    if strip.kind == "crossed":
        return -360.0 - math.degrees(
            wanted.left.slope if left_leads(wanted) else wanted.right.slope
        )
    return {1: -180.0, 2: -360.0}[stand(wanted)]


def names(strip):
    return {fold.name for fold in strip.profile.folds}


def stand(wanted):
    return sum(side.rise >= wanted.least_rise for side in (wanted.left, wanted.right))


@pytest.mark.parametrize("seed", range(COUNT))
def test_drawn_strip(seed):
    check(*next(drawn(1, seed)))


def test_every_kind_is_drawn():
    kinds = {strip.kind for _, strip in drawn(COUNT * 4)}
    assert kinds == {*KINDS.values(), "side by side", "one side flat"}


@pytest.mark.parametrize("seed", range(COUNT))
def test_mirrored_book_gives_the_mirrored_strip(seed):
    wanted, strip = next(drawn(1, seed))
    other = lay_out(wanted.mirrored())
    assert other.kind == strip.kind
    assert other.step == -strip.step
    if strip.kind in ("crossed", "lapped") and wanted == wanted.mirrored():
        assert strip == other
        return
    assert swapped([p.name for p in other.profile.panels]) == [p.name for p in strip.profile.panels]
    assert [p.length for p in reversed(other.profile.panels)] == pytest.approx(
        [p.length for p in strip.profile.panels]
    )
    folds = [(swapped([f.name])[0], f.angle) for f in reversed(other.profile.folds)]
    assert [name for name, _ in folds] == [f.name for f in strip.profile.folds]
    assert [angle for _, angle in folds] == pytest.approx([f.angle for f in strip.profile.folds])
    for place, across in zip(strip.places, reversed(other.places), strict=True):
        assert (place.x, place.y) == pytest.approx((-across.x, across.y), abs=1e-9)
    assert sorted((*swapped([t.to, t.panel]), t.clear, t.width) for t in other.contacts.tapes) == [
        (panel, to, pytest.approx(clear), pytest.approx(width))
        for panel, to, clear, width in sorted(
            (t.panel, t.to, t.clear, t.width) for t in strip.contacts.tapes
        )
    ]


@pytest.mark.parametrize("spine", [3.0, 6.0, 15.0])
def test_tabs_over_one_another_follow_the_longer_board(spine):
    """Whichever side of the book that is: a mirrored book gets the mirrored strip."""
    wanted = dataclasses.replace(
        wanted_of(CASES["show"][0]["slip"]), left=board(30), right=board(20), spine=spine, step=0
    )
    longer = dataclasses.replace(wanted.right, panel=wanted.left.panel + 0.01)
    for book, leads in (
        (wanted, "left"),
        (wanted.mirrored(), "right"),
        (dataclasses.replace(wanted, right=longer), "right"),
        (dataclasses.replace(wanted, right=wanted.left), "left"),
    ):
        strip = lay_out(book)
        other = {"left": "right", "right": "left"}[leads]
        if strip.kind == "lapped":
            ends = [(f"{leads} tab", "spine"), (f"{other} tab", f"{leads} tab")]
        else:
            ends = [(f"{other} tab", f"{leads} board"), (f"{leads} tab", f"{other} base")]
        assert [(tape.panel, tape.to) for tape in strip.contacts.tapes] == ends
        check(book, strip)
        check_order(strip)


def swapped(names):
    words = {"left": "right", "right": "left"}
    out = [" ".join(words.get(word, word) for word in name.split()) for name in names]
    return out[::-1]


# --- continuous ------------------------------------------------------------------------------


PACE = 0.02
"""mm: two steps so far apart are neighbours."""
STRIDE = 1 if DEEP else 16
"""So many paces apart steps are laid out first; between two that differ, every one by halves."""


@pytest.mark.parametrize("slope", [0, 12, 31, 45, 58])
@pytest.mark.parametrize("low_slope", [0, 20, 40])
@pytest.mark.parametrize("spine", [9.0, 21.0, 34.0, 60.0])
def test_step_grows_from_level_to_upright_without_an_untold_jump(slope, low_slope, spine):
    book = dataclasses.replace(
        wanted_of(CASES["show"][0]["slip"]), left=board(slope), right=board(low_slope), spine=spine
    )
    # a spine near upright moves its level reach by √(2 S pace): steep, but no jump
    allowed = 4 * PACE + 1.6 * math.sqrt(2 * spine * PACE)

    @functools.cache
    def laid(number):
        """Return the strip of so many paces, and what it tells of its step; None if refused."""
        step = number * PACE
        try:
            strip = lay_out(dataclasses.replace(book, step=step))
        except DesignError:
            return None
        off = abs(strip.step - step)
        most = {"level": book.least_riser, "in-line": riser.IN_LINE, "upright": 1.0}
        told = [one.rule for one in strip.told if one.rule in most]
        assert off == pytest.approx(0, abs=1e-9) if not told else off <= most[told[0]] + 1e-9
        return strip, strip.kind, told

    def jumps(low, high):
        """Yield what jumps from one neighbour to the next: nothing where both ends lie as near."""
        before, after = laid(low), laid(high)
        if high - low > 1:
            alike = before is not None and after is not None and before[1:] == after[1:]
            if alike and all(by <= allowed / 2 for _, by in moved(before[0], after[0])):
                return
            if before is None and after is None:
                return
            middle = (low + high) // 2
            yield from jumps(low, middle)
            yield from jumps(middle, high)
        elif before is not None and after is not None and before[1:] == after[1:]:
            for name, by in moved(before[0], after[0]):
                if by > allowed:
                    yield low * PACE, name, by

    last = round((spine + 1) / PACE) - 1
    stops = [*range(0, last, STRIDE), last]
    assert [jump for ends in itertools.pairwise(stops) for jump in jumps(*ends)] == []


def board(slope):
    rise = 124 * math.sin(math.radians(slope))
    return dataclasses.replace(
        wanted_of(CASES["show"][0]["slip"]).left, slope=math.radians(slope), rise=rise
    )


def moved(one, other):
    lengths = {panel.name: panel.length for panel in other.profile.panels}
    for panel in one.profile.panels:
        yield panel.name, abs(lengths[panel.name] - panel.length)


# --- rigid -----------------------------------------------------------------------------------


def riserless(strip):
    """A tilted strip without riser and ramp: base, leg, board, spine, pinned at the low joint."""
    first, joint = strip.profile.index("left base"), strip.profile.index("right board")
    folds = tuple(
        dataclasses.replace(fold, after=fold.after - first)
        for fold in strip.profile.folds
        if fold.after > first
    )
    places = list(strip.places[first:])
    places[0] = strip.places[joint]  # the base ends at the low joint
    # the low joint is held on the base, along and across: two rests a hair apart in direction
    return dataclasses.replace(
        strip,
        profile=dataclasses.replace(
            strip.profile, panels=strip.profile.panels[first:], folds=folds
        ),
        places=tuple(places),
        contacts=Contacts(
            tapes=tuple(t for t in strip.contacts.tapes if t.panel == "right tab"),
            rests=(
                Rest("spine", "left base", strip.places[joint]),
                Rest("spine", "left leg", strip.places[joint]),
            ),
        ),
    )


def test_four_bar_without_a_riser_sways():
    strip = lay_out(wanted_of(CASES["show"][0]["slip"]))
    assert free_movements(strip) == 0
    assert free_movements(riserless(strip)) == 1


@pytest.mark.parametrize("seed", range(COUNT))
def test_what_holds_two_panels_lets_the_whole_move(seed):
    """Each equation is of two bodies, as equal and opposite as what they do to one another."""
    _, strip = next(drawn(1, seed))
    body = _bodies(strip.profile, strip.contacts)
    rows = list(_rows(strip.profile, strip.places, strip.contacts, body, 100.0))
    assert rows
    for row in rows:
        one, other = {column // 3 for column in row}
        assert {one, other} <= set(body)
        for way in range(3):  # along, up, turning
            left = row.get(3 * one + way, 0.0) + row.get(3 * other + way, 0.0)
            assert left == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("seed", range(COUNT))
def test_each_contact_is_needed(seed):
    """Without one of its tapes or rests a strip moves; so the count can find one that does."""
    _, strip = next(drawn(1, seed))
    for left_out in strip.contacts.tapes:
        others = tuple(one for one in strip.contacts.tapes if one != left_out)
        contacts = dataclasses.replace(strip.contacts, tapes=others)
        assert free_movements(dataclasses.replace(strip, contacts=contacts)) > 0
    by_tape_alone = dataclasses.replace(strip.contacts, rests=())
    moved = free_movements(dataclasses.replace(strip, contacts=by_tape_alone))
    assert moved == len(strip.contacts.rests)


@pytest.mark.parametrize("seed", range(10))
def test_bars_of_braced_panels_say_the_same(seed):
    """Each panel a triangle of three bars, taped ones joined corner by corner: rank by SVD."""
    numpy = outside_module("numpy")
    _, strip = next(drawn(1, seed))
    names = [panel.name for panel in strip.profile.panels]
    folded = {fold.after for fold in strip.profile.folds}
    body = list(range(len(names)))
    pairs = [(names.index(t.panel), names.index(t.to)) for t in strip.contacts.tapes]
    pairs += [(i - 1, i) for i in range(1, len(names)) if i not in folded]
    for one_, other in pairs:
        body = [body[one_] if b == body[other] else b for b in body]
    points, bars = [], []

    def point(x, y):
        points.append((x, y))
        return len(points) - 1

    def bar(p, q):
        bars.append((p, q))

    # a rigid triangle a body, hinges tied to each of two bodies by two bars
    frame = {b: [point(*p) for p in ((3.0, 5.0), (90.0, 7.0), (40.0, 80.0))] for b in set(body)}
    for corners in frame.values():
        bar(corners[0], corners[1])
        bar(corners[1], corners[2])
        bar(corners[0], corners[2])
    for after in folded:
        hinge = point(*strip.places[after])
        for b in {body[after - 1], body[after]}:
            bar(hinge, frame[b][0])
            bar(hinge, frame[b][2])
    for rest in strip.contacts.rests:
        touch, below = point(*rest.place), point(rest.place.x, rest.place.y - 1e3)
        upper, lower = body[names.index(rest.panel)], body[names.index(rest.onto)]
        for p, b in ((touch, upper), (below, lower)):
            bar(p, frame[b][0])
            bar(p, frame[b][2])
        bar(touch, below)
    matrix = numpy.zeros((len(bars), 2 * len(points)))
    for row, (p, q) in zip(matrix, bars, strict=True):
        dx, dy = points[p][0] - points[q][0], points[p][1] - points[q][1]
        length = math.hypot(dx, dy)
        row[2 * p : 2 * p + 2] = dx / length, dy / length
        row[2 * q : 2 * q + 2] = -dx / length, -dy / length
    found = numpy.linalg.matrix_rank(matrix, tol=1e-7)
    assert 2 * len(points) - 3 - found == free_movements(strip) == 0


def test_rank_against_another_way():
    numpy = outside_module("numpy")
    dice = numpy.random.default_rng(1)
    for size in range(1, 12):
        low = dice.normal(size=(size + 3, size)) @ dice.normal(size=(size, 9))
        rows = [dict(enumerate(row)) for row in low.tolist()]
        assert rank(rows, 9) == numpy.linalg.matrix_rank(low) == min(size, 9)


# --- order of folding ------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(COUNT))
def test_order_of_folding_ends_in_the_strip_and_passes_through_nothing(seed):
    _, strip = next(drawn(1, seed))
    check_order(strip)


def check_order(strip):
    angles = {fold.name: 0.0 for fold in strip.profile.folds}
    order = [fold.crease for step in strip.steps for fold in step.folds]
    assert sorted(order) == sorted(angles), "each crease once"
    assert [tape for step in strip.steps for tape in step.taped] == list(strip.contacts.tapes)
    for name in order:
        for share in range(1, 25):
            angles[name] = angle_of(strip, name) * (share / 24)
            places = stood(at(strip, angles))
            assert not crossings(strip, places), f"{name} at {share}/24"
    assert angles == {fold.name: fold.angle for fold in strip.profile.folds}


def test_steep_spine_wants_the_high_apex_last():
    """Apex before the foot: where the ridge passes through the spine panel, it is said."""
    found = []
    for wanted, strip in drawn(3 * COUNT, 5):
        if strip.kind != "riser" or strip.step < 0:
            continue
        angles = {fold.name: fold.angle for fold in strip.profile.folds}
        passing = []
        for share in range(240, 481, 4):  # the foot last, from half way
            angles["left foot"] = angle_of(strip, "left foot") * share / 480
            passing += crossings(strip, stood(at(strip, angles)))
        passes_spine = any("spine" in pair for pair in passing)
        found.append((passes_spine, passes_on_its_way(wanted)))
    assert (True, False) not in found
    assert {(True, True), (False, False)} <= set(found)


def passes_on_its_way(wanted):
    """Whether the ridge would pass through the spine panel: step · tan τ > P_hi cos a_hi."""
    roof, board = riser.roof_of(wanted), wanted.left
    return roof.step**2 > roof.level * board.panel * math.cos(board.slope)


def at(strip, angles):
    folds = tuple(
        dataclasses.replace(fold, angle=angles[fold.name]) for fold in strip.profile.folds
    )
    return dataclasses.replace(strip, profile=dataclasses.replace(strip.profile, folds=folds))


def angle_of(strip, name):
    return next(fold.angle for fold in strip.profile.folds if fold.name == name)


def length_of(strip, name):
    return strip.profile.panels[strip.profile.index(name)].length


# --- choices ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("spine", "kind", "tab"),
    [
        (20.0, "side by side", 9.0),
        (26.0, "side by side", 12.0),
        (19.9, "lapped", 14.45),
        (15.0, "lapped", 12.0),
        (13.0, "lapped", 11.0),
        (12.9, "crossed", 12.0),
        (5.0, "crossed", 12.0),
        (3.0, "crossed", 12.0),
    ],
)
def test_way_of_the_tabs(spine, kind, tab):
    wanted = dataclasses.replace(
        wanted_of(CASES["show"][0]["slip"]), left=board(30), right=board(30), spine=spine, step=0
    )
    strip = lay_out(wanted)
    assert (strip.kind, length_of(strip, "left tab")) == (kind, pytest.approx(tab))
    has_spine = "spine" in [panel.name for panel in strip.profile.panels]
    assert has_spine == (spine >= laid.NARROWEST_PANEL)


def test_nothing_stands():
    wanted = dataclasses.replace(
        wanted_of(CASES["show"][0]["slip"]), left=board(0), right=board(2), step=0
    )
    with pytest.raises(DesignError, match=r"rises of 0\.0 and 4\.3 mm.*lies flat by itself"):
        lay_out(wanted)


def test_a_book_measured_in_centimetres_and_read_in_millimetres_is_not_said_to_lie_flat():
    slip = {"number": "S", "height": 20.3, "width": 13.3, "spine_width": 3, "opening_angle": 120}
    assert design(slip_from(slip | {"units": "cm"})).halves
    with pytest.raises(DesignError, match=r"rises of 6\.6 and 6\.6 mm.*a unit that is not theirs"):
        design(slip_from(slip | {"units": "mm"}))
    tall = slip | {"units": "cm", "opening_angle": 140, "support": {"least_rise": "60 mm"}}
    with pytest.raises(DesignError, match="a smaller least_rise lets a lower side stand"):
        design(slip_from(tall))


@pytest.mark.parametrize("board_field", ["left", "right"])
def test_no_room_for_a_crossed_tab(board_field):
    wanted = dataclasses.replace(
        wanted_of(CASES["show"][0]["slip"]), left=board(30), right=board(30), spine=6, step=0
    )
    small = dataclasses.replace(wanted.left, panel=9.5)
    with pytest.raises(DesignError, match="mm of room for a tab") as refusal:
        lay_out(dataclasses.replace(wanted, **{board_field: small}))
    assert refusal.value.fault.place.field == f"{board_field}_width"


def test_a_step_longer_than_its_spine_is_in_line_with_a_steep_board():
    """30 sin 75° are 29.0: within 2 mm of a step of 30.5, which no spine of 30 reaches."""
    steep = board(75)
    wanted = dataclasses.replace(
        wanted_of(CASES["show"][0]["slip"]), left=steep, right=board(30), spine=30, step=30.5
    )
    (told,) = [one for one in lay_out(wanted).told if one.rule == "in-line"]
    assert "tilt 90.0 taken as 75.0" in told.message


def test_small_step_is_laid_level_and_told():
    wanted = dataclasses.replace(
        wanted_of(CASES["show"][0]["slip"]), left=board(30), right=board(30), step=-2.5
    )
    strip = lay_out(wanted)
    assert strip.step == 0
    assert [one.message for one in strip.told] == ["a step of 2.5 mm is under 4: laid level"]


def test_upright_spine_takes_its_own_length():
    wanted = dataclasses.replace(wanted_of(CASES["show"][3]["slip"]), step=27.5)
    strip = lay_out(wanted)
    assert strip.step == 26
    assert math.degrees(strip.tilt) == pytest.approx(90)
    assert [one.rule for one in strip.told] == ["upright"]
    assert angle_of(strip, "left heel") == pytest.approx(math.atan(2))
    assert passes_on_its_way(wanted)


@pytest.mark.parametrize("seed", range(COUNT))
def test_walked_from_its_root_to_its_places(seed):
    _, strip = next(drawn(1, seed))
    for found, meant in zip(walk(strip.profile).corners, strip.places, strict=True):
        assert found == pytest.approx(meant, abs=1e-9)


def test_one_book_is_drawn_alike_each_time():
    import random

    assert one(random.Random(3)) == one(random.Random(3))
