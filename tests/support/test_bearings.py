"""What stands bears the end of the board that lies on it."""

import pytest
import tilted
from conftest import outside_module

from cutfiles.plane.shapes import Point
from cutfiles.support.design import design
from cutfiles.support.standing import along


@pytest.mark.parametrize(("number", "side"), [("RISER", "left"), ("RIGHT", "right")])
def test_a_riser_bears_the_joint_of_its_own_side(number, side):
    """Whichever side is the higher: a riser that bears nothing would be judged by no load."""
    support = design(tilted.slip_of(number))
    borne = {(one.panel, one.side, one.at) for one in support.bearings}
    assert (f"{side} riser", side, "joint") in borne
    assert {name for name, _, _ in borne} == {
        one.name for one in support.profile.panels if one.part in ("leg", "riser")
    }


@pytest.mark.parametrize("ends", [((3, 2), (15, 11)), ((15, 11), (3, 2)), ((4, 9), (-8, 4))])
def test_a_place_lies_so_far_along_a_tilted_panel_and_so_far_off_it(ends):
    shapely = outside_module("shapely")
    line, place = shapely.LineString(ends), shapely.Point(9, -4)
    far, off = along((Point(*ends[0]), Point(*ends[1])), Point(9, -4))
    beyond = shapely.affinity.scale(line, 9, 9, origin=ends[0])
    before = shapely.affinity.scale(line, -9, -9, origin=ends[0])
    assert max(far, 0) == pytest.approx(beyond.project(place))
    assert max(-far, 0) == pytest.approx(before.project(place))
    sign = 1 if shapely.LinearRing([*ends, (9, -4)]).is_ccw else -1
    assert off == pytest.approx(sign * (beyond if far > 0 else before).distance(place))
