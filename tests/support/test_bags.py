"""The dummy, bag by bag: heavy enough, shared as its book is, and bags that one hand lays down."""

import pytest
from conftest import BOOK

from cutfiles.bench.slip import slip_from
from cutfiles.support.bags import bags_for


@pytest.mark.parametrize(
    ("weight", "many", "grams"),
    [
        (1, 1, 1),
        (333, 1, 250),
        (334, 2, 126),
        (641, 2, 241),
        (2000, 6, 250),
        (3000, 6, 375),  # more bags are no help: these are heavier
    ],
)
def test_each_half_of_one_and_a_half_books_lies_in_as_few_bags_as_are_light(weight, many, grams):
    left, right = bags_for(slip_from(BOOK), weight)
    assert [tuple(bags) for bags in (left, right)] == [
        ("left", many, grams),
        ("right", many, grams),
    ]
    assert 0 <= left.total + right.total - 1.5 * weight < 2 * many


def test_a_thicker_side_has_heavier_bags_and_as_many():
    left, right = bags_for(slip_from({**BOOK, "left_side": 10, "right_side": 24}), 680)
    assert (left.many, right.many) == (3, 3)
    assert (left.grams, right.grams) == (100, 240)
