"""Nesting beside libraries, on published instances: gaps above the best known, in the same run.

    python tests/bench/nesting.py [seconds for CP-SAT]

Strips: ours, rectpack (its best of several algorithms and orders), CP-SAT (Google OR-tools, one
core, with the given time). Sheets: ours and rectpack. Rolls: ours, over the pieces' area. Needs the
test extra.
"""

import sys
import time
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[1] / "film")]
from test_nest import SCALE, SHEETS, STRIPS, instance, large, over_the_area  # noqa: E402

from cutfiles.film.nest import fewest_sheets, shortest_strip  # noqa: E402
from cutfiles.film.rules import EFFORTS  # noqa: E402
from cutfiles.film.skyline import Budget  # noqa: E402


def by_rectpack(pieces, width, height, bins):
    """Height of a strip, or number of sheets, by rectpack; None where it places too few."""
    import rectpack

    best = None
    for algorithm in (rectpack.SkylineBlWm, rectpack.MaxRectsBssf, rectpack.GuillotineBssfSas):
        for order in (rectpack.SORT_AREA, rectpack.SORT_LSIDE, rectpack.SORT_SSIDE):
            packer = rectpack.newPacker(
                pack_algo=algorithm, sort_algo=order, rotation=any(len(p) > 1 for p in pieces)
            )
            for k, variants in enumerate(pieces):
                packer.add_rect(*variants[0], rid=k)
            packer.add_bin(width, height, count=bins)
            packer.pack()
            rects = packer.rect_list()
            if len(rects) == len(pieces):
                found = len(packer) if bins > 1 else max(y + h for _, _, y, _, h, _ in rects)
                best = found if best is None else min(best, found)
    return best


def by_cp_sat(pieces, width, most, seconds):
    """Height of a strip by CP-SAT: no overlap in two dimensions, the height least."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    across, up = [], []
    height = model.new_int_var(0, most, "height")
    for k, variants in enumerate(pieces):
        w, h = variants[0]
        x, y = model.new_int_var(0, width - w, f"x{k}"), model.new_int_var(0, most - h, f"y{k}")
        across.append(model.new_fixed_size_interval_var(x, w, f"a{k}"))
        up.append(model.new_fixed_size_interval_var(y, h, f"u{k}"))
        model.add(y + h <= height)
    model.add_no_overlap_2d(across, up)
    model.minimize(height)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 1
    done = solver.solve(model)
    return solver.value(height) if done in (cp_model.OPTIMAL, cp_model.FEASIBLE) else None


def main():
    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else 1.0
    gaps = {"ours": [], "rectpack": [], "CP-SAT": []}
    for name in STRIPS:
        data, pieces, width, _ = instance(name)
        begin = time.perf_counter()
        placed = shortest_strip(pieces, range(len(pieces)), width, Budget(EFFORTS["usual"]))
        spent = time.perf_counter() - begin
        small = [tuple((w // SCALE, h // SCALE) for w, h in piece) for piece in pieces]
        most = 2 * data["best_known"]
        found = {
            "ours": max(y + h for _, _, y, _, h in placed) / SCALE,
            "rectpack": by_rectpack(small, width // SCALE, 4 * most, 1),
            "CP-SAT": by_cp_sat(small, width // SCALE, most, seconds),
        }
        for who, top in found.items():
            gaps[who].append(None if top is None else top / data["best_known"] - 1)
        shown = ", ".join(
            f"{who} {'none found' if values[-1] is None else format(values[-1], '.2%')}"
            for who, values in gaps.items()
        )
        print(f"{name}: {shown}; ours in {spent:.1f} s")
    for who, all_gaps in gaps.items():
        values = [gap for gap in all_gaps if gap is not None]
        mean = sum(values) / len(values)
        print(
            f"{who}: {len(values)} of {len(all_gaps)} solved, mean gap {mean:.2%}, "
            f"largest {max(values):.2%}"
        )
    for count, goal in ((60, 2.0), (1000, 0.8)):
        found = [over_the_area(large(count, seed), EFFORTS["usual"]) for seed in (1, 2, 3)]
        print(
            f"{count} large pieces that turn: {sum(found) / 3:.2%} over their area (goal {goal} %)"
        )
    over = {"ours": 0, "rectpack": 0}
    for name in SHEETS:
        data, pieces, width, height = instance(name)
        over["ours"] += (
            len(fewest_sheets(pieces, range(len(pieces)), width, height, Budget(EFFORTS["usual"])))
            - data["best_known"]
        )
        over["rectpack"] += by_rectpack(pieces, width, height, len(pieces)) - data["best_known"]
    print(f"sheets over the best known, {len(SHEETS)} instances: {over}")


if __name__ == "__main__":
    main()
