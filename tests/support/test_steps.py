"""The fold order leads from the flat piece to the standing support; nothing meets on the way."""

import itertools
import math
from dataclasses import replace

import pytest
from conftest import drawn, sample_slips
from hypothesis import given, settings
from shapely.geometry import LineString
from strategies import slips

from cutfiles.bench.slip import read_slip
from cutfiles.pattern.pattern import Role
from cutfiles.pattern.unfold import unfold
from cutfiles.support.design import design
from cutfiles.support.profile import walk
from cutfiles.support.steps import angles_after, profile_after


@given(slips())
def test_all_steps_together_are_the_standing_support(slip):
    support = design(slip)
    steps = support.steps
    assert profile_after(support.profile, steps) == support.profile
    assert all(fold.angle == 0 for fold in profile_after(support.profile, steps[:1]).folds)
    named = [fold.crease for step in steps for fold in step.folds]
    assert len(named) == len(set(named)), "a crease is folded once"


@given(slips())
def test_every_crease_of_the_pattern_is_folded(slip):
    support = design(slip)
    pattern = unfold(support)
    scored = {
        stroke.name.partition(",")[0]
        for role in (Role.VALLEY, Role.MOUNTAIN)
        for stroke in pattern.of_role(role)
    }
    folded = angles_after(support.steps)
    assert set(folded) == scored
    for crease in pattern.creases:
        assert folded[crease.name] == crease.angle
    assert all(angle == -math.pi for name, angle in folded.items() if "long" in name)


@settings(max_examples=drawn(60))
@given(slips())
def test_no_panel_passes_another_on_the_way(slip):
    """Each step is turned in ten parts; panels that do not join must stay apart."""
    support = design(slip)
    steps = support.steps
    for i, step in enumerate(steps):
        before = profile_after(support.profile, steps[:i])
        after = profile_after(support.profile, steps[: i + 1])
        if step.folds:
            for part in range(1, 10):
                check_apart(support, between(before, after, part / 10))


def between(before, after, share):
    folds = tuple(
        replace(a, angle=a.angle + share * (b.angle - a.angle))
        for a, b in zip(before.folds, after.folds, strict=True)
    )
    return replace(before, folds=folds)


def check_apart(support, profile):
    corners = walk(profile).corners
    names = [panel.name for panel in profile.panels]
    lines = [LineString(pair) for pair in itertools.pairwise(corners)]
    for (a, one), (b, two) in itertools.combinations(list(enumerate(lines)), 2):
        if b - a > 1:
            assert not one.crosses(two), (names[a], names[b])


def test_a_wrong_order_is_noticed():
    """Feet before apexes: fine in the air; apexes the wrong way round: they meet."""
    support = design(read_slip(sample_slips()[0]))
    wrong = tuple(
        replace(fold, angle=-2.9) if fold.name.endswith("apex") else fold
        for fold in support.profile.folds
    )
    with pytest.raises(AssertionError):
        check_apart(support, replace(support.profile, folds=wrong))


@pytest.mark.parametrize("path", sample_slips(), ids=lambda path: path.stem)
def test_order_and_number_of_steps(path):
    support = design(read_slip(path))
    verbs = [step.verb for step in support.steps]
    wanted = ["Lay", "Turn over", "Tuck", "Cover", "Tape", "Turn back"]
    wanted += ["Raise", "Bend", "Turn in", "Fit", "Stick", "Check"]
    if support.film.layers == 1:
        wanted = [verb for verb in wanted if verb not in ("Tuck", "Cover")]
    if "crossed" in support.kind or not support.kind.startswith("level"):
        assert (verbs[0], verbs[-1]) == ("Lay", "Check")
        folded = [fold.crease for step in support.steps for fold in step.folds]
        assert {fold.name for fold in support.profile.folds} <= set(folded)
        taped = [tape for step in support.steps if step.verb == "Stick" for tape in step.taped]
        assert sorted(map(repr, taped)) == sorted(map(repr, support.contacts.tapes))
        return
    assert verbs == wanted
    tabs = [f"{half.side} tab" for half in support.halves if half.stands]
    assert [tape.panel for tape in support.steps[-2].taped] == tabs
