"""A hundredth of the mutated drawings: no crash, and no line across a crease harmless."""

import sys

from conftest import ROOT, drawn

sys.path.insert(0, str(ROOT / "tests" / "bench"))
from mutated_drawings import KINDS, run


def test_mutated_drawings(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)  # what breaks a promise is kept there
    told = run(drawn(100), seed=2, tell=lambda *_: None)
    assert told.broken == []
    assert sum(told.counts.values()) == drawn(100)
    assert {kind for kind, _ in told.counts} == set(KINDS)
    assert told.of("breaks the support") > 0
    assert told.of("refused") > 0
    assert told.of("different") > 0
