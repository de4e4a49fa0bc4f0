"""Sheets off a roll: sound, of several lengths, and less film than the fewest sheets take."""

import random

from conftest import drawn
from hypothesis import given, settings
from hypothesis import strategies as st
from test_nest import assert_sound

from cutfiles.film.nest import fewest_sheets, shortest_strip
from cutfiles.film.roll import Lengths, least_film
from cutfiles.film.rules import EFFORTS
from cutfiles.film.skyline import Budget

QUICK = EFFORTS["quick"]
ROLL = Lengths(999_000, 1_483_000, 17_000)
"""1016 mm wide, cut up to 1500 mm, margins of 10 and spacing of 3 mm; in thousandths."""


def strips_of_supports(count, seed):
    """Strips of supports, two in five of them of three layers; invented."""
    draw, pieces = random.Random(seed), []
    for _ in range(count):
        w, h = 300 + 420 * draw.random(), 90 + 155 * draw.random()
        side = (round(w * 1000), round(h * (2900 if draw.random() < 0.4 else 1000)))
        pieces.append((side, side[::-1]))
    return pieces


def tops(sheets):
    return [max(y + h for _, _, y, _, h in sheet) for sheet in sheets]


def taken(sheets):
    return sum(tops(sheets)) + len(sheets) * ROLL.margins


def as_fewest_sheets(pieces, work):
    """The fewest sheets, each then made as short as found, with as much work."""
    which = range(len(pieces))
    fewest = fewest_sheets(pieces, which, ROLL.width, ROLL.longest, Budget(work // 2))
    share, short = Budget(0), []
    for sheet in fewest:
        share.left += work // 2 // len(fewest)
        short.append(shortest_strip(pieces, [one[0] for one in sheet], ROLL.width, share))
    return short


def test_less_film_than_the_fewest_sheets_take():
    """Goal: a hundredth less, over some mixes of supports' strips."""
    film = {"least": 0, "fewest": 0}
    for count, seed in ((20, 1), (20, 2), (60, 1), (60, 2)):
        pieces = strips_of_supports(count, seed)
        sheets = least_film(pieces, range(count), ROLL, Budget(2 * QUICK))
        assert_sound(pieces, sheets, ROLL.width, ROLL.longest)
        assert len(set(tops(sheets))) > 1
        film["least"] += taken(sheets)
        film["fewest"] += taken(as_fewest_sheets(pieces, 2 * QUICK))
    assert film["least"] < 0.99 * film["fewest"], film


def test_the_same_sheets_every_time():
    pieces = strips_of_supports(20, 3)
    first = least_film(pieces, range(20), ROLL, Budget(QUICK // 4))
    assert least_film(pieces, range(20), ROLL, Budget(QUICK // 4)) == first


SIDES = st.integers(1, 40)


@settings(max_examples=drawn(60))
@given(st.lists(st.tuples(SIDES, SIDES, st.booleans()), min_size=1, max_size=30))
def test_any_pieces_lie_soundly_on_sheets_off_a_roll(parts):
    pieces = [((w, h),) if stays else ((w, h), (h, w)) for w, h, stays in parts]
    sheets = least_film(pieces, range(len(pieces)), Lengths(40, 45, 3), Budget(20_000))
    assert_sound(pieces, sheets, 40, 45)
