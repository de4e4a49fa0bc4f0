"""5,000 drawn books, each strip closed, rigid and free of crossings; a test runs a hundredth.

    python tests/bench/riser.py [count] [seed]

Every tenth is also folded step by step. Says how many of each kind there were.
"""

import sys
import time
from collections import Counter
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1] / "support"), str(Path(__file__).parents[1])]

from laid_drawn import drawn  # noqa: E402
from test_kinds import check, check_order  # noqa: E402


def main():
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 5000
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    start = time.perf_counter()
    kinds = Counter()
    for wanted, strip in drawn(count, seed):
        check(wanted, strip)
        if not sum(kinds.values()) % 10:
            check_order(strip)
        kinds[strip.kind] += 1
    took = time.perf_counter() - start
    print(f"{count} strips hold, {took:.1f} s: " + ", ".join(f"{n} {k}" for k, n in kinds.items()))


if __name__ == "__main__":
    main()
