"""Settings at the ends of their ranges: refused as a choice, never told as a fault of ours."""

import pytest
import shapely
from conftest import BOOK

from cutfiles.bench.slip import slip_from
from cutfiles.draft import draft_of
from cutfiles.errors import DesignError
from cutfiles.pattern.pattern import Role
from cutfiles.plane.measure import chords
from cutfiles.support.design import design

SMALL = {**BOOK, "height": 16, "width": 30, "spine_width": 14}


@pytest.mark.parametrize(
    ("values", "settings", "field"),
    [
        (
            {**BOOK, "width": 12, "spine_width": 12, "opening_angle": 40},
            {"corner_radius": 15},
            "corner_radius",
        ),
        (
            {**BOOK, "opening_angle": 178},
            {"layers": 3, "least_rise": 0.5, "relief_diameter": 4},
            "relief_diameter",
        ),
        (
            SMALL,
            {
                "layers": 3,
                "score_gap": 10,
                "corner_radius": 0,
                "end_inset": 0,
                "edge_gap": 10,
                "fold_gap": 10,
            },
            "score_gap",
        ),
        (
            {**SMALL, "height": 15},
            {"layers": 3, "fold_gap": 10, "edge_gap": 10, "corner_radius": 0, "end_inset": 4},
            "fold_gap",
        ),
        ({**BOOK, "height": 40}, {"tape_inset": 20}, "tape_inset"),
    ],
)
def test_settings_that_do_not_go_together(values, settings, field):
    with pytest.raises(DesignError, match=rf"support\.{field}: found "):
        draft_of(slip_from({**values, "support": settings}))


THREE = {"layers": 3, "gauge": "0.2 mm", "nesting": 2, "corner_radius": 0, "end_inset": 0}
"""Its foot comes 2 · 2 films · 0.2 · π/4 = 0.628 nearer to the end of the strip."""
BARE = {**THREE, "score_gap": 0, "relief_diameter": 0, "tape_inset": 0}
STEEP = {"width": 12, "spine_width": 12, "opening_angle": 40}
"""Its base and tab are (12 − 3) cos 70° + 11 = 14.078 long."""
NEARLY_FLAT = {"opening_angle": 178}
"""Its legs are 130 sin 1° + 3 · 0.2 + 0.1 = 2.969 high."""


@pytest.mark.parametrize(
    ("values", "settings", "field", "most"),
    [
        (STEEP, {**THREE, "fold_gap": 1}, "corner_radius", 14.078 - 0.628),
        (STEEP, {**THREE, "layers": 1, "edges": "cut"}, "corner_radius", 14.078),
        ({**STEEP, "height": 19}, {**BARE, "end_inset": 4}, "fold_gap", 11 - 0.5 - 1),
        ({**STEEP, "height": 19}, {**BARE, "end_inset": 4}, "edge_gap", 11 - 0.5 - 1),
        ({**STEEP, "height": 18}, BARE, "score_gap", (18 - 2.5 * 0.2 - 1) / 2),
        ({**STEEP, "height": 18}, {**BARE, "fold_gap": 9}, "score_gap", 16.5 - 9),
        ({**STEEP, "height": 18}, {**BARE, "edge_gap": 9.5}, "score_gap", 16.5 - 9.5),
        (NEARLY_FLAT, {**THREE, "least_rise": 0.5}, "relief_diameter", 2.969 - 0.628 - 1),
        ({"height": 30}, {**THREE, "edge_gap": 3}, "tape_inset", (30 - 3 - 1) / 2),
        ({"height": 30}, {**THREE, "layers": 1, "edges": "cut"}, "tape_inset", (30 - 1) / 2),
    ],
)
def test_a_setting_takes_the_room_there_is_and_no_more(values, settings, field, most):
    """A millimetre of film is left beside holes, gaps and tape; all worked by hand."""

    def made(value):
        support = {**settings, field: f"{value} mm"}
        return design(slip_from({**BOOK, **values, "support": support}))

    made(most - 0.01)
    with pytest.raises(DesignError, match=rf"support\.{field}: .*{field} is at most"):
        made(most + 0.01)


@pytest.mark.parametrize("layers", [1, 3])
@pytest.mark.parametrize("nesting", [0, 2])
@pytest.mark.parametrize("radius", [1, 5, 13, 14])
def test_scores_end_within_the_rounded_outline(layers, nesting, radius):
    """Every end of a score lies on or inside the outline, corners and all."""
    values = {**BOOK, "height": 60, "width": 12, "spine_width": 12, "opening_angle": 40}
    more = {"layers": layers, "nesting": nesting, "corner_radius": radius, "gauge": "0.6 mm"}
    more |= {"construction": "plain", "edges": "cut" if layers == 1 else "folded"}
    try:
        pattern = draft_of(slip_from({**values, "support": more})).pattern
    except DesignError:
        assert radius > 12
        return
    left = min(s.path.points[0].x for s in pattern.strokes if s.name.startswith("left foot"))
    right = max(s.path.points[0].x for s in pattern.strokes if s.name.startswith("right foot"))
    ends = [
        point.x
        for stroke in pattern.strokes
        if stroke.name == "outline"
        for point in stroke.path.points
        if point.y in (pattern.box.bottom, pattern.box.top)
    ]
    assert min(ends) < left
    assert max(ends) > right


def outline_of(pattern):
    return next(s.path for s in pattern.strokes if s.role is Role.OUTLINE)


@pytest.mark.parametrize("construction", ["plain", "lips", "posts"])
@pytest.mark.parametrize("radius", [0, 1, 4.8, 13, 20])
def test_large_radii_take_the_room_there_is_beside_hems(construction, radius):
    """Every score ends on or inside the outline, and no fold of a hem is rounded away."""
    more = {"corner_radius": radius, "layers": 1, "gauge": "5 mil", "construction": construction}
    for values in (BOOK, {**BOOK, "height": 60, "width": 30, "spine_width": 12}):
        pattern = draft_of(slip_from({**values, "support": more})).pattern
        film = shapely.Polygon(chords(outline_of(pattern), 0.001))
        for stroke in pattern.strokes:
            if stroke.role in (Role.VALLEY, Role.MOUNTAIN):
                for end in stroke.path.points:
                    assert film.distance(shapely.Point(end)) < 0.01, stroke.name


@pytest.mark.parametrize(
    ("settings", "told"),
    [
        ({"construction": "posts", "posts": 1}, "posts = 1 is asked for, and 2 are made"),
        ({"construction": "posts", "posts": 8}, "posts = 8 is asked for, and 4 are made"),
        ({"construction": "lips", "posts": 2}, "posts = 2 is asked for, and none are made"),
        ({"construction": "posts", "posts": 3}, None),
        ({"construction": "lips"}, None),
    ],
)
def test_another_number_of_posts_than_asked_for_is_told(settings, told):
    values = {**BOOK, "height": 210, "weight": "640 g", "support": settings}
    said = [one.message for one in draft_of(slip_from(values)).findings if one.rule == "posts"]
    assert [one.partition(":")[0] for one in said] == ([told] if told else [])
