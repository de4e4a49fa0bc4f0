"""A few of the mutated drawings: no crash, and no line across a crease harmless."""

import sys

from conftest import ROOT, drawn

sys.path.insert(0, str(ROOT / "tests" / "bench"))
from mutated_drawings import run


def test_mutated_drawings():
    outcomes, _ = run(drawn(30), seed=2, tell=lambda *_: None)
    assert sum(outcomes.values()) == drawn(30)
    assert outcomes["breaks the support"] > 0
    assert outcomes["harmless"] + outcomes["look at it"] + outcomes["refused"] > 0
