"""Method × direction × face, written out: what the project's notes and the trade say."""

import pytest

from cutfiles.machine.score import METHODS, role_face, worked_face
from cutfiles.pattern.pattern import Role

TABLE = {
    ("impress", "valley"): "book",
    ("impress", "mountain"): "table",
    ("half-cut", "valley"): "table",
    ("half-cut", "mountain"): "book",
    ("channel", "valley"): "table",
    ("channel", "mountain"): "book",
    ("perforate", "valley"): "either",
    ("perforate", "mountain"): "either",
}


@pytest.mark.parametrize(("case", "face"), TABLE.items())
def test_table(case, face):
    assert worked_face(*case, "by method") == face


def test_table_is_whole():
    assert {method for method, _ in TABLE} == set(METHODS)


@pytest.mark.parametrize("method", ["impress", "half-cut", "channel"])
def test_valley_and_mountain_are_worked_from_opposite_faces(method):
    for side in ("by method", "inside", "outside"):
        faces = {worked_face(method, kind, side) for kind in ("valley", "mountain")}
        assert faces == {"book", "table"}


def test_side_overrules_method():
    for method in ("impress", "channel"):
        assert worked_face(method, "valley", "inside") == "book"
        assert worked_face(method, "valley", "outside") == "table"


def test_roles():
    assert role_face(Role.MOUNTAIN, "impress", "by method") == "table"
    assert role_face(Role.VALLEY, "half-cut", "by method") == "table"
    assert role_face(Role.OUTLINE, "impress", "by method") == "either"
    assert role_face(Role.LABEL, "half-cut", "by method") == "book"
