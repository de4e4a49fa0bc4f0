"""Lips and posts in the end view: the worked places of `construction_cases`, and drawn there."""

import math

import pytest
import tilted
from pages import picture_of

from cutfiles.draft import draft_of
from cutfiles.report.pictures.legs import beside_legs
from cutfiles.report.pictures.standing import standing_picture


def made(number, way):
    support = {"construction": way, "edges": "folded"}
    return draft_of(tilted.slip_of(number, support=support))


@pytest.mark.parametrize("number", ["LEVEL", "LAPPED", "CROSSED", "FLAT", "RISER", "RIGHT"])
def test_posts_stand_behind_their_legs_under_the_board(number):
    draft = made(number, "posts")
    support = draft.support
    outlines = beside_legs(support)
    legs = {post.name.rpartition(" post")[0] for post in draft.pattern.posts}
    assert len(outlines) == len(legs)
    for outline in outlines:
        side = next(h for h in support.halves if abs(h.apex.x - outline[0].x) < 2)
        feet = [place for place in outline if abs(place.y) < 1e-9]
        tops = [place for place in outline if place.y > 1]
        assert len(feet) == len(tops) == 2
        # 12 mm deep prism: c √3/2 between face A and the crease B|C, inwards of the leg
        assert abs(feet[0].x - feet[1].x) == pytest.approx(12 * math.sqrt(3) / 2)
        for place in outline:
            inwards = side.way * (side.apex.x - place.x)
            assert 0 < inwards < 12
        for place in tops:  # 0.4 longer on purpose, within the board panel's own thickness
            board = side.apex.y - side.way * (side.apex.x - place.x) * math.tan(side.slope)
            assert board - 1.0 < place.y < board + 0.45


@pytest.mark.parametrize("number", ["LEVEL", "RISER"])
def test_a_lip_lies_parallel_to_the_board_and_clear_of_the_table(number):
    support = made(number, "lips").support
    outlines = beside_legs(support)
    assert outlines
    for outline in outlines:
        half = next(h for h in support.halves if abs(h.apex.x - outline[0].x) < 1e-6)
        assert min(place.y for place in outline) == pytest.approx(1.5)
        near, far = sorted(
            (p for p in outline if p.y > 2), key=lambda p: half.way * (half.apex.x - p.x)
        )
        assert half.way * (half.apex.x - far.x) == pytest.approx(8.0)
        slope = math.atan2(near.y - far.y, abs(near.x - far.x))
        assert slope == pytest.approx(half.slope, abs=1e-6)


def test_the_picture_draws_them_and_says_so():
    posts, plain = (made("LEVEL", way) for way in ("posts", "plain"))
    drawn = [standing_picture(one.support, one.verdict).decode() for one in (posts, plain)]
    assert ["its lip or posts" in text for text in drawn] == [True, False]
    # lines that look alike are one path: each of its parts begins with a move
    paths = [picture_of(text).iter("{http://www.w3.org/2000/svg}path") for text in drawn]
    thin = [
        sum(path.get("d").count("M") for path in one if path.get("stroke-width") == "0.25")
        for one in paths
    ]
    assert thin[0] - thin[1] == 2
