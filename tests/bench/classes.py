"""What it costs to make a frozen dataclass: ours, the standard library's; never a test.

python tests/bench/classes.py
"""

import dataclasses
import time

from cutfiles.dataclass import dataclass

FIELDS = {"a": "float", "b": "str", "c": "float", "d": "float", "e": "tuple[float, ...]", "f": int}


def cost(decorator, count=100, rounds=7):
    """Return the processor time of making a class of six fields, ms; the least of several."""
    times = []
    for _ in range(rounds):
        begun = time.process_time()
        for _ in range(count):
            bare = type("Leg", (), {"__doc__": "A leg.", "__annotations__": FIELDS, "f": 3})
            decorator(frozen=True, slots=True, kw_only=True)(bare)
        times.append(time.process_time() - begun)
    return 1000 * min(times) / count


if __name__ == "__main__":
    ours, usual = cost(dataclass), cost(dataclasses.dataclass)
    print(f"a frozen class: {ours:.2f} ms, of the standard library {usual:.2f} ms")
