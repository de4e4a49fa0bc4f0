"""How many ways a strip can still move: the rank of what holds it, against numpy's."""

import numpy as np
from conftest import drawn
from hypothesis import example, given, settings
from hypothesis import strategies as st

from cutfiles.support.rigid import rank

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
