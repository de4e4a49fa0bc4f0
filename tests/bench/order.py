"""Travel through many segments over the best found, and what it takes; never a test.

    python tests/bench/order.py [seeds]

travel: our way over the best found: by fast-tsp (test extra) in 15 s, or by us (goal 1.02).
time:   of the processor (goal 2 s), also over that of a greedy order of 200 segments.
"""

import sys
import time
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1] / "machine"), str(Path(__file__).parents[1])]

from test_order_of_work import scattered, yardstick  # noqa: E402

from cutfiles.machine.tour import best_way, way_length  # noqa: E402

SIZES = (200, 500, 1000, 2000)
BESTS = {
    (200, 1): 6205.6,
    (200, 2): 6167.1,
    (500, 1): 9263.6,
    (500, 2): 8765.3,
    (1000, 1): 12452.9,
    (1000, 2): 11912.0,
    (2000, 1): 17076.8,
    (2000, 2): 17289.7,
}
"""By fast-tsp in 15 s, mm: size and seed."""


def measure(count, seed):
    """Return travel over the best found, processor time, s, and time over a bare greedy order."""
    ends = scattered(count, seed)
    begun = time.process_time()
    ours = way_length(ends, best_way(ends, 0j, 0j), 0j, 0j)
    took = time.process_time() - begun
    begun = time.process_time()
    greedy(ends[:200])
    bare = time.process_time() - begun
    best = BESTS.get((count, seed)) or yardstick(ends, 15.0)
    return ours / min(best, ours), took, took / bare


def greedy(ends):
    """Go to the nearest end each time; the plainest order there is."""
    left, at, way = set(range(len(ends))), 0j, []
    while left:
        _, end = min((abs(ends[s][k] - at), 2 * s + k) for s in left for k in (0, 1))
        left.discard(end >> 1)
        way.append(end)
        at = ends[end >> 1][1 - end % 2]
    return way


def main():
    seeds = int(sys.argv[1]) if len(sys.argv) > 1 else 2
    for count in SIZES:
        found = [measure(count, seed) for seed in range(1, seeds + 1)]
        travel = sum(one[0] for one in found) / seeds
        print(
            f"{count} segments: travel {travel:.4f} of the best found (goal 1.02), largest "
            f"{max(one[0] for one in found):.4f}; {max(one[1] for one in found):.2f} s "
            f"(goal 2), {max(one[2] for one in found):.0f} times a greedy order of 200"
        )


if __name__ == "__main__":
    main()
