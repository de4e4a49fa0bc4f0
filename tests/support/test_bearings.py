"""What stands bears the end of the board that lies on it."""

import pytest
import tilted

from cutfiles.support.design import design


@pytest.mark.parametrize(("number", "side"), [("RISER", "left"), ("RIGHT", "right")])
def test_a_riser_bears_the_joint_of_its_own_side(number, side):
    """Whichever side is the higher: a riser that bears nothing would be judged by no load."""
    support = design(tilted.slip_of(number))
    borne = {(one.panel, one.side, one.at) for one in support.bearings}
    assert (f"{side} riser", side, "joint") in borne
    assert {name for name, _, _ in borne} == {
        one.name for one in support.profile.panels if one.part in ("leg", "riser")
    }
