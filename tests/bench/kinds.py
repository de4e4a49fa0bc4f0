"""5,000 drawn slips, each support closed, rigid, folded from SVG and DXF; a test runs a hundredth.

    python tests/bench/kinds.py [count] [seed]

Says how many of each kind there were.
"""

import sys
import time
from collections import Counter
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1] / "support"), str(Path(__file__).parents[1])]

from test_from_slips import check, drawn  # noqa: E402


def main():
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 5000
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    start, kinds = time.perf_counter(), Counter()
    for values, draft in drawn(count, seed):
        try:
            check(draft)
        except AssertionError:
            print(values)
            raise
        kinds[draft.support.kind] += 1
    took = time.perf_counter() - start
    print(
        f"{count} supports hold, {took:.1f} s: " + ", ".join(f"{n} {k}" for k, n in kinds.items())
    )


if __name__ == "__main__":
    main()
