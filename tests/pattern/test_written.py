"""What is written on a piece: read where it stands, on the piece, off its edges and its notes."""

from itertools import pairwise

import pytest
from conftest import sample

from cutfiles.pattern.coupons import coupon_of
from cutfiles.pattern.guides import panel_notes
from cutfiles.pattern.labels import label
from cutfiles.pattern.lettering import text_width
from cutfiles.pattern.pattern import Band, Role
from cutfiles.pattern.unfold import unfold
from cutfiles.plane.measure import box_of
from cutfiles.plane.shapes import Box
from cutfiles.support.design import design
from cutfiles.support.profile import Panel

COUPONS = ("crease", "post", "corner")


def written(pattern, start):
    return [s.path for s in pattern.of_role(Role.LABEL) if s.name.startswith(start)]


@pytest.mark.parametrize("name", COUPONS)
def test_a_coupon_is_written_on_within_its_edges(name):
    for piece in coupon_of(name, 0.127).pieces:
        letters = box_of(s.path for s in piece.of_role(Role.LABEL))
        assert letters.left > piece.box.left + 1.0
        assert letters.right < piece.box.right - 1.0
        assert letters.bottom > piece.box.bottom
        assert letters.top < piece.box.top


@pytest.mark.parametrize("name", COUPONS)
def test_pieces_of_a_coupon_lie_side_by_side_with_5_mm_between(name):
    coupon = coupon_of(name, 0.127)
    boxes = [
        Box(at.x + p.box.left, at.y + p.box.bottom, at.x + p.box.right, at.y + p.box.top)
        for p, at in zip(coupon.pieces, coupon.places, strict=True)
    ]
    for one, other in pairwise(boxes):
        gap = max(other.left - one.right, other.bottom - one.top)
        assert gap == pytest.approx(5.0)


def test_a_crease_coupon_says_where_to_hold_it_in_the_middle_of_that_half():
    piece = coupon_of("crease", 0.127).pieces[0]
    (crease,) = piece.creases
    letters = box_of(written(piece, "label hold here"))
    assert letters.centre.x == pytest.approx((piece.box.left + crease.position) / 2, abs=0.5)
    assert letters.right < crease.position - 2.0


def test_ticks_of_a_crease_coupon_count_from_the_crease_over_their_numbers():
    piece = coupon_of("crease", 0.127).pieces[0]
    (crease,) = piece.creases
    for number in (1, 2, 3):
        tick, *digits = (s.path for s in piece.strokes if s.name == f"tick {number}")
        assert tick.points[0].x - crease.position == pytest.approx(10.0 * number)
        assert box_of(digits).centre.x == pytest.approx(tick.points[0].x, abs=0.6)


@pytest.mark.parametrize("across", [20.0, 30.0, 60.0])
def test_a_label_keeps_2_5_mm_off_its_panel_s_sides(across):
    box = box_of(s.path for s in label("A1", "left", Box(0, 0, across, 150)))
    assert box.left > 2.5 - 1e-6
    assert box.right < across - 2.5 + 1e-6
    assert box.width > (across - 5.0) / 2 or box.height > 30  # no smaller than it must be


def test_a_narrow_panel_s_note_stands_upright_over_a_fifth_of_its_band():
    panel, spans = Panel("tab", "left", 8.0), ((10.0, 18.0),)
    (tall,) = panel_notes((panel,), spans, Band("middle", 0, Box(0, 0, 300, 200)))
    assert tall.upright
    run = text_width(tall.text, tall.height)
    assert tall.height >= 2.0
    assert run <= 200 / 5 + 1e-6
    low = panel_notes((panel,), spans, Band("middle", 0, Box(0, 0, 300, 90)))
    assert all(text_width(one.text, one.height) <= 90 / 5 + 1e-6 for one in low)
    assert low[0].height < tall.height


@pytest.mark.parametrize("stem", ["A1", "B1"])
def test_labels_and_notes_of_one_layer_do_not_meet(stem):
    """Both stand on the middle there: the note at the head, the label below it."""
    slip = sample(stem, construction="plain", gauge="5 mil", layers=1, edges="cut")
    pattern = unfold(design(slip))
    notes = [note for note in pattern.notes if "base" in note.text]
    letters = [written(pattern, f"label {side}") for side in ("left", "right")]
    assert notes
    assert any(letters)
    for paths in filter(None, letters):
        label_ = box_of(paths)
        assert all(label_.top < note.at.y for note in notes if not note.upright)
        assert label_.top < pattern.band("middle").box.top - 2.5
