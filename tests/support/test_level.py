"""The level cradle: the worked example, check values of common practice, properties over slips."""

import math
from dataclasses import replace

import pytest
import tilted
from conftest import drawn
from hypothesis import given, settings
from strategies import both_or_none, is_its_own_mirror, slips, sound_slips, values

from cutfiles.bench.slip import slip_from
from cutfiles.draft import draft_of
from cutfiles.errors import DesignError, SlipError
from cutfiles.support.checks import check_standing
from cutfiles.support.design import design
from cutfiles.support.profile import walk


def book(height, width, spine, slope=30, units="in", **support):
    return slip_from(
        {
            "number": "A1",
            "units": units,
            "height": height,
            "width": width,
            "spine_width": spine,
            "left_slope": slope,
            "right_slope": slope,
            "support": support,
        }
    )


def test_worked_by_hand(by_hand):
    """H 140, W 100, spine 25, rises 50/50, defaults, one layer: every number by hand.

    S = 26; P = 97; a = asin(0.5) = 30°; lift = 0.127 + 0.1 = 0.227; h = 48.5 + 0.227;
    base = 97·cos 30° = 84.0045; tab = min(12, 13 − 1) = 12; b = 138.
    """
    made = design(slip_from(by_hand))
    lengths = [round(panel.length, 4) for panel in made.profile.panels]
    assert lengths == [12, 84.0045, 48.727, 97, 26, 97, 48.727, 84.0045, 12]
    angles = [round(math.degrees(fold.angle), 9) for fold in made.profile.folds]
    assert angles == [-90, -120, 30, 30, -120, -90]
    positions = [round(made.profile.position(fold), 4) for fold in made.profile.folds]
    assert positions == [96.0045, 144.7315, 241.7315, 267.7315, 364.7315, 413.4585]
    assert made.breadth == 138
    assert round(made.profile.length, 4) == 509.4629
    assert sum(angles) == pytest.approx(-360)


@pytest.mark.parametrize(("height", "cut"), [(5.5, 16.25), (6.0, 17.75)])
def test_breadth_of_three_thirds(height, cut):
    """5½ in: about 16¼ in; 6 in: about 17¾ in (common practice, no source), within ⅛ in."""
    three = {"construction": "plain", "layers": 3, "gauge": "5 mil"}
    pattern = draft_of(book(height, 4, 1, **three)).pattern
    assert pattern.box.height / 25.4 == pytest.approx(cut, abs=0.125)


@given(slips())
def test_strip_is_shorter_than_three_girths(slip):
    """3 · 2(W + T) is always long enough (common practice, no source); so is a good deal less.

    Leg and base of a panel P are together P (sin a + cos a); a tab is at most 12 mm long, where it
    crosses a thin spine as much longer as that is wide; a leg stands on the lift of the deck,
    under 2 mm.
    """
    opening = slip.opening
    widths = [board.width for board in (opening.left, opening.right)]
    slopes = [math.radians(board.slope) for board in (opening.left, opening.right)]
    spine = opening.spine_width + 1.0
    around = [1.0 + math.sin(slope) + math.cos(slope) for slope in slopes]
    most = spine + sum(width * share for width, share in zip(widths, around, strict=True))
    most += 2 * (max(12.0, spine + 12.0) + 2.0)
    length = design(slip).profile.length
    assert spine + sum(width - 6.0 for width in widths) <= length <= most
    assert most < 6 * (max(widths) + opening.spine_width) or max(widths) < 30


def test_closes_for_thousands():
    for _, made in sound_slips(drawn(2000)):
        closes(made)


@settings(max_examples=drawn(150))
@given(slips())
def test_closes(slip):
    closes(design(slip))


def closes(made):
    assert [f for f in check_standing(made) if f.severity == "stop"] == []
    assert made.profile.length == pytest.approx(sum(p.length for p in made.profile.panels))
    if all(half.stands for half in made.halves):
        # the slopes of boards that a crossed tab goes up under
        boards = [tape.to for tape in made.contacts.tapes if tape.to.endswith(" board")]
        up = sum(half.slope for half in made.halves if f"{half.side} board" in boards)
        assert sum(f.angle for f in made.profile.folds) == pytest.approx(-math.tau - up)


@settings(max_examples=drawn(200))
@given(values())
def test_mirrored_slip_gives_mirrored_profile(fields):
    there, back = both_or_none(lambda values: design(slip_from(values)), fields)
    if there is None:
        return
    if there.kind == "level, crossed" and is_its_own_mirror(fields):
        assert there.profile == back.profile
        return
    assert [p.length for p in there.profile.panels] == pytest.approx(
        [p.length for p in back.profile.panels][::-1]
    )
    assert [f.angle for f in there.profile.folds] == pytest.approx(
        [f.angle for f in back.profile.folds][::-1]
    )


def changed_fold(made, index, angle):
    folds = list(made.profile.folds)
    folds[index] = replace(folds[index], angle=angle)
    return replace(made, profile=replace(made.profile, folds=tuple(folds)))


@pytest.mark.parametrize("index", range(6))
def test_closing_check_notices_a_wrong_fold(by_hand, index):
    made = design(slip_from(by_hand))
    wrong = changed_fold(made, index, made.profile.folds[index].angle + 0.01)
    assert [f for f in check_standing(wrong) if f.rule == "closing"]


def test_closing_check_notices_a_wrong_length(by_hand):
    made = design(slip_from(by_hand))
    panels = list(made.profile.panels)
    panels[2] = replace(panels[2], length=panels[2].length + 0.01)
    wrong = replace(made, profile=replace(made.profile, panels=tuple(panels)))
    places = {f.place for f in check_standing(wrong) if f.rule == "closing"}
    assert places == {"left leg", "left base", "left tab"}


def test_what_is_wrong_with_the_whole_strip_is_told_of_the_strip(by_hand):
    made = design(slip_from(by_hand))
    lost = replace(made, places=made.places[:-1])
    (found,) = [f for f in check_standing(lost) if f.rule == "closing"]
    assert (found.place, found.severity) == ("strip", "stop")
    assert (found.measured, found.limit) == (9, 8)  # panels, and ends of as many as have places
    root = made.profile.root
    at = root.at._replace(y=root.at.y - 1)
    sunk = replace(made, profile=replace(made.profile, root=replace(root, at=at)))
    found = [(f.place, f.measured) for f in check_standing(sunk) if f.rule == "table"]
    deep = [1.0, 1.0, -1.0]
    assert [place for place, _ in found] == ["left base", "right base", "strip"]
    assert [mm for _, mm in found] == pytest.approx(deep)


def test_tab_check_notices_tabs_that_meet(by_hand):
    slip = slip_from({**by_hand, "support": {"tab_most": "60 mm"}})
    made = design(replace(slip, choices=replace(slip.choices, tab_gap=0.0)))
    assert [f.rule for f in check_standing(made) if f.severity == "stop"] == ["tab"]


def test_lapped_tabs():
    made = design(book(152, 101, 14, 25, "mm"))
    assert made.kind == "level, lapped"
    assert made.length("tab", "left") == made.length("tab", "right") == 12
    assert made.deck_lift == pytest.approx(2 * (3 * 0.127 + 0.1))
    assert list(check_standing(made)) == []


def test_side_without_a_wing():
    """A rise under 8 mm: the board panel lies on the table and the strip ends there."""
    slip = slip_from(
        {
            "number": "G1",
            "units": "mm",
            "height": 190,
            "width": 124,
            "spine_width": 32,
            "left_rise": 7.9,
            "right_slope": 40,
        }
    )
    made = design(slip)
    names = [panel.name for panel in made.profile.panels]
    assert names == ["left board", "spine", "right board", "right leg", "right base", "right tab"]
    assert [fold.name for fold in made.profile.folds] == ["right spine", "right apex", "right foot"]
    assert made.kind == "level, one side flat"
    assert [f.rule for f in check_standing(made)] == ["no-leg"]
    corners = walk(made.profile).corners
    assert corners[0].y == pytest.approx(made.deck_lift)
    assert corners[-1].y == pytest.approx(0)
    assert (
        design(
            slip_from(
                {
                    "number": "G1",
                    "units": "mm",
                    "height": 190,
                    "width": 124,
                    "spine_width": 32,
                    "left_rise": 8.0,
                    "right_slope": 40,
                }
            )
        )
        .half("left")
        .stands
    )


def test_steep_slopes_are_advised_against():
    assert "steep" in [f.rule for f in check_standing(design(book(200, 130, 30, 61, "mm")))]
    assert "steep" not in [f.rule for f in check_standing(design(book(200, 130, 30, 60, "mm")))]


def place_of_tape(made):
    tape = made.tape_on("left tab")
    return tape.clear, tape.width


def test_tape_keeps_off_the_edges():
    assert place_of_tape(design(book(200, 130, 34, 30, "mm"))) == pytest.approx((3, 6))
    clear, width = place_of_tape(design(book(200, 130, 20, 30, "mm")))
    assert (clear, width) == pytest.approx((3, 6))  # tab 9.5
    assert place_of_tape(design(book(83, 54, 6, 25, "mm"))) == pytest.approx((3, 6))  # crossed


def test_every_tape_narrower_than_what_is_at_hand_is_told():
    """Of a riser's own tab too: 4 mm long, it takes 2 mm of tape, off its edges."""
    short = {"tab_least": 3, "tab_most": 4}
    for name in ("RISER", "LEVEL"):
        made = design(tilted.slip_of(name, support=short))
        told = {f.place for f in check_standing(made) if f.rule == "tape"}
        tabs = {panel.name for panel in made.profile.panels if panel.name.endswith("tab")}
        assert told == tabs
    assert "left riser tab" in {p.name for p in design(tilted.slip_of("RISER")).profile.panels}


def test_every_default_can_be_set(by_hand):
    settings_ = {
        "layers": 3,
        "gauge": "3 mil",
        "spine_clearance": "2 mm",
        "fore_inset": "5 mm",
        "end_inset": "2 mm",
        "tape_thickness": "0.2 mm",
        "tab_most": "8 mm",
    }
    made = design(slip_from({**by_hand, "support": settings_}))
    assert made.length("spine") == 27
    assert made.length("board", "left") == 95
    assert made.breadth == 136
    assert made.length("tab", "left") == 8
    assert made.deck_lift == pytest.approx(3 * 0.0762 + 0.2)
    lifted = design(slip_from({**by_hand, "support": {"deck_lift": "2 mm"}}))
    assert lifted.length("leg", "left") == pytest.approx(97 * 0.5 + 2)


def test_tabs_that_would_meet_are_refused_as_set():
    """Without a gap they would meet: nobody is to report that slip."""
    with pytest.raises(SlipError, match="tab_gap"):
        book(203, 133, 20, 30, "mm", tab_gap=0)
    made = draft_of(book(203, 133, 20, 30, "mm", tab_gap="0.5 mm", tab_most="60 mm"))
    assert made.support.length("tab", "left") == pytest.approx(21 / 2 - 0.5)


@pytest.mark.parametrize(("lift", "told"), [("0", 0), ("0.6 mm", 0), ("3 mm", 1)])
def test_a_lift_that_is_not_what_lies_under_the_joints_is_asked(lift, told):
    """One layer of 5 mil and its tape are 0.227 mm; on 3 mm tabs would be taped to air."""
    film = {"gauge": "5 mil", "layers": 1}
    asked = [f for f in design(book(203, 133, 34, 30, "mm", deck_lift=lift, **film)).told]
    said = [f.message for f in asked if f.rule == "lift" and f.severity == "ask"]
    assert len(said) == told
    assert (
        not said or "0.23 mm of film and tape lie under the joints: tape a board of 2.77" in said[0]
    )
    assert not [f for f in design(book(203, 133, 34, 30, "mm", **film)).told if f.rule == "lift"]


def test_a_lift_is_refused_where_tabs_are_taped_to_the_boards():
    design(book(203, 133, 3, 75, "mm", deck_lift="0.5 mm"))
    with pytest.raises(DesignError, match="crossed tabs are taped to the board panels") as refusal:
        design(book(203, 133, 3, 75, "mm", deck_lift="5 mm"))
    assert refusal.value.fault.place.path == "support.deck_lift"


@pytest.mark.parametrize(("left", "right"), [(60, 60), (60, 0), (0, 60)])
def test_boards_that_meet_without_a_spine_panel_meet_in_the_spine(left, right):
    """One crease, of one name whichever side lies flat: files, steps and cards tell it by that."""
    thin = {"number": "T1", "units": "mm", "height": 203, "width": 133, "spine_width": 2}
    profile = design(slip_from({**thin, "left_rise": left, "right_rise": right})).profile
    fold = next(
        fold
        for fold in profile.folds
        if {one.part for one in profile.panels[fold.after - 1 : fold.after + 1]} == {"board"}
    )
    assert fold.name == "spine"
