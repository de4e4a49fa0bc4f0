"""Ticks beside a foot: drawn, and the support creased at each judged like the support itself."""

import pytest
from conftest import ROOT
from test_from_slips import folded

from cutfiles.bench.slip import read_slip, slip_from
from cutfiles.draft import draft_of
from cutfiles.pattern.pattern import Role
from cutfiles.pattern.unfold import unfold
from cutfiles.plane.measure import box_of
from cutfiles.support.adjusted import at_tick, foot_ticks
from cutfiles.support.checks import check_standing
from cutfiles.support.design import design
from cutfiles.support.spare import trimmed

BOOK = {
    "number": "T1",
    "units": "mm",
    "height": 190,
    "width": 124,
    "left_rise": 60,
    "right_rise": 40,
    "weight": "300 g",
}
KINDS = {
    "side by side": {"spine_width": 32},
    "lapped": {"spine_width": 16},
    "crossed": {"spine_width": 6},
    "one side flat": {"spine_width": 32, "right_rise": 0},
    "riser": {"spine_width": 32, "left_joint": 20},
}


def drafted(kind, adjust="4 mm"):
    plain = {"layers": 1, "construction": "plain", "edges": "cut", "gauge": "5 mil"}
    return draft_of(slip_from({**BOOK, **KINDS[kind], "support": plain | {"adjust": adjust}}))


@pytest.mark.parametrize("kind", KINDS)
def test_every_tick_stands_and_folds(kind):
    draft = drafted(kind)
    support = draft.support
    feet = foot_ticks(support, ())
    standing = [half.side for half in support.halves if half.stands]
    assert [foot.side for foot in feet] == standing
    for key in ("svg", "dxf-r12"):
        assert [f for f in folded(draft, key).check.findings if f.severity == "stop"] == []
    for foot in feet:
        assert [tick.rise for tick in foot.ticks] == [-4, -2, 2, 4]
        half = support.half(foot.side)
        for tick in foot.ticks:
            made = at_tick(support, half, tick)
            assert [f for f in check_standing(made) if f.severity == "stop"] == []
            there = made.half(foot.side)
            board = made.slip.opening.left if foot.side == "left" else made.slip.opening.right
            rise = BOOK[f"{foot.side}_rise"]
            assert board.rise == pytest.approx(rise + tick.rise, abs=1e-6)
            assert there.apex.y - there.joint.y == pytest.approx(
                121 / 124 * (rise + tick.rise), abs=1e-6
            )
            assert made.length("leg", foot.side) == pytest.approx(tick.leg, abs=1e-9)
            # the film is what it was, less what is cut off: no tick makes it longer
            drawn, cut = support.profile.length, tick.trim
            assert made.profile.length == pytest.approx(drawn - cut, abs=1e-6)


def test_ticks_are_drawn_where_the_foot_may_be_creased():
    draft = drafted("side by side")
    foot = foot_ticks(draft.support, ())[0]
    fold = next(f for f in draft.support.profile.folds if f.name == "left foot")
    for number, tick in enumerate(foot.ticks, start=1):
        name = f"tick left {number}"
        lines = [s.path for s in draft.pattern.of_role(Role.LABEL) if s.name == name]
        x = draft.support.profile.position(fold) - tick.shift
        assert [p.x for p in lines[0].points] == pytest.approx([x, x])
        assert box_of(lines).top <= draft.pattern.box.top
    assert not [
        s for s in drafted("side by side", "0 mm").pattern.strokes if s.name.startswith("tick")
    ]


def test_two_millimetres_have_half_the_ticks():
    feet = foot_ticks(drafted("riser", "2 mm").support, ())
    assert [tick.rise for foot in feet for tick in foot.ticks] == [-2, 2, -2, 2]
    assert feet[0].ticks[0].lean != 0  # the base ends in the roof's crease: its leg leans
    assert feet[1].ticks[0].lean == 0


def test_spine_and_board_in_one_piece_have_no_ticks():
    slip = {**BOOK, "spine_width": 32, "left_joint": 15, "support": {"adjust": "4 mm"}}
    draft = draft_of(slip_from(slip))
    assert "in-line" in {one.rule for one in draft.support.told}
    assert [foot.side for foot in foot_ticks(draft.support, ())] == ["right"]


def test_spare_is_drawn_and_cut_off_again():
    plain, longer = design_of("lapped", "0 mm"), design_of("lapped", "4 mm")
    assert longer.profile.length > plain.profile.length
    again = trimmed(trimmed(longer, "left"), "right")
    assert again.profile == plain.profile
    assert again.places == plain.places
    assert len(unfold(longer).creases) == 6


def test_a_sliver_is_no_spare():
    """A tick that would take 0.13 mm of the tab's length takes it of the tab, and holds."""
    draft = draft_of(read_slip(ROOT / "samples" / "P2.toml"))
    assert not [panel for panel in draft.support.profile.panels if panel.part == "spare"]
    assert [len(foot.ticks) for foot in foot_ticks(draft.support, ())] == [2, 2]


def design_of(kind, adjust):
    return design(slip_from({**BOOK, **KINDS[kind], "support": {"adjust": adjust, "layers": 1}}))


def test_a_tick_at_which_it_would_not_hold_is_told():
    from cutfiles.support.verdict import assess

    slip = {**BOOK, **KINDS["side by side"], "support": {"layers": 1, "gauge": "10 mil"}}
    carries = assess(design(slip_from(slip))).carries
    tight = {**slip, "weight": f"{carries - 1:.1f} g"}
    tight["support"] = {**slip["support"], "adjust": "4 mm", "edges": "cut"}
    draft = draft_of(slip_from(tight))
    said = [f.message for f in draft.findings if f.rule == "tick"]
    assert any("(+4 mm)" in text for text in said)


def test_spare_of_one_tab_may_lie_on_the_other_until_it_is_cut_off():
    """A spine panel of 21: tabs of 9.7 with 1.9 and 3.3 of spare lap by more than 3 mm."""
    book = {"number": "K1", "units": "mm", "height": 243, "spine_width": 20.48}
    sides = {"left_width": 89, "left_slope": 25, "right_width": 184, "right_slope": 8}
    both = {"left_joint": 0, "right_joint": 0, "support": {"adjust": 4}}
    draft = draft_of(slip_from(book | sides | both))
    support = draft.support
    laps = support.places[0].x - support.places[-1].x
    assert laps > 3
    assert [one.message for one in folded(draft, "svg").check.findings] == []


@pytest.mark.parametrize(
    ("way", "rises"), [("plain", [-4, -2, 2, 4]), ("lips", [2, 4]), ("posts", [])]
)
def test_no_foot_is_creased_through_a_lip_or_under_a_post(way, rises):
    support = {"adjust": "4 mm", "layers": 1, "construction": way, "gauge": "5 mil"}
    draft = draft_of(slip_from({**BOOK, **KINDS["side by side"], "support": support}))
    feet = foot_ticks(draft.support, ())
    assert [[tick.rise for tick in foot.ticks] for foot in feet] == ([rises] * 2 if rises else [])
    drawn = {s.name for s in draft.pattern.strokes if s.name.startswith("tick left")}
    assert len(drawn) == len(rises)
    told = [f.message for f in draft.findings if f.rule == "adjust"]
    assert bool(told) == (way != "plain")
