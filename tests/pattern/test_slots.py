"""Strap slots: rounded, off every crease and edge, meeting through the layers, in every format."""

import itertools
import math
from dataclasses import replace

import pytest
from conftest import SAMPLES, drawn
from hypothesis import assume, given, settings
from shapely.geometry import LineString, Polygon
from strategies import values

from cutfiles.bench.slip import read_slip, slip_from
from cutfiles.draft import draft_of
from cutfiles.errors import CutfilesError, Defect, DesignError
from cutfiles.files.formats import FORMATS, Options, write_drawing
from cutfiles.files.verify import compare
from cutfiles.film.strips import strap_drawing
from cutfiles.job.make import make
from cutfiles.job.recheck import verify_data
from cutfiles.machine.cutter import Setting
from cutfiles.machine.formats import drawn_formats
from cutfiles.pattern.pattern import Role
from cutfiles.pattern.slots import SLOT_WIDTH, check_slots, slot
from cutfiles.plane.measure import box_of, chords, path_area
from cutfiles.plane.moves import shift
from cutfiles.support.straps import straps

OPTIONS = Options(settings={role.value: Setting(power=30, speed=20) for role in Role})

BOOK = {
    "number": "A1",
    "units": "mm",
    "height": 203,
    "width": 133,
    "spine_width": 34,
    "left_slope": 30,
    "right_slope": 20,
    "left_side": 17,
    "right_side": 16,
}


def slotted(layers="3", **more):
    return slip_from(BOOK | {"support": {"strap_slots": "yes", "layers": layers, **more}})


def slots_of(pattern):
    return [s for s in pattern.of_role(Role.HOLES) if s.name.startswith("strap slot")]


@pytest.mark.parametrize(("layers", "count"), [("1", 4), ("3", 12)])
def test_two_a_strap_through_every_layer(layers, count):
    made = draft_of(slotted(layers))
    assert len(slots_of(made.pattern)) == count
    assert not slots_of(draft_of(slip_from(BOOK)).pattern)


@pytest.mark.parametrize(("left", "right"), [(30, 20), (20, 30)])
def test_slots_move_out_on_the_flaps_as_their_own_board_does(left, right):
    """With nesting 1 layer k of a board panel lies k t a further out, a its own slope in radians.

    By the other side's slope the strap would meet a slot in the middle and film under it.
    """
    slopes = {"left": left, "right": right}
    slip = {"left_slope": left, "right_slope": right}
    more = {"strap_slots": "yes", "layers": "3", "nesting": 1, "gauge": "10 mil"}
    made = draft_of(slip_from(BOOK | slip | {"support": more}))
    layers = {band.name: band.layer for band in made.pattern.bands}
    slots = slots_of(made.pattern)
    above = {s.of: box_of([s.path]).centre.x for s in slots if not layers[s.band]}
    assert len(slots) == 3 * len(above) == 12
    for one in slots:
        side = "left" if above[one.of] < made.pattern.box.centre.x else "right"
        out = layers[one.band] * 0.254 * math.radians(slopes[side])
        moved = box_of([one.path]).centre.x - above[one.of]
        assert moved == pytest.approx(-out if side == "left" else out, abs=1e-9)


def test_by_hand():
    """Strap 13 wide, 10 from the fore edge: its middle 13.5 from the apex, the slot 14 × 2."""
    _, box, apex = left_head(construction="plain", edges="cut")
    assert box.centre.x == pytest.approx(apex + 10 + 6.5 - 3)
    assert (box.width, box.height) == (pytest.approx(14), pytest.approx(2))
    assert box.centre.y == pytest.approx(201 - 8)


def test_beside_hems_and_posts():
    """Off the hem's cut edge, 14 from the finished end; inwards of where posts bear."""
    made, box, apex = left_head(construction="plain", edges="folded")
    band = made.pattern.band("middle").box
    assert box.centre.x == pytest.approx(apex + 10 + 6.5 - 3)
    assert box.centre.y == pytest.approx(band.top - 14)
    _, posted, apex = left_head(construction="posts")
    bears = 12 * math.sqrt(3) / 2 / math.cos(math.radians(30)) + 3
    assert posted.left == pytest.approx(apex + bears)


def left_head(**more):
    made = draft_of(slotted("1", **more))
    apex = next(c for c in made.pattern.creases if c.name == "left apex").position
    box = box_of([next(s.path for s in slots_of(made.pattern) if "left head" in s.name)])
    return made, box, apex


def test_ends_are_half_circles():
    path = slot((0, 0), 14.0, 2.0)
    assert path_area(path) == pytest.approx(12 * 2 + 3.14159265 * 1.0**2)
    assert SLOT_WIDTH / 2 == 1.0


@settings(max_examples=drawn(60))
@given(values())
def test_off_every_crease_and_edge(fields):
    fields["support"]["strap_slots"] = "yes"
    try:
        made = draft_of(slip_from(fields))
    except DesignError:
        assume(False)
    edges = [
        LineString([*chords(s.path, 0.01), *(chords(s.path, 0.01)[:1] if s.path.closed else ())])
        for role in (Role.VALLEY, Role.MOUNTAIN, Role.OUTLINE)
        for s in made.pattern.of_role(role)
    ]
    found = slots_of(made.pattern)
    holes = [Polygon(chords(s.path, 0.01)) for s in found]
    assert holes or not straps(made.support)
    for slot_, hole in zip(found, holes, strict=True):
        # 5 mm, the strap's place rounded to a tenth; a flap is 1.0 and 0.5 mm narrower so that it
        # stays inside, and its slot 0.5 mm larger
        least = 5.0 - 0.1 if slot_.band == "middle" else 5.0 - 1.0 - 0.5 - 0.5
        assert min(hole.distance(edge) for edge in edges) > least - 0.011
    for one, two in itertools.combinations(holes, 2):
        assert one.distance(two) > 5.0 - 2 * 0.5 - 0.01


def test_a_small_book_is_told_what_to_do():
    with pytest.raises(DesignError, match='set strap_slots = "no"'):
        draft_of(slip_from(BOOK | {"width": 20, "support": {"strap_slots": "yes"}}))


def test_a_moved_or_near_slot_is_noticed():
    made = draft_of(slotted())
    one = next(s for s in slots_of(made.pattern) if "right tail, outer flap" in s.name)

    def moved(dx, dy):
        wrong = replace(one, path=shift(one.path, dx, dy))
        strokes = tuple(wrong if s is one else s for s in made.pattern.strokes)
        return list(check_slots(replace(made.pattern, strokes=strokes), made.support))

    assert not moved(0, 0)
    assert any("does not meet" in f.message for f in moved(0, 0.2))
    assert any("leaves" in f.message for f in moved(6, 0))


def test_a_slot_missing_in_the_middle_is_noticed():
    made = draft_of(slotted())
    without = tuple(s for s in made.pattern.strokes if s.name != "strap slot, right tail, middle")
    [*found] = check_slots(replace(made.pattern, strokes=without), made.support)
    names = [f"strap slot, right tail, {flap} flap" for flap in ("inner", "outer")]
    assert [f.message for f in found] == [
        f"{name} has no slot in the middle to meet" for name in names
    ]
    assert {f.severity for f in found} == {"stop"}


def test_job_refuses_a_bad_slot(monkeypatch):
    monkeypatch.setattr("cutfiles.pattern.slots.FROM_END", 2.0)
    with pytest.raises(Defect, match=r"strap slot, .* leaves \d\.\d mm of film"):
        draft_of(slotted())


@pytest.mark.parametrize("key", drawn_formats())
def test_every_format_holds_slots_and_strips(key):
    made = draft_of(slip_from(BOOK | {"support": {"strap_slots": "yes", "straps": "film"}}))
    strips = strap_drawing(made.support, made.pattern.facts)
    form = FORMATS[key]
    for sheet in (made.drawing, strips):
        assert compare(sheet, write_drawing(sheet, form, OPTIONS), form, OPTIONS) == ()
    fewer = replace(
        made.drawing,
        strokes=tuple(s for s in made.drawing.strokes if s.name != "strap slot, left head, middle"),
    )
    assert compare(made.drawing, write_drawing(fewer, form, OPTIONS), form, OPTIONS)


def test_strips_are_the_straps():
    made = draft_of(read_slip(SAMPLES / "H2.toml"))
    strips = strap_drawing(made.support, made.pattern.facts)
    outlines = [box_of([s.path]) for s in strips.of_role(Role.OUTLINE)]
    wanted = [(s.cut_length, s.width) for s in straps(made.support)]
    assert [(b.width, b.height) for b in outlines] == [pytest.approx(w) for w in wanted]
    for one, two in itertools.pairwise(outlines):
        assert two.bottom - one.top > 3
    assert strap_drawing(draft_of(slip_from(BOOK)).support, ()) is None


def test_made_and_verified_by_name():
    slip = read_slip(SAMPLES / "H2.toml")
    made = make(slip, formats=["svg"], paper=None)
    files = {file.name: file for file in made.files}
    assert files["H2.straps.svg"].verified
    assert verify_data(files["H2.straps.svg"].data, "H2.straps.svg", slip) == ()
    assert verify_data(files["H2.svg"].data, "H2.straps.svg", slip)


def test_an_unknown_word_is_told():
    with pytest.raises(CutfilesError, match='strap_slots is "no" or "yes"'):
        slip_from(BOOK | {"support": {"strap_slots": "maybe"}})
