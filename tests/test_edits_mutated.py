"""Some of the mutated drawings: no crash, and no line across a crease harmless."""

import sys

from conftest import DEEP, ROOT

sys.path.insert(0, str(ROOT / "tests" / "bench"))
from mutated_drawings import KINDS, run

COUNT = 100 if DEEP else 20
"""A hundredth, or a fifth of it: with fewer not every kind is drawn."""


def test_mutated_drawings(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)  # what breaks a promise is kept there
    told = run(COUNT, seed=2, tell=lambda *_: None)
    assert told.broken == []
    assert sum(told.counts.values()) == COUNT
    assert {kind for kind, _ in told.counts} == set(KINDS)
    assert told.of("breaks the support") > 0
    assert told.of("refused") > 0
    assert told.of("different") > 0
