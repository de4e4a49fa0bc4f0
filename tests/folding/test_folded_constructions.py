"""Hems, lips and posts folded from the written file: sound ones fold, damage is named."""

import json
import math
import random
import re
from dataclasses import replace

import pytest
from conftest import BOOK, DEEP, in_turn
from kept import creased
from test_fold_check import KEYS, proved, said
from test_verify import one, swapped

from cutfiles.bench.slip import slip_from
from cutfiles.draft import draft_of
from cutfiles.errors import DesignError, DifferenceError
from cutfiles.files.fold_check import face_orders, fold_file, fold_lines, require_same_folds
from cutfiles.files.formats import FORMATS, Options
from cutfiles.folding.check import check_folds
from cutfiles.folding.drawn import angles_for
from cutfiles.folding.flanges import flange_faces, flange_findings
from cutfiles.folding.fold import fold
from cutfiles.folding.posts import check_posts, post_place
from cutfiles.job.recheck import fold_data
from cutfiles.pattern.pattern import Stroke
from cutfiles.plane.moves import shift
from cutfiles.plane.shapes import Point
from cutfiles.support.construct import piece_of
from cutfiles.support.constructions.posts import FACE
from cutfiles.support.design import design
from cutfiles.support.ways import AtHand, any_way, ways

WAYS = sorted(
    (way.construction, way.edge)
    for way in ways(any_way(AtHand("5 mil", 0.127)), "side by side", "boards")
)


def made_so(way, edge, book=BOOK, **more):
    support = {
        "gauge": "5 mil",
        "construction": way,
        "edges": "folded" if edge == "hemmed" else "cut",
        "layers": 3 if edge == "thirds" else 1,
        **more,
    }
    if edge == "thirds":
        support["edges"] = "folded"
    return slip_from({**book, "support": support})


@pytest.mark.parametrize(("made", "key"), list(in_turn(WAYS, KEYS, 3)))
def test_each_construction_folds_from_each_format(made, key):
    """By what the file states of itself; and so does the FOLD file made of it."""
    way, edge = made
    result = proved(made_so(way, edge), key, ask=False)
    assert said(result) == ""
    pattern, check = result.draft.pattern, result.check
    assert len(pattern.flanges) == {"plain": 0, "lips": 4, "posts": 0}[way] + 6 * (edge == "hemmed")
    assert len(check.posts) == len(pattern.posts) == (4 if way == "posts" else 0)
    data = fold_file(result)
    require_same_folds("A1.fold", data, check)
    again = fold_data(data, "A1.fold")
    assert said(again) == ""
    assert len(again.check.posts) == len(check.posts)


def test_hems_lie_under_and_lips_stand_square():
    result = proved(made_so("lips", "hemmed"))
    check, folded = result.check, result.check.folded
    for flange in result.draft.pattern.flanges:
        face = check.faces[flange.name, flange.kind]
        panel = check.faces[flange.panel, "middle"]
        one_way, other = folded.motion(face).normal, folded.motion(panel).normal
        turned = math.acos(max(-1, min(1, sum(a * b for a, b in zip(one_way, other, strict=True)))))
        assert math.degrees(turned) == pytest.approx(180 if flange.kind == "hem" else 90, abs=1e-6)
    orders = face_orders(result)
    assert len(orders) == 6
    assert {side for *_, side in orders} == {-1}


def test_worked_places_of_free_corners():
    """A of the worked cases, 7 mil: x from the spine's middle, z, of lip and hem."""
    result = proved(made_so("lips", "hemmed", gauge="7 mil"))
    check, draft = result.check, result.draft
    # the worked case has tabs of 12 mm; the tape of this weight wants longer ones
    x0 = draft.pattern.band("middle").box.left + draft.support.length("tab", "left") - 12.0
    root = draft.pattern.span("spine")[0]

    def place(name, kind, x, y):
        spot = check.folded.motion(check.faces[name, kind]).place((x0 + x, y))
        return (round(spot.x - root - 17.5, 2), round(spot.z + draft.support.deck_lift, 2))

    # the lip's free corners along the strip: 126.083 below, 183.742 above, 8 beyond its fold
    lip = ("left leg lip, tail", "lip")
    assert place(*lip, 126.083, 0.0) == pytest.approx((-122.08, 1.5), abs=0.02)
    assert place(*lip, 183.742, 0.0) == pytest.approx((-122.08, 59.16), abs=0.02)
    # the film lies 0.178 under its panel, folded flat without thickness here
    hem = place("left board hem, tail", "hem", 199.361, 0.0)
    under = 0.1778 * math.cos(math.radians(30))
    assert hem == pytest.approx((-121.945, 60.374 + under), abs=0.1)


def lean(result, degrees):
    """The lips folded by another angle; what the check says of it."""
    pattern, folded = result.draft.pattern, result.check.folded
    flanges = tuple(
        replace(f, angle=-math.radians(degrees)) if f.kind == "lip" else f for f in pattern.flanges
    )
    changed = replace(pattern, flanges=flanges)
    again = fold(folded.graph, angles_for(folded.graph, changed), folded.root)
    return list(flange_findings(again, changed, flange_faces(again.graph, changed)))


def test_a_lip_stands_at_85_degrees_or_more():
    result = proved(made_so("lips", "cut"))
    assert lean(result, 85) == lean(result, 100) == []
    told = lean(result, 84)
    assert {f.place for f in told} == {f.name for f in result.draft.pattern.flanges}
    assert "would stand at 84°, needed 85° or more" in told[0].message


def moved(dx, dy):
    return lambda stroke: Stroke(
        stroke.role, stroke.name, shift(stroke.path, dx, dy), stroke.use, stroke.of, stroke.band
    )


DAMAGE = {
    "hem turned": (
        ("plain", "hemmed"),
        "spine hem, head",
        swapped,
        "spine hem, head is drawn as a valley, should be a mountain; folded so, "
        "spine hem, head would fold onto the book face",
    ),
    "lip turned": (
        ("lips", "cut"),
        "left leg lip, tail",
        swapped,
        "left leg lip, tail is drawn as a valley, .*onto the book face",
    ),
    "hem missing": (
        ("plain", "hemmed"),
        "left board hem, head",
        lambda stroke: None,
        "left board hem, head is missing",
    ),
    "hem moved": (
        ("plain", "hemmed"),
        "left board hem, head",
        moved(0.0, -1.0),
        r"left board hem, head lies 1\.00 mm too low",
    ),
    "post crease moved": (
        ("posts", "cut"),
        "left post 1, B|C",
        moved(0.0, 0.5),
        r"left post 1, B\|C lies 0\.50 mm too far to the (left|right)",
    ),
    "post crease turned": (
        ("posts", "cut"),
        "right post 2, A|B",
        swapped,
        r"right post 2, A\|B is drawn as a valley[\s\S]*right post 2 would not close",
    ),
    "post crease missing": (
        ("posts", "cut"),
        "right post 2, C|lap",
        lambda stroke: None,
        r"C\|lap is missing[\s\S]*bound 3 faces, should be 4",
    ),
    "post missing": (
        ("posts", "cut"),
        "right post 2, outline",
        lambda stroke: None,
        "3 posts are drawn, should be 4",
    ),
}


@pytest.mark.parametrize("damage", DAMAGE)
def test_damage_is_named(damage):
    (way, edge), name, change, message = DAMAGE[damage]
    result = proved(made_so(way, edge), "svg", lambda sheet: one(sheet, name, change))
    assert not result.check.folds
    assert re.search(message, said(result)), said(result)


def test_a_post_cut_short_is_named():
    """Laid on its side: a millimetre off its head."""

    def shorter(stroke):
        most = max(x for x, _ in stroke.path.points)
        points = tuple(Point(min(x, most - 1.0), y) for x, y in stroke.path.points)
        return Stroke(stroke.role, stroke.name, replace(stroke.path, points=points))

    def change(sheet):
        return one(sheet, "left post 1, outline", shorter)

    result = proved(made_so("posts", "cut"), "svg", change)
    assert "left post 1" in said(result)


def test_posts_are_known_by_their_lengths_wherever_they_lie():
    """Those of the left leg are some mm longer than those of the right one."""
    book = {**BOOK, "left_slope": 30, "right_slope": 28.5}
    posts = draft_of(made_so("posts", "cut", book)).pattern.posts
    drawn = [creased.lines_of(post) for post in posts]
    assert 2 < posts[0].box.height - posts[-1].box.height < 9
    folds, told = check_posts(drawn[::-1], posts, 0.05, 0.0)
    assert told == ()
    assert [fold.name for fold in folds] == [post.name for post in posts]


def test_a_post_stands_on_its_foot_crease_with_its_face_towards_the_leg():
    """On the flat strip it lies from the foot towards the apex, below it by its offset."""
    support = design(made_so("posts", "cut"))
    piece = piece_of(support)
    assert len(piece.posts) == 4
    for post in piece.posts:
        move = post_place(piece, post, 7.0, 90.0)
        right = piece.strip.apex_on_right(post.leg)
        foot = 7.0 + (piece.strip.starts if right else piece.strip.ends)[post.leg]
        x, half = (foot + 0.0635, FACE / 2) if right else (foot - 0.0635, -FACE / 2)
        way = 1 if right else -1
        for at, there in {
            (0, 0): (x, 90 + post.y + half, -post.blank.offset),
            (FACE, 0): (x, 90 + post.y - half, -post.blank.offset),
            (0, 20): (x + way * 20, 90 + post.y + half, -post.blank.offset),
        }.items():
            assert tuple(move.place(at)) == pytest.approx(there)
        assert tuple(move.normal) == (0.0, 0.0, 1.0)


def test_posts_of_a_fold_file_are_compared():
    result = proved(made_so("posts", "hemmed"))
    document = json.loads(fold_file(result))
    kinds = [frame["frame_classes"][0] for frame in document["file_frames"]]
    assert kinds == ["foldedForm", *["creasePattern", "foldedForm"] * 4]
    assert document["file_classes"] == ["multiModel"]
    del document["file_frames"][-2:]
    with pytest.raises(DifferenceError, match="other pieces than fold"):
        require_same_folds("A1.fold", json.dumps(document).encode(), result.check)
    assert "3 posts are drawn, should be 4" in said(
        fold_data(json.dumps(document).encode(), "A1.fold")
    )


def test_a_film_past_the_book_is_named():
    """A lip at 70° reaches 2.74 past the strip, 1.74 past the book."""
    slip = made_so("lips", "cut")
    result = proved(slip)
    pattern = result.draft.pattern
    flanges = tuple(replace(f, angle=-math.radians(70)) for f in pattern.flanges)
    form = FORMATS["svg"]
    reading = form.read(form.write(form.prepared(result.draft.drawing), Options()))
    lines = fold_lines(reading, form, Options())
    check = check_folds(lines, replace(pattern, flanges=flanges), result.draft.support)
    told = {f.rule: f.message for f in check.findings}
    assert "film would show 1.74 mm past the book's head or tail" in told["edge"]


def books(count, seed):
    rng = random.Random(seed)
    while count:
        book = {
            "number": "A1",
            "units": "mm",
            "height": rng.uniform(60, 280),
            "left_width": rng.uniform(40, 200),
            "right_width": rng.uniform(40, 200),
            "spine_width": rng.uniform(8, 60),
            "left_slope": rng.choice([0, rng.uniform(5, 60)]),
            "right_slope": rng.uniform(5, 60),
        }
        gauge = rng.choice([0.1016, 0.127, 0.1778, 0.254])
        for way, edge in WAYS:
            slip = made_so(way, edge, book, gauge=gauge, posts=rng.choice([0, 2, 3, 4]))
            try:
                design(slip)
            except DesignError:
                continue
            yield slip
        count -= 1


def test_random_books_in_every_construction():
    """A handful here; `tests/bench/fold_constructions.py` folds 300."""
    for slip in books(6 if DEEP else 3, 1):
        result = proved(slip, ask=False)
        assert said(result) == "", (slip.book, slip.opening, slip.choices)
