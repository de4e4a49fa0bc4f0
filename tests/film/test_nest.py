"""Nesting: published instances against the best known, real films, and the independent checker.

The instances and their best known values come from the collection named in each file; the films and
parts called real are made up. `tests/bench/nesting.py` runs libraries on the same instances.
"""

import inspect
import json
import os
import random
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from conftest import DEEP, drawn
from hypothesis import given, settings
from hypothesis import strategies as st

from cutfiles.bench.at_hand import Supply
from cutfiles.dice import Dice
from cutfiles.errors import ReadingError
from cutfiles.film import nest
from cutfiles.film.beam import Beam
from cutfiles.film.layout import Piece, lay_out, offcuts
from cutfiles.film.layout_check import Ground, Lying, Wanted, layout_faults
from cutfiles.film.nest import fewest_sheets, shortest_strip
from cutfiles.film.parts import MOST_TOGETHER
from cutfiles.film.rules import EFFORTS, Rules
from cutfiles.film.skyline import Budget

QUICK, USUAL = EFFORTS["quick"], EFFORTS["usual"]
SEARCHED = USUAL if DEEP else USUAL // 4
"""Work for the published strips and real rolls: a quarter of the usual reaches their goals too."""
INSTANCES = Path(__file__).parent / "nesting"
SCALE = 100


def instance(name):
    """An instance in whole numbers, its parts shuffled; spacing is added to parts and film."""
    data = json.loads((INSTANCES / f"{name}.json").read_text())
    spacing, margin = data.get("spacing", 0), data.get("margin", 0)
    fixed = data.get("fixed") or [0 if data["rotation"] else 1] * data["n"]
    parts = [
        (round((w + spacing) * SCALE), round((h + spacing) * SCALE), bool(stays))
        for (w, h), stays in zip(data["items"], fixed, strict=True)
    ]
    random.Random(5).shuffle(parts)
    pieces = [((w, h),) if stays or w == h else ((w, h), (h, w)) for w, h, stays in parts]
    room = [
        round((data[k] - 2 * margin + spacing) * SCALE) if data.get(k) else None for k in ("W", "H")
    ]
    return data, pieces, *room


def assert_sound(pieces, sheets, width, height):
    """By its own means: each piece once, in one of its ways, inside, none over another."""
    assert sorted(k for sheet in sheets for k, *_ in sheet) == list(range(len(pieces)))
    for sheet in sheets:
        for k, x, y, w, h in sheet:
            assert (w, h) in pieces[k]
            assert min(x, y) >= 0
            assert x + w <= width
            assert height is None or y + h <= height
        for i, (_, x, y, w, h) in enumerate(sheet):
            for _, x2, y2, w2, h2 in sheet[i + 1 :]:
                assert x + w <= x2 or x2 + w2 <= x or y + h <= y2 or y2 + h2 <= y


STRIPS = sorted(path.stem for path in INSTANCES.glob("strip_*.json"))
SHEETS = sorted(path.stem for path in INSTANCES.glob("bpp*.json"))


def test_strips_come_near_the_best_known():
    """Goal: a mean gap of 0.6 %, none above 3.4 %, at about a second and a half a strip.

    Every second strip has a mean of 0.2 %; all are laid out where properties are asked in full,
    with all of the usual work.
    """
    gaps = {}
    for name in STRIPS if DEEP else STRIPS[::2]:
        data, pieces, width, _ = instance(name)
        placed = shortest_strip(pieces, range(len(pieces)), width, Budget(SEARCHED))
        assert_sound(pieces, [placed], width, None)
        gaps[name] = max(y + h for _, _, y, _, h in placed) / SCALE / data["best_known"] - 1
    assert min(gaps.values()) >= 0, gaps
    assert sum(gaps.values()) / len(gaps) <= (0.006 if DEEP else 0.002), gaps
    assert max(gaps.values()) <= 0.034, gaps


def test_sheets_come_near_the_best_known():
    """Goal: at most one sheet over the best known, all instances together; every second here."""
    over = {}
    for name in SHEETS if DEEP else SHEETS[::2]:
        data, pieces, width, height = instance(name)
        sheets = fewest_sheets(pieces, range(len(pieces)), width, height, Budget(SEARCHED))
        assert_sound(pieces, sheets, width, height)
        over[name] = len(sheets) - data["best_known"]
    assert min(over.values()) >= 0, over
    assert sum(over.values()) <= 1, over


@pytest.mark.parametrize(("name", "goal"), [("real_roll_20", 0.93), ("real_roll_200", 0.96)])
def test_rolls_are_used_well(name, goal):
    """Goal: area of the parts over width times length, margins and spacing counted as waste."""
    data, pieces, width, _ = instance(name)
    placed = shortest_strip(pieces, range(len(pieces)), width, Budget(SEARCHED))
    assert_sound(pieces, [placed], width, None)
    top = max(y + h for _, _, y, _, h in placed) / SCALE
    length = top - data["spacing"] + 2 * data["margin"]
    assert data["area"] / (data["W"] * length) >= goal


def large(count, seed):
    """Large pieces that may turn, none as wide as half a roll and long, with room beside them."""
    draw = random.Random(seed)
    sides = [(250 + 330 * draw.random(), 320 + 600 * draw.random()) for _ in range(count)]
    return [
        ((w, h), (h, w))
        for w, h in ((round(2 * w) * 50 + 300, round(2 * h) * 50 + 300) for w, h in sides)
    ]


def over_the_area(pieces, effort):
    """How much longer than its pieces' area a roll of 1016 mm is; the layout is held sound."""
    width = (1016 - 10 + 3) * SCALE
    placed = shortest_strip(pieces, range(len(pieces)), width, Budget(effort))
    assert_sound(pieces, [placed], width, None)
    area = sum(w * h for (w, h), _ in pieces)
    return max(y + h for _, _, y, _, h in placed) * width / area - 1


@pytest.mark.parametrize(("count", "most"), [(60, 0.02), (200, 0.017)])
def test_large_pieces_that_turn_lie_close(count, most):
    """By the skyline alone they lie 3.5 and 2.3 % over their area, with as much work."""
    assert over_the_area(large(count, 1), QUICK * 4) <= most


@pytest.mark.parametrize("count", [1, 30, 150, 400])
def test_a_search_that_goes_on_gets_shorter_and_stays_sound(count):
    """All laid in many ways; only the last of many; more than are looked at for one place."""
    pieces = large(count, 2)
    width = (1016 - 10 + 3) * SCALE
    beam, tops = Beam(pieces, range(count), width), []
    for work in (0, QUICK, QUICK):
        found = beam.search(Budget(work))
        assert_sound(pieces, [found.placed], width, None)
        assert found.top == max(y + h for _, _, y, _, h in found.placed)
        assert found.waste == found.top * width - sum(w * h for *_, w, h in found.placed)
        tops.append(found.top)
    assert tops == sorted(tops, reverse=True)
    assert tops[-1] < tops[0] or count in (1, 400)


def test_a_search_ends_where_nothing_is_wasted():
    """Four squares fill a strip to the last: no work is left to do."""
    beam, budget = Beam([((5, 5),)] * 4, range(4), 10), Budget(USUAL)
    assert beam.search(budget).top == 10
    assert budget.left > 0.99 * USUAL


def test_the_dice_are_the_standard_generator():
    """Python promises the numbers of ``Random(7).random()``; these are its first eight."""
    dice = Dice(7)
    assert [dice.below(1000) for _ in range(8)] == [323, 150, 650, 72, 535, 365, 57, 507]
    assert sorted(dice.shuffled(range(50))) == list(range(50))


def two_layouts(sheet, strip):
    """What two layouts of 60 and 20 pieces come to, each with work of its own."""
    return (
        fewest_sheets(sheet[0], range(60), *sheet[1:], Budget(QUICK)),
        shortest_strip(strip[0], range(20), strip[1], Budget(QUICK)),
    )


_AGAIN = """
import sys
from cutfiles.film.nest import fewest_sheets, shortest_strip
from cutfiles.film.skyline import Budget
"""


def test_the_same_layout_in_every_process():
    """Here hashes are salted by chance, there by a number, and nothing was nested before."""
    sheet, strip = instance("real_sheet_60")[1:], instance("strip_N2")[1:3]
    here = two_layouts(sheet, strip)
    source = f"{_AGAIN}QUICK = {QUICK}\n{inspect.getsource(two_layouts)}"
    there = subprocess.run(
        [sys.executable, "-c", f"{source}\nprint(two_layouts(*eval(sys.stdin.read())))"],
        input=repr((sheet, strip)),
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "PYTHONHASHSEED": "4711", "PYTHONPATH": os.pathsep.join(sys.path)},
    ).stdout
    assert there == f"{here}\n"
    assert there.count("(") > 80


SIDES = st.integers(1, 40)


@settings(max_examples=drawn(60))
@given(st.lists(st.tuples(SIDES, SIDES, st.booleans()), min_size=1, max_size=30))
def test_any_pieces_lie_soundly(parts):
    pieces = [((w, h),) if stays else ((w, h), (h, w)) for w, h, stays in parts]
    placed = shortest_strip(pieces, range(len(pieces)), 40, Budget(20_000))
    assert_sound(pieces, [placed], 40, None)
    sheets = fewest_sheets(pieces, range(len(pieces)), 40, 45, Budget(20_000))
    assert_sound(pieces, sheets, 40, 45)


# -- film ------------------------------------------------------------------------------------------


def film(form, width, length=None, **more):
    return Supply(
        form=form,
        name=more.pop("name", form),
        gauge=more.pop("gauge", 0.127),
        width=width,
        length=length,
        **more,
    )


def piece(name, width, height, count=1, gauge=0.127):
    return Piece(name=name, width=width, height=height, gauge=gauge, count=count)


LITTLE = Rules(effort=QUICK)


def test_offcuts_go_first_then_sheets_then_rolls():
    films = [
        film("offcut", 450, 350, count=1),
        film("sheet", 610, 1016, count=1),
        film("roll", 1016),
    ]
    pieces = [
        piece("a", 400, 300),
        piece("b", 580, 480),
        piece("c", 580, 480),
        piece("d", 900, 700),
    ]
    done = lay_out(pieces, films, LITTLE)
    lying = {s.film.form: sorted(p.name for p in s.pieces) for s in done.sheets}
    assert lying == {"offcut": ["a"], "sheet": ["b", "c"], "roll": ["d"]}
    assert done.unplaced == ()


def test_nested_in_several_processes_the_layout_is_the_same():
    """All that is nested first is handed out at once, and nothing of it is nested twice."""
    some = random.Random(5)
    films = [
        film("sheet", 610, 1016, count=2),
        film("roll", 1016),
        film("roll", 800, gauge=0.0762, name="thin"),
    ]
    pieces = [
        replace(
            piece(f"{i}", some.randint(150, 560), some.randint(60, 180), gauge=gauge),
            apart=not i % 7,
        )
        for i, gauge in enumerate([0.127] * 20 + [0.0762] * (MOST_TOGETHER + 80))
    ]
    handed = []

    def spread(work, tasks):
        handed.extend(tasks)
        return map(work, handed)

    whole = lay_out(pieces, films, LITTLE, spread)
    assert whole == lay_out(pieces, films, LITTLE)
    assert sorted(len(part.pieces) for part in handed) == [3, 17, 55, 162, 163]
    assert sum(len(sheet.pieces) for sheet in whole.sheets) == len(pieces)


def test_gauges_do_not_share_film():
    films = [film("roll", 1016, name="5"), film("roll", 610, gauge=0.0762, name="3")]
    done = lay_out([piece("a", 400, 300, 3), piece("b", 400, 300, gauge=0.0762)], films, LITTLE)
    assert {s.film.name: [p.name for p in s.pieces] for s in done.sheets} == {
        "3": ["b"],
        "5": ["a", "a", "a"],
    }


def test_the_grain_forbids_turning():
    films = [film("roll", 500, creases="along")]
    done = lay_out([piece("a", 600, 200)], films, LITTLE)
    assert done.sheets == ()
    assert "the nearest film, roll, holds 500 × 1500 mm" in done.unplaced[0].found
    assert "at least 220 × 620 mm" in done.unplaced[0].needed
    turned = lay_out([piece("a", 600, 200)], [film("roll", 500, creases="across")], LITTLE)
    assert [p.turned for p in turned.sheets[0].pieces] == [True]


def test_what_runs_out_is_told():
    done = lay_out([piece("a", 400, 300, 5)], [film("sheet", 450, 650, count=1)], LITTLE)
    assert len(done.sheets) == 1
    assert [u.found for u in done.unplaced] == ["not enough film"] * 3
    done = lay_out([piece("a", 400, 300, 5)], [film("roll", 450, 700)], LITTLE)
    assert sum(s.height for s in done.sheets) <= 700
    assert len(done.unplaced) == 3


def test_rests_of_sheets_are_kept():
    done = lay_out([piece("a", 400, 300)], [film("sheet", 610, 1016)], LITTLE)
    (rest,) = offcuts(dict(enumerate(done.sheets, 1)), LITTLE, "show")
    assert (rest.width, rest.length, rest.left_by) == (610, 703, "show")


def test_bed_limits_the_sheets():
    rules = Rules(effort=QUICK, bed=(600, 400))
    done = lay_out([piece("a", 500, 300, 4)], [film("roll", 1016)], rules)
    assert [(s.width, s.height) for s in done.sheets] == [(600, 320)] * 4


@settings(max_examples=drawn(40))
@given(
    st.lists(st.tuples(st.integers(40, 900), st.integers(40, 500), st.integers(1, 3)), max_size=12),
    st.sampled_from(["any", "along", "across"]),
    st.integers(0, 12),
)
def test_every_layout_passes_the_checker(parts, creases, spacing):
    pieces = [piece(f"p{i}", w / 1.7, h / 1.3, n) for i, (w, h, n) in enumerate(parts)]
    films = [film("offcut", 300, 400, count=2, creases=creases), film("roll", 610, creases=creases)]
    rules = Rules(effort=50_000, spacing=spacing)
    done = lay_out(pieces, films, rules)
    assert sum(len(s.pieces) for s in done.sheets) + len(done.unplaced) == sum(
        p.count for p in pieces
    )
    turns = {"any": (False, True), "along": (False,), "across": (True,)}[creases]
    for i, sheet in enumerate(done.sheets):
        own = {
            p.name: Wanted(n, p.width, p.height, turns)
            for p in pieces
            if (n := sum(one.name == p.name for one in sheet.pieces))
        }
        ground = Ground(f"sheet {i}", sheet.width, sheet.height, sheet.pieces)
        assert list(layout_faults(own, [ground], rules.margin, spacing)) == []


GOOD = Ground(
    "s", 500, 400, (Lying("a", 10, 10, 100, 50, False), Lying("b", 113, 10, 60, 80, True))
)
WANTED = {"a": Wanted(1, 100, 50, (False,)), "b": Wanted(1, 80, 60, (False, True))}


def test_checker_passes_what_is_sound():
    assert list(layout_faults(WANTED, [GOOD], 10, 3)) == []


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ((0, {"left": 9.9}), "over the margin"),
        ((1, {"left": 112.0}), "2.000 mm apart"),
        ((1, {"left": 20}), "apart"),
        ((0, {"turned": True}), "another size"),
        ((0, {"turned": True, "width": 50, "height": 100}), "against the grain"),
        ((0, {"width": 99}), "another size"),
        ((1, {"left": 440}), "over the margin"),
        ((1, {"bottom": 320}), "over the margin"),
        ((0, {"name": "c"}), "c lies 1 times"),
    ],
)
def test_checker_names_each_fault(change, said):
    which, what = change
    pieces = list(GOOD.pieces)
    pieces[which] = pieces[which]._replace(**what)
    faults = list(layout_faults(WANTED, [GOOD._replace(pieces=tuple(pieces))], 10, 3))
    assert any(said in fault for fault in faults), faults


def test_checker_counts():
    faults = list(layout_faults(WANTED, [GOOD, GOOD], 10, 3))
    assert faults == ["a lies 2 times, should lie 1 times", "b lies 2 times, should lie 1 times"]


@pytest.mark.parametrize("seed", range(4))
def test_few_pieces_are_tried_in_every_order(seed, monkeypatch):
    """As short as the search finds with a hundred times the work."""
    draw = random.Random(seed)
    sides = [(draw.randrange(200, 700), draw.randrange(100, 400)) for _ in range(2 + seed % 4)]
    pieces = [((w, h), (h, w)) for w, h in sides]

    def top(placed):
        return max(y + h for _, _, y, _, h in placed)

    budget = Budget(QUICK)
    few = top(shortest_strip(pieces, range(len(pieces)), 1016, budget))
    assert budget.left > 0.9 * QUICK
    monkeypatch.setattr(nest, "FEW", 0)
    assert few <= top(shortest_strip(pieces, range(len(pieces)), 1016, Budget(QUICK)))


def test_a_margin_leaves_room_for_the_marks():
    """Pin holes and crosses stand in it: with 4 mm every sheet would be left without its passes."""
    with pytest.raises(ReadingError, match="found 4 mm; margin from 5 to 200 mm"):
        Rules(margin=4.0)
    assert Rules(margin=5.0).margin == 5.0
