"""Advice and cautions: given where they matter, each once, and never a refusal."""

import math
from dataclasses import replace

import pytest

from cutfiles.bench.film import Film
from cutfiles.bench.films import usual_films
from cutfiles.bench.slip import slip_from
from cutfiles.draft import draft_of
from cutfiles.errors import DesignError
from cutfiles.support.advice import advise, footprint, rooms
from cutfiles.support.design import design
from cutfiles.support.loads import side_weights, walking_friction
from cutfiles.support.straps import straps
from cutfiles.words.cautions import cautions, require_film_for

BOOK = {
    "number": "T",
    "units": "mm",
    "height": 190,
    "width": 124,
    "spine_width": 32,
    "left_slope": 30,
    "right_slope": 30,
    "weight": "540 g",
}


def advice(films=(), support=None, **fields):
    values = {**BOOK, **fields, "support": support or {}}
    found = list(advise(design(slip_from(values, "slip", films))))
    assert all(finding.severity == "advise" for finding in found)
    return {finding.rule: finding.message for finding in found}


def test_nothing_to_say_of_a_plain_book():
    assert advice(binding="cloth case, hollow back") == {}


@pytest.mark.parametrize(
    ("binding", "opening", "warned"),
    [
        ("full calf, tight back", 120, True),
        ("full calf, tight back", 110, False),
        ("half calf, hollow back", 136, True),
        ("half calf, hollow back", 135, False),
        ("glued paperback", 91, True),
        ("glued paperback", 90, False),
        ("paper covers, side-stitched", 100, True),
        ("stapled, stiff wrappers", 140, False),
        ("stapled, stiff wrappers", 142, True),
        ("limp vellum", 131, True),
        ("publisher cloth", 131, True),
        ("carved bone", 131, False),
    ],
)
def test_opening_by_binding(binding, opening, warned):
    slope = (180 - opening) / 2
    found = advice(binding=binding, left_slope=slope, right_slope=slope)
    assert ("binding" in found) is warned


@pytest.mark.parametrize(
    ("binding", "usual"),
    [
        ("tight back", "90 to 110"),
        ("hollow back", "110 to 135"),
        ("limp vellum", "100 to 130"),
        ("glued paperback", "60 to 90"),
        ("stab-sewn", "60 to 90"),
        ("oversewn", "60 to 90"),
        ("publisher cloth", "110 to 130"),
    ],
)
def test_how_far_such_books_usually_open_is_told(binding, usual):
    """Common practice, no source."""
    assert (
        f"usually open {usual}°"
        in advice(binding=binding, left_slope=15, right_slope=15)["binding"]
    )


def test_ceiling_is_a_setting():
    assert "opening-ceiling" in advice(left_slope=20, right_slope=20)
    assert "opening-ceiling" not in advice(
        left_slope=20, right_slope=20, support={"opening_ceiling": "150°"}
    )


@pytest.mark.parametrize(("opening", "told"), [(135.4, False), (135.6, True)])
def test_an_opening_wider_than_the_ceiling_is_told_as_it_is_rounded(opening, told):
    slope = (180 - opening) / 2
    assert ("opening-ceiling" in advice(left_slope=slope, right_slope=slope)) is told


def test_follow_the_leaves():
    boards = {"support": {"follow": "boards"}}
    assert "follow the leaves" in advice(page_angle=100, **boards)["page-angle"]
    assert "page-angle" not in advice(page_angle=118, **boards)
    assert "page-angle" not in advice(page_angle=100)  # the support follows them


def test_lone_covers():
    """Canadian Conservation Institute Notes 11/8: support a lone cover."""
    said = advice(left_side=3, right_side=29)["lone-cover"]
    assert "left cover" in said
    assert "Notes 11/8" in said
    assert "right cover" in advice(left_side=29, right_side=3)["lone-cover"]
    assert "on the table" in advice(left_side=3, right_side=29, left_slope=2)["lone-cover"]
    assert "lone-cover" in advice(opening="title page")
    assert "lone-cover" not in advice(left_side=16, right_side=16, opening="title page")


def test_straps():
    assert "strap" in advice(binding="limp vellum")
    assert "strap" in advice(note="springy leaves")
    assert "strap" in advice(page_angle=100, support={"follow": "boards"})
    assert "strap" not in advice()
    found = advice(binding="limp vellum", left_side=10, right_side=22)["strap"]
    assert "cut 420.0 mm left and 444.0 mm right" in found


def test_a_strap_has_one_length():
    """Of a book whose sides nobody measured, told by the advice and on the bench card."""
    slip = slip_from({**BOOK, "height": 203.3, "thickness": 40, "binding": "limp vellum"})
    support = design(slip)
    (said,) = [f.message for f in advise(support) if f.rule == "strap"]
    assert [strap.cut_length for strap in straps(support)] == [467.0, 467.0]
    assert "467.0 mm left and 467.0 mm right" in said


def test_walking():
    """45° and 20°, equal halves, walk at a friction of 0.090: not worth a word; steeper is."""
    slopes = math.radians(45), math.radians(20)
    assert walking_friction((1, 1), slopes) == pytest.approx(0.090, abs=5e-4)
    a = abs(math.sin(slopes[0]) * math.cos(slopes[0]) - math.sin(slopes[1]) * math.cos(slopes[1]))
    mu = walking_friction((1, 1), slopes)
    assert a * mu**2 - 2 * mu + a == pytest.approx(0, abs=1e-12)
    assert walking_friction((1, 2), slopes) == walking_friction((2, 1), slopes[::-1])
    assert walking_friction((1, 1), (0.5, 0.5)) == 0
    assert "walking" not in advice(left_slope=45, right_slope=20)
    assert "walking" in advice(left_slope=45, right_slope=2, left_side=24, right_side=8)


def test_sides_share_the_weight():
    assert side_weights(1000, None, 5) == pytest.approx((9.80665 / 2, 9.80665 / 2))
    assert side_weights(1000, 10, 30) == pytest.approx((9.80665 / 4, 9.80665 * 3 / 4))
    assert side_weights(1000, 0, 0) == side_weights(1000, None, None)


@pytest.mark.parametrize(
    ("fields", "parts"),
    [
        ({"height": 74, "width": 70}, ["74.0 mm tall"]),
        ({"height": 204}, ["204.0 mm tall"]),
        ({"left_side": 26, "right_side": 26}, ["52.0 mm thick"]),
        ({"spine_width": 20}, ["20.0 mm thick"]),
        ({"thickness": 24.9}, ["24.9 mm thick"]),
    ],
)
def test_published_range(fields, parts):
    """Books 3–8 in tall and 1–2 in thick: Abbey Newsletter 14(3), 1990."""
    said = advice(**fields)["tried"]
    for part in (*parts, "75–203 mm", "25–51 mm", "Abbey Newsletter 14(3), 1990"):
        assert part in said


def test_edges_of_the_published_range():
    for height, thick in ((75, 25), (203, 51)):
        assert "tried" not in advice(height=height, thickness=thick)


def test_steep_and_shallow():
    assert "agreed" in advice(left_slope=35)
    assert "shallow" in advice(left_slope=4)
    assert "shallow" not in advice(left_slope=3)  # it has no leg


def test_film_from_a_roll():
    from cutfiles.bench.films import films_from

    own = films_from({"film": [{"name": "roll", "gauge": "5 mil", "form": "roll"}]}).kinds
    assert "roll-set" in advice(films=own)
    assert "roll-set" not in advice()


# -- the case --------------------------------------------------------------------------------------


def test_room_in_the_case():
    support = design(slip_from({**BOOK, "left_side": 16, "right_side": 16}))
    needs, slope = footprint(support), math.radians(30)
    assert needs.depth == 190
    assert needs.width == pytest.approx(33 + 2 * 124 * math.cos(slope))
    assert needs.height == pytest.approx(
        support.deck_lift + 124 * math.sin(slope) + 16 * math.cos(slope)
    )
    assert rooms(support) == ()


@pytest.mark.parametrize(
    ("depth", "said"),
    [(189, "does not fit"), (191, "is tight: 1.0 mm"), (250, "fits with 60.0 mm")],
)
def test_case_depth(depth, said):
    assert said in advice(case_depth=depth)["case"]


# -- cautions --------------------------------------------------------------------------------------


def rules(machine="knife", **fields):
    found = [caution.rule for caution in cautions(slip_from({**BOOK, **fields}), machine)]
    assert len(found) == len(set(found))
    return found


def test_cautions_where_they_matter():
    assert rules() == ["knife", "book"]
    assert rules("laser") == ["laser", "book"]
    assert "static" in rules(weight="19 g")
    assert "static" in rules(note="loose pigment on f. 3")
    assert "case" in rules(case_depth=300)
    assert "case" not in rules()


def test_what_a_laser_user_is_told():
    (text, *_) = [caution.text for caution in cautions(slip_from(BOOK), "laser")]
    for part in ("extraction", "eyewear", "watching", "put a fire out", "PVC", "fumes", "bead"):
        assert part in text


@pytest.mark.parametrize("coating", ["coated", "unknown"])
def test_film_a_laser_must_not_cut(coating):
    film = Film(coating=coating)
    require_film_for("knife", film)
    with pytest.raises(DesignError, match="uncoated polyester only"):
        require_film_for("laser", film)
    require_film_for("laser", Film())


@pytest.mark.parametrize("coating", ["coated", "unknown"])
def test_what_is_said_of_a_coat_goes_with_the_film_that_is_chosen(coating):
    """Film and construction left open; the films at hand are known to have none."""
    chosen = draft_of(slip_from({**BOOK, "support": {"coating": coating}})).slip
    assert chosen.film.coating == coating
    assert draft_of(slip_from(BOOK)).slip.film.coating == "uncoated"


def test_the_coat_of_the_film_that_is_chosen_is_its_own():
    films = tuple(replace(film, coating="coated") for film in usual_films())
    assert draft_of(slip_from(BOOK, films=films)).slip.film.coating == "coated"


def test_a_foot_without_ticks_is_told():
    """A high side in one line with its spine panel has no crease that a foot could move against."""
    in_line = {"left_slope": 27, "right_slope": 21, "left_joint": 14, "right_joint": 0}
    said = advice(support={"construction": "plain", "adjust": "4 mm"}, **in_line)
    assert "the left foot cannot be creased anew" in said["adjust"]
    assert "adjust" not in advice(support={"construction": "plain", "adjust": "4 mm"})
    assert "adjust" not in advice(support={"construction": "plain"}, **in_line)


@pytest.mark.parametrize(
    ("spine", "slope", "way", "told"),
    [
        (34, 30, "plain", {}),
        (8.1, 30, "plain", {}),
        # a spine panel, the clearance of 1 on it, has hems from 9 on: rule of the constructions
        (7.9, 30, "plain", {"spine": "the spine panel is too short for hems: its edges stay cut"}),
        (34, 8, "lips", {}),
        (34, 5, "lips", {"right leg": "the right leg has no room for lips: it is plain"}),
        (34, 5, "posts", {}),
        (34, 3.6, "posts", {"right leg": "the right leg has no room for posts: it is plain"}),
    ],
)
def test_what_a_strip_has_no_room_for_is_told(spine, slope, way, told):
    """An edge that stays cut towards a vellum spine, a leg that is plain: and no other is named."""
    slip = {"spine_width": spine, "left_slope": 30, "right_slope": slope}
    slip |= {"left_joint": 0, "right_joint": 0, "weight": "300 g", "number": "A1", "units": "mm"}
    support = {"layers": 1, "edges": "folded", "construction": way}
    made = draft_of(slip_from({**slip, "height": 203, "width": 133, "support": support})).support
    found = {one.place: one.message for one in made.told if one.rule in ("hems", "lips", "posts")}
    assert found == told


def test_a_strip_too_narrow_for_hems_says_so_of_every_panel_towards_the_book():
    """28 broad: hems of 8, 2 clear of the tabs, leave these 8: not enough to hold tape."""
    slip = {"spine_width": 34, "left_slope": 30, "right_slope": 30, "weight": "90 g"}
    slip |= {"number": "A1", "units": "mm", "height": 30, "width": 133}
    support = {"layers": 1, "edges": "folded", "construction": "plain"}
    made = draft_of(slip_from({**slip, "support": support})).support
    assert [one.message for one in made.told if one.rule == "hems"] == [
        f"the {panel} panel is too narrow for hems: its edges stay cut"
        for panel in ("left board", "spine", "right board")
    ]
