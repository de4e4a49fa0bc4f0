"""The bench card's instructions, read back from the PDF, against the piece that was cut.

Whoever folds has only this page: a wrong face, side, edge or order is a support wasted or a book
that lies wrong. What it should say follows from the slip by the formulas of the design, and from
the lines in the cut file.
"""

import math
import re
from fractions import Fraction

import pytest
from dangers.jobs import done, slip
from pages import text_of

H, SPINE, CLEAR, INSET = 203.0, 34.0, 1.0, 3.0
SLOPES = {"left": 25.0, "right": 35.0}
SIDES = {"left": 20.0, "right": 10.0}


def made(folder, layers=3, **fields):
    """Make a support; return the card's text, page after page, and the cut file's."""
    values = {
        "height": H,
        "width": 133,
        "spine_width": SPINE,
        "left_slope": SLOPES["left"],
        "right_slope": SLOPES["right"],
        "left_side": SIDES["left"],
        "right_side": SIDES["right"],
        **fields,
    }
    edges = "cut" if layers == 1 else "folded"
    support = {"layers": layers, "gauge": "5 mil", "construction": "plain", "edges": edges}
    path = slip(folder, support=support, **values)
    done("make", path, "--format", "svg-plain", "--to", folder)
    card = " ".join(text_of((folder / "S1.bench.pdf").read_bytes()))
    return card, (folder / "S1.plain.svg").read_text(encoding="utf-8")


@pytest.fixture(scope="module", params=[1, 3])
def one(request, tmp_path_factory):
    folder = tmp_path_factory.mktemp(f"card{request.param}")
    return request.param, *made(folder, request.param)


def test_which_face_is_up(one):
    """Drawn and laid with the book face up; that face is known by the number that reads on it."""
    _, card, file = one
    assert "Up: the face on which the number reads" in card
    assert "Flat, book face up" in card
    assert re.search(r'1 Lay the film with that face up on which "S1" reads, its head away', card)
    assert "Creases, seen from the book face" in card
    assert "White: book face. Grey: table face." in card
    assert "view: book face up, head up" in file


def test_every_crease_with_its_way_and_angle(one):
    """Feet 90°, apexes 90° + slope, both away from the book; at the spine the slope, towards it."""
    layers, card, _ = one
    table = card[card.index("leaves") : card.index("valley: folds")]
    rows = re.findall(r"([A-Y]) (mountain|valley) (\d+\.\d)° (\d+\.\d)°", table)
    left, right = SLOPES["left"], SLOPES["right"]
    folds = [("X", -180.0), ("Y", -180.0)] if layers == 3 else []
    folds += [
        ("A", -90.0),
        ("B", -(90 + left)),
        ("C", left),
        ("D", right),
        ("E", -(90 + right)),
        ("F", -90.0),
    ]
    meant = [
        (
            name,
            "valley" if angle > 0 else "mountain",
            f"{abs(angle):.1f}",
            f"{180 - abs(angle):.1f}",
        )
        for name, angle in folds
    ]
    assert rows == meant
    assert "valley: folds towards the book mountain: folds away from it" in card
    assert ("On the flaps creases are drawn reversed" in card) is (layers == 3)


def test_the_steps_name_the_creases_and_what_is_left_inside(one):
    layers, card, _ = one
    n = 2 if layers == 3 else 0
    left, right = SLOPES["left"], SLOPES["right"]
    assert f"{n + 5} Raise the board panels: C valley, by {left}°; D valley, by {right}°." in card
    bent = f"B mountain, by {90 + left}°; E mountain, by {90 + right}°"
    inside = f"{90 - left}° and {90 - right}° inside"
    assert f"{n + 6} Bend the legs down: {bent}; {inside}." in card
    assert f"{n + 7} Turn in the bases under the support: A and F mountain, by 90.0°." in card
    if layers == 3:
        assert "3 Tuck in the inner flap: X up and right over, by 180°" in card
        assert "4 Cover it with the outer flap: Y up and right over, by 180°" in card


def test_the_picture_of_a_step_shows_the_letter_that_it_names(one):
    """Beside the words "X up and right over" stands a picture in which that crease is X, not Y."""
    layers, card, _ = one
    if layers == 1:
        assert not re.search(r"[XY] (?:tail )?head", card)
        return
    for step in (r"3 Tuck [^.]* flap:", r"4 Cover [^.]* flap:"):
        drawn, named = re.search(rf"head ([XY]) {step} ([XY])", card).groups()
        assert drawn == named


def guides(file):
    """Return left, bottom, right, top of each tape guide of the file, in its units, mm, y down."""
    found = []
    for data in re.findall(r'd="([^"]*)" id="guide-\d+"', file):
        numbers = [float(v) for v in re.findall(r"-?\d+(?:\.\d+)?", data)]
        xs, ys = numbers[::2], numbers[1::2]
        if data.rstrip().endswith("Z") and len(xs) == 4:
            found.append((min(xs), min(ys), max(xs), max(ys)))
    return found


def piece(file):
    [data] = re.findall(r'd="([^"]*)" id="cut-outline-\d+"', file)
    arcs = re.sub(r"A\S+ \S+ \S+ \S+ \S+ ", "L", data)
    numbers = [float(v) for v in re.findall(r"-?\d+(?:\.\d+)?", arcs)]
    return min(numbers[::2]), min(numbers[1::2]), max(numbers[::2]), max(numbers[1::2])


def test_where_the_tape_goes(one):
    """As wide and long as its guide, as far from the ends as the guide is from the piece's edge.

    In three layers the guide is on the outer flap, which is turned under: its edge in the drawing
    is at the head, and lies at the tail of the folded piece.
    """
    layers, card, file = one
    left, top, right, bottom = piece(file)
    tapes = sorted(guides(file))
    assert len(tapes) == 2
    for x0, y0, x1, y1 in tapes:
        end = min(x0 - left, right - x1)
        edge = y0 - top
        wide, long = x1 - x0, y1 - y0
        said = f"{wide:.1f} mm wide, {long:.1f} mm long"
        assert said in card
        found = re.search(
            rf"{re.escape(said)}; (\d+\.\d) mm from its outer end, "
            r"(\d+\.\d) mm from its edges at head and tail",
            card,
        )
        assert float(found[1]) == pytest.approx(3.0)  # clear of the tab's end, folded
        assert float(found[1]) <= end + 0.05
        assert float(found[2]) == pytest.approx(edge, abs=0.06)
    assert bottom - max(y1 for *_, y1 in tapes) > 2.9
    face = "there the outer flap's book face" if layers == 3 else "the film's table face"
    assert f"Double-sided, on the underside of the folded piece ({face})" in card
    assert "Never on a face that meets the book or the table" in card


@pytest.mark.parametrize(("side", "letter"), [("left", "L"), ("right", "R")])
@pytest.mark.parametrize("layers", [1, 3])
def test_a_side_that_stands_alone_has_the_tape(side, letter, layers, tmp_path):
    """One half lies flat: only the other has a tab, and the card names that one."""
    other = {"left": "right", "right": "left"}[side]
    card, _ = made(tmp_path, layers, **{f"{other}_slope": 0.0})
    assert f"On the {side} tab: " in card
    assert f"the {other} tab" not in card
    face = "table face" if layers == 1 else "underside"
    assert f"Stick the {side} tab to the spine panel's {face}" in card
    assert "the right one the left tab" not in card
    assert "then the right tab under the left one" not in card


@pytest.mark.parametrize(("spine", "side"), [(8, "left"), (8, "right"), (12, "left")])
def test_one_tab_is_lapped_on_no_other(spine, side, tmp_path):
    """A thin spine, where two tabs would be lapped: with one tab nothing is."""
    card, _ = made(tmp_path, 3, spine_width=spine, **{f"{side}_slope": 0.0})
    for said in ("the right one the left tab", "under the left one", "lapped", "1 then 6"):
        assert said not in card


def test_each_strap_goes_round_its_own_side(one):
    """Head to tail round board and leaves: 2 · (height + thickness of that side) + lap 20 mm."""
    _, card, _ = one
    for letter, side in (("L", "left"), ("R", "right")):
        length = 2 * (H + SIDES[side]) + 20
        assert re.search(
            rf"{letter}: [a-z ]*strap 13 mm wide, cut {length:.0f} mm, lap 20 mm", card
        )


def test_check_by_rule(one):
    """Apexes and whole width by the formulas of the design: P sin a + deck lift, P cos a."""
    layers, card, _ = one
    panel = 133 - INSET
    lift = layers * 0.127 + 0.1
    for letter, side in (("L", "left"), ("R", "right")):
        height = panel * math.sin(math.radians(SLOPES[side])) + lift
        assert f"{height:.1f} mm apex {letter}" in card
    base = SPINE + CLEAR + sum(panel * math.cos(math.radians(a)) for a in SLOPES.values())
    assert f"whole width: {base:.1f} mm" in card


def test_flaps_go_up_and_over():
    """On the piece turned over the flap ends above the middle, its arrow too: none goes under."""
    from cutfiles.bench.slip import slip_from
    from cutfiles.draft import draft_of
    from cutfiles.report.printed.fold_pictures import fold_pictures

    draft = draft_of(
        slip_from(
            {
                "number": "A1",
                "units": "mm",
                "height": H,
                "width": 133,
                "spine_width": SPINE,
                "opening_angle": 120,
                "support": {"layers": 3},
            }
        )
    )
    pictures = fold_pictures(draft.support, draft.pattern)
    flaps = [picture for step, picture in pictures if step.verb in ("Tuck", "Cover")]
    assert len(flaps) == 2
    for picture in flaps:
        assert min(place.z for polygon in picture.polygons for place in polygon.corners) > -0.01
        assert max(place.z for polygon in picture.polygons for place in polygon.corners) > 10.0
        [(_, hinge, _)], [arrow] = picture.rings, picture.bows
        assert (arrow[0].y - hinge.y) * (arrow[-1].y - hinge.y) < 0, "it goes over the crease"
    turned = [step.verb for step, picture in pictures if picture.turned]
    assert turned == ["Turn over", "Turn back"]


def test_inches_are_of_25_4_mm(tmp_path):
    """Where a slip counts in inches, what is told in both agrees, on the card and in the report."""
    path = slip(tmp_path, "I1", units="in", height=8, width=5, spine_width=1.25)
    ended = done("make", path, "--format", "svg", "--to", tmp_path)
    card = " ".join(text_of((tmp_path / "I1.bench.pdf").read_bytes()))
    pairs = re.findall(r"(\d+(?:\.\d+)?) mm \(([\d /]+) in\)", card + ended.output)
    assert len(pairs) >= 12
    for mm, parts in pairs:
        inch = float(sum(map(Fraction, parts.split())))
        assert abs(float(mm) / 25.4 - inch) < 1 / 64 + 0.05 / 25.4
    assert "height 203.2 mm (8 in)" in card
    assert any(float(mm) > 150 for mm, _ in pairs), "nothing long enough to tell 25 from 25.4"
