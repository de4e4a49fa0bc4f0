"""Does the bound of trials keep its promise? Simulated workshops; a hundredth of it runs as a test.

    python tests/bench/trials.py [studios]

Each studio tests n pieces of a kind whose factors are normal in the logarithm, and takes the bound.
The promise: in 95 % of studios at least 95 % of all further pieces carry more. Collapse tests are
drawn with a true spread of 0.05 to 0.30; "stood" rows, which assume a spread of 0.15, with 0.05 to
0.15, and with more shown to say what breaks.
"""

import math
import random
import sys
from statistics import NormalDist

from cutfiles.support.trials import factor_for

SPREADS = (0.05, 0.10, 0.15, 0.20, 0.25, 0.30)
COUNTS = (3, 4, 5, 6, 8, 10)
MEAN = math.log(3.0)
"""High enough that no piece collapses under 0.95: unsafe kinds have a rule of their own."""
_NORMAL = NormalDist()


def draw(dice):
    """A standard normal number, from `random` alone, the same in every release."""
    return _NORMAL.inv_cdf(min(max(dice.random(), 1e-12), 1 - 1e-12))


def collapsing(dice, count, spread):
    return [("collapsed", math.exp(MEAN + spread * draw(dice))) for _ in range(count)]


def standing(dice, count, spread):
    """Tests to one load; None where a piece did not stand and no claim is made."""
    load = math.exp(MEAN + 1.2 * spread * (dice.random() - 1.0))
    pieces = [math.exp(MEAN + spread * draw(dice)) for _ in range(count)]
    return [("stood", load)] * count if min(pieces) >= load else None


def kept_promises(studios, seed=1, spreads=SPREADS):
    """Yield rule, true spread, studios whose bound held, studios."""
    for spread in spreads:
        point = math.exp(MEAN - _NORMAL.inv_cdf(0.95) * spread)
        for rule, test in (("collapses", collapsing), ("stood", standing)):
            if rule == "stood" and spread > 0.15:
                continue
            dice = random.Random(f"{seed} {rule} {spread}")
            kept = total = 0
            for _ in range(studios):
                for count in COUNTS:
                    rows = test(dice, count, spread)
                    total += 1
                    kept += rows is None or factor_for(rows).bound <= point
            yield rule, spread, kept, total


def main():
    studios = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    print(f"{studios} studios for each number of tests {COUNTS}; promise 0.950")
    for rule, spread, kept, total in kept_promises(studios):
        error = 3 * math.sqrt(0.95 * 0.05 / total)
        mark = "" if kept / total >= 0.95 - error else "   BROKEN"
        print(f"{rule:10} spread {spread:.2f}: held in {kept / total:.4f} ± {error:.4f}{mark}")


if __name__ == "__main__":
    main()
