"""What is fast and what is not, in one table with goals beside; never a test.

    python tests/bench/table.py [books] [more books]

Processor time, its own and the system's, as a ratio to a baseline of the same run where it says so;
wall time only for exhibits. Growth is told between two sizes (20 and 100 books, unless named; 100
and 3,000 to see it in full), 1,000 books are told at the pace of the larger.
"""

import gc
import sys
import time
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parent), str(Path(__file__).parents[1] / "film")]
import exhibits  # noqa: E402
import order  # noqa: E402
import startup  # noqa: E402
from test_nest import SCALE, STRIPS, instance, large, over_the_area  # noqa: E402

from cutfiles.film.nest import shortest_strip  # noqa: E402
from cutfiles.film.rules import EFFORTS  # noqa: E402
from cutfiles.film.skyline import Budget  # noqa: E402

WORKERS = 2


def of_exhibits(few, many):
    """Rows of 1,000 books at the pace of many, and of what grows between few and many."""
    small, large_ = (exhibits.child("--one", count, WORKERS) for count in (few, many))
    more = many - few
    grown = (large_["memory"][0] - small["memory"][0]) * 1000 / more
    yield "1,000 books, everything, s of the processor", large_["cpu"] / many * 1000, None
    yield "1,000 books, two workers, s", large_["wall"] / many * 1000, 60
    yield "a second run of them, s", large_["second"] / many * 1000, None
    yield "parent's memory, kB a book", grown, 0
    yield "files of a book, kB", large_["size"] * 1000 / many, 200


def of_films():
    """Rows of nesting: strips over the best known, rolls over their pieces' area, in per cent."""
    gaps = []
    for name in STRIPS:
        data, pieces, width, _ = instance(name)
        placed = shortest_strip(pieces, range(len(pieces)), width, Budget(EFFORTS["usual"]))
        gaps.append(max(y + h for _, _, y, _, h in placed) / SCALE / data["best_known"] - 1)
    yield "strips over the best known, %", 100 * sum(gaps) / len(gaps), 0.6
    for count, goal in ((60, 2.0), (1000, 0.8)):
        found = [over_the_area(large(count, seed), EFFORTS["usual"]) for seed in (1, 2, 3)]
        mean = sum(found) / len(found)
        yield f"{count} large pieces that turn, over their area, %", 100 * mean, goal


def of_travel():
    """Rows of travel over the best found, in per cent, and the processor time it takes."""
    for count in (500, 1000, 2000):
        found = [order.measure(count, seed) for seed in (1, 2)]
        travel = sum(one[0] for one in found) / len(found)
        yield f"travel, {count} segments, over the best found, %", 100 * (travel - 1), 2
        yield f"travel, {count} segments, s of the processor", max(one[1] for one in found), 2


def picture_time(path, rounds=20):
    """Return what a slip's draft and standing picture take, ms; the least of several.

    Circles are looked for as seldom as in the process that draws the desk's picture.
    """
    from cutfiles.bench.slip import read_slip
    from cutfiles.draft import draft_of
    from cutfiles.report.pictures.standing import standing_picture

    slip = read_slip(path)
    seldom, usual = (200_000, 20, 20), gc.get_threshold()
    gc.set_threshold(*seldom)
    times = []
    for _ in range(rounds):
        begun = time.process_time()
        draft = draft_of(slip)
        standing_picture(draft.support, draft.verdict)
        times.append(time.process_time() - begun)
    gc.set_threshold(*usual)
    return 1000 * min(times)


def of_the_picture():
    """Rows of the live picture: a draft and its standing picture, of each sample."""
    for path in sorted(startup.SAMPLE.parent.glob("*.toml")):
        goal = 10 if path == startup.SAMPLE else None
        yield f"draft and standing picture of {path.stem}, ms", picture_time(path), goal


def rows(few, many):
    """Yield what is measured, the measure and its goal, None without one."""
    yield from startup.ratios(5)
    yield from of_the_picture()
    yield from of_travel()
    yield from of_films()
    yield from of_exhibits(few, many)


def main():
    few, many = [int(word) for word in sys.argv[1:]] or (20, 100)
    for name, found, goal in rows(few, many):
        told = "" if goal is None else f"goal {goal:g}" + ("" if found <= goal else "  missed")
        print(f"{name:<52} {found:>9.2f}   {told}", flush=True)


if __name__ == "__main__":
    main()
