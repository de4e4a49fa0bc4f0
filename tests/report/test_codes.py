"""Codes: the mask with the lowest penalty, as segno finds it module by module."""

import random

import segno

from cutfiles.report.printed.codes import best_mask, code_of

SIGNS = "abcdefghij 0123456789.\n藏·"
LONG = (*(1, 5, 9) * 8, 30, 60, 100, 140, 300)
"""Letters of codes from 21 to 73 modules wide, with and without a version told in them."""


def texts():
    """Texts of every length, most short: among them every mask is the best of some."""
    dice = random.Random(2)
    for long in LONG:
        yield "".join(SIGNS[int(dice.random() * len(SIGNS))] for _ in range(long))


def test_the_mask_is_the_one_with_the_lowest_penalty():
    seen = set()
    for text in texts():
        code = segno.make_qr(text, error="m", boost_error=False, encoding="utf-8")
        bare = segno.make_qr(text, error="m", boost_error=False, encoding="utf-8", mask=0)
        assert best_mask(bare) == code.mask, text
        seen.add(code.mask)
    assert seen == set(range(8))


def test_a_code_is_the_one_that_segno_makes():
    for text in [*texts()][-3:]:
        code = segno.make_qr(text, error="m", boost_error=False, encoding="utf-8")
        runs, count = code_of(text)
        dark = {(x + i, y) for x, y, wide, _ in runs for i in range(wide)}
        rows = enumerate(reversed(code.matrix))
        assert dark == {(x, y) for y, row in rows for x, one in enumerate(row) if one}
        assert count == len(code.matrix)
