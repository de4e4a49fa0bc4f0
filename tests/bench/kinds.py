"""5,000 drawn slips, each support closed, rigid, uncrossed, folded from SVG and DXF.

    python tests/bench/kinds.py [count] [seed] [from]

Each is made as choosing finds it for its film. Says how far it is, names every slip that fails and
goes on, and how many of each kind and construction there were; with `from` it begins at that book.
A test runs a hundredth.
"""

import sys
import time
from collections import Counter
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1] / "support"), str(Path(__file__).parents[1])]

from test_from_slips import check, drawn  # noqa: E402

CHUNK = 100


def main():
    given = [int(argument) for argument in sys.argv[1:]]
    count, seed, first = (*given, *(5000, 1, 0)[len(given) :])
    start, kinds, ways, failed = time.perf_counter(), Counter(), Counter(), 0
    for done in range(first, count, CHUNK):
        # each hundred has a seed of its own, so that any of them can be run again
        for values, draft in drawn(min(CHUNK, count - done), f"{seed}-{done}"):
            kinds[draft.support.kind] += 1
            ways[", ".join(draft.verdict.made.way[1:])] += 1
            try:
                check(draft)
            except AssertionError as error:
                failed += 1
                print(f"FAILED: {values}\n{error}", flush=True)
        took = time.perf_counter() - start
        print(f"{min(done + CHUNK, count)} of {count}, {failed} failed, {took:.0f} s", flush=True)
    for counted in (kinds, ways):
        print("; ".join(f"{number} {name}" for name, number in sorted(counted.items())))
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
