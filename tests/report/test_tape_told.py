"""The place told for each tape is the place drawn, in every kind of support and construction."""

import re

import pytest
from conftest import SAMPLES
from pages import text_of
from tilted import BOOKS, slip_of

from cutfiles.bench.slip import read_slip
from cutfiles.draft import draft_of
from cutfiles.errors import DesignError
from cutfiles.pattern.pattern import Role
from cutfiles.plane.measure import chords
from cutfiles.report.printed.bench_card import bench_card
from cutfiles.support.contacts import WIDEST_TAPE
from cutfiles.words.bench import tape_sentence

WAYS = {
    "plain": ("plain", 1, "cut"),
    "lips": ("lips", 1, "cut"),
    "hemmed": ("plain", 1, "folded"),
    "hemmed posts": ("posts", 1, "folded"),
    "three layers": ("plain", 3, "folded"),
}
TOLD = re.compile(
    r"([\d.]+) mm wide, ([\d.]+) mm long; ([\d.]+) mm from its (?:outer|left|right) "
    r"end, ([\d.]+) mm from its edges at head and tail"
)


def edge_over(pattern, x):
    """The head edge at x as drawn: the fold line of a hem, or the outline."""
    hems = [one for one in pattern.flanges if "hem, head" in one.name]
    for one in hems:
        (ax, ay), (bx, _) = one.path.points[0], one.path.points[-1]
        if min(ax, bx) < x < max(ax, bx):
            return ay
    found = []
    for stroke in pattern.of_role(Role.OUTLINE):
        points = chords(stroke.path, 0.001)
        for a, b in zip(points, (*points[1:], points[0]), strict=True):
            if a.x != b.x and min(a.x, b.x) <= x <= max(a.x, b.x):
                found.append(a.y + (x - a.x) / (b.x - a.x) * (b.y - a.y))
    return max(found)


CASES = [
    (number, way)
    for i, number in enumerate(BOOKS)
    for k, way in enumerate(WAYS)
    if number == "RISER" or (i + k) % 3 == 0
]


@pytest.mark.parametrize(("number", "way"), CASES)
def test_told_is_drawn(number, way):
    made, layers, edges = WAYS[way]
    support = {"construction": made, "layers": layers, "edges": edges}
    try:
        draft = draft_of(slip_of(number, support=support))
    except DesignError:
        pytest.skip("not made so")
    pattern, places = draft.pattern, set()
    for stroke in (one for one in pattern.strokes if one.use == "tape"):
        xs, ys = zip(*stroke.path.points, strict=True)
        start, end = pattern.span(stroke.of)
        head = edge_over(pattern, (min(xs) + max(xs)) / 2)
        clear = min(min(xs) - start, end - max(xs))
        told = (max(xs) - min(xs), max(ys) - min(ys), clear, head - max(ys))
        assert told[3] >= 3 - 1e-6
        assert told[0] <= WIDEST_TAPE + 1e-6
        places.add(tuple(f"{value:.1f}" for value in told))
    assert set(TOLD.findall(" ".join(text_of(bench_card(draft))))) == places


def test_no_tape_lies_on_a_hem():
    draft = draft_of(slip_of("RISER", support={"edges": "folded"}))
    pattern = draft.pattern
    hem = next(one for one in pattern.flanges if one.name == "spine hem, head").path.points[0].y
    tape = next(one for one in pattern.strokes if one.use == "tape" and one.of == "spine")
    assert hem - max(point.y for point in tape.path.points) == pytest.approx(13.0)


@pytest.mark.parametrize("number", ["A2", "G1"])
def test_a_panel_taped_on_both_sides_is_told_with_both(number):
    """The riser's tab lies on the base, the other end's tab comes up under it."""
    support = draft_of(read_slip(SAMPLES / f"{number}.toml")).support
    on_base = {
        tape.panel: tape.to_face for tape in support.contacts.tapes if tape.to == "left base"
    }
    assert sorted(on_base.values()) == ["book", "table"]
    said = tape_sentence(support)
    assert "it meets the upper side of the left base," in said
    assert "the right tab the left base's underside." in said
