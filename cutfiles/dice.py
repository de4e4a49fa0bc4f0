"""Chance for searches: the same throws on every machine and in every release of Python."""

import random
from collections.abc import Sequence


class Dice:
    """Throws from a seed.

    Only `random.Random(seed).random()` is drawn on: its numbers are the same in every release,
    which the other methods do not promise (Python documentation, "Notes on Reproducibility").

    >>> Dice(1).below(10), Dice(1).shuffled([1, 2, 3])
    (1, [3, 2, 1])
    """

    def __init__(self, seed: int = 1) -> None:
        self._throw = random.Random(seed).random

    def below(self, count: int) -> int:
        """Return a number from 0 to count − 1."""
        return int(self._throw() * count)

    def shuffled(self, items: Sequence[int]) -> list[int]:
        """Return the items in another order."""
        out = list(items)
        for i in range(len(out) - 1, 0, -1):
            j = self.below(i + 1)
            out[i], out[j] = out[j], out[i]
        return out
