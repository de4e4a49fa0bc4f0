"""How many ways a strip can still move: the rank of what holds it, against numpy's."""

import numpy as np
import pytest
from conftest import drawn
from hypothesis import example, given, settings
from hypothesis import strategies as st

from cutfiles.plane.shapes import Point
from cutfiles.support.rigid import _across, rank

ROWS = st.lists(
    st.dictionaries(st.integers(0, 5), st.sampled_from([-2.0, -1.0, -0.5, 0.25, 1.0, 3.0])),
    max_size=8,
)


@settings(max_examples=drawn(300), deadline=None)
@given(ROWS)
@example([{0: 1.0}, {0: 1.0}])
@example([{}, {3: 1.0}, {3: -1.0, 4: 1.0}, {4: 2.0}])
def test_the_rank_is_what_numpy_finds(rows):
    matrix = np.zeros((len(rows) + 1, 6))
    for i, row in enumerate(rows):
        for column, value in row.items():
            matrix[i, column] = value
    assert rank(rows, 6) == np.linalg.matrix_rank(matrix)


@pytest.mark.parametrize(("rise", "run"), [(3, 4), (-3, 4), (3, -4)])
def test_what_rests_on_a_tilted_panel_slides_along_it_and_does_not_leave_it(rise, run):
    size, x, y = 10.0, 7.0, 5.0
    row = _across(0, 1, Point(x, y), (Point(1, 2), Point(1 + run, 2 + rise)), size)

    def off(dx, dy, turn=0.0):
        return abs(row[0] * dx + row[1] * dy + row[2] * turn)

    assert off(run / 5, rise / 5) == pytest.approx(0.0)
    assert off(-rise / 5, run / 5) == pytest.approx(1.0)
    assert off(y / size, -x / size, 1.0) == pytest.approx(0.0), "a turn about the place itself"
    assert {3 + i: -row[i] for i in range(3)} == {i: row[i] for i in (3, 4, 5)}
