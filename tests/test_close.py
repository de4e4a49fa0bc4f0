"""The comparison of paths itself: what differs is told with its place, and drawn."""

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from close import assert_same_paths

from cutfiles.plane.shapes import Box, closed_path, open_path, rectangle

SQUARE = rectangle(Box(0, 0, 40, 30))
LINE = open_path((5, 5), (20, 5))


def test_order_start_and_direction_do_not_matter():
    turned = closed_path(*SQUARE.points[2:], *SQUARE.points[:2])
    back = open_path((20, 5), (5, 5))
    assert_same_paths([back, turned], [SQUARE, LINE])


@pytest.mark.parametrize(
    ("found", "place"),
    [
        ([SQUARE, open_path((5, 5), (20, 5.5))], r"\(20\.0000, 5\.5000\) 0\.500000 mm off"),
        ([SQUARE], r"none like the one of 15\.0000 mm"),
        ([SQUARE, LINE, LINE], "3 paths, should be 2"),
        ([open_path(*SQUARE.points), LINE], "an open path of 110"),
        ([SQUARE, closed_path((5, 5), (20, 5))], "a closed path of 30"),
    ],
)
def test_what_differs_is_told_and_drawn(found, place):
    with pytest.raises(AssertionError, match=place) as refusal:
        assert_same_paths(found, [SQUARE, LINE])
    picture = Path(re.search(r"see (\S+\.svg)", str(refusal.value))[1])
    drawn = list(ElementTree.parse(picture).getroot().iter())
    picture.unlink()
    assert sum(one.tag.endswith("path") for one in drawn) == len(found) + 2
    assert any(one.tag.endswith("circle") for one in drawn)
