"""Travel order, as ratios to a baseline measured in the same run; never a test.

    python tests/bench/order.py [rounds]

travel:  our way through 200 segments over the one fast-tsp finds in 2 s (goal 1.03).
time:    our search over a bare two-opt in the same language (goal 4).
"""

import sys
import time
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1] / "machine"), str(Path(__file__).parents[1])]

from test_order_of_work import scattered, yardstick  # noqa: E402

from cutfiles.machine.tour import best_way, way_length  # noqa: E402


def greedy(ends):
    """Go to the nearest end each time; the plainest order there is."""
    left, at, way = set(range(len(ends))), 0j, []
    while left:
        _, end = min((abs(ends[s][k] - at), 2 * s + k) for s in left for k in (0, 1))
        left.discard(end >> 1)
        way.append(end)
        at = ends[end >> 1][1 - end % 2]
    return way


def two_opt(ends, way):
    """Turn runs around as long as that helps, looking at all pairs."""
    better = True
    while better:
        better = False
        for i in range(len(way)):
            for j in range(i + 1, len(way)):
                before = 0j if i == 0 else ends[way[i - 1] >> 1][1 - way[i - 1] % 2]
                after = 0j if j + 1 == len(way) else ends[way[j + 1] >> 1][way[j + 1] % 2]
                a, b = ends[way[i] >> 1][way[i] % 2], ends[way[j] >> 1][1 - way[j] % 2]
                if abs(before - b) + abs(a - after) < abs(before - a) + abs(b - after) - 1e-9:
                    way[i : j + 1] = [end ^ 1 for end in reversed(way[i : j + 1])]
                    better = True
    return way


def main():
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    for seed in range(rounds):
        ends = scattered(200, seed)
        start = time.perf_counter()
        ours = way_length(ends, best_way(ends, 0j, 0j), 0j, 0j)
        took = time.perf_counter() - start
        first = greedy(ends)
        nearest = way_length(ends, first, 0j, 0j)
        start = time.perf_counter()
        plain = way_length(ends, two_opt(ends, first), 0j, 0j)
        plainly = time.perf_counter() - start
        best = min(yardstick(ends, 2.0), ours)
        print(
            f"seed {seed}: travel {ours / best:.4f} (goal 1.03; greedy {nearest / best:.2f}, "
            f"two-opt {plain / best:.2f}), {took:.2f} s, time {took / plainly:.2f} of two-opt"
        )


if __name__ == "__main__":
    main()
