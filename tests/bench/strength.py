"""Speed of the verdict, as a ratio to a baseline of the same run; never a test.

    python tests/bench/strength.py [rounds]

verdict:  design and verdict with every stock at hand, over unfolding and checking one pattern.
errors:   what a millimetre does, over the same.
"""

import sys
import time
from pathlib import Path

from cutfiles import assess, error_effects, read_slip
from cutfiles.pattern.checks import check_pattern
from cutfiles.pattern.unfold import unfold
from cutfiles.support.design import design

SAMPLE = Path(__file__).parents[2] / "samples" / "A1.toml"


def best(task, rounds):
    """Return the shortest time of a task, s."""
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        task()
        times.append(time.perf_counter() - start)
    return min(times)


def main():
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 50
    slip = read_slip(SAMPLE)
    support = design(slip)
    baseline = best(lambda: list(check_pattern(unfold(support), support)), rounds)
    tasks = {"verdict": lambda: assess(design(slip)), "errors": lambda: error_effects(support, ())}
    for name, task in tasks.items():
        ours = best(task, rounds)
        print(
            f"{name}: {ours * 1000:.2f} ms / {baseline * 1000:.2f} ms = {ours / baseline:.2f} "
            "(goal 1)"
        )


if __name__ == "__main__":
    main()
