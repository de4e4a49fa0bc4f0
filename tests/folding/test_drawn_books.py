"""A hundredth of the bench of drawn books: every construction folds from its files."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "bench"))
from fold_constructions import count


def test_three_drawn_books_fold_in_every_construction():
    folded, _, found = count(3)
    assert found == []
    assert folded >= 15
