"""The scenario books: construction chosen, capacity over load, as a table.

    python tests/bench/scenarios.py

Laid out by the published rules (tests/support/stands.py), the tilt column taken as a step; weights
as estimated in the list; where the tape on tabs of 12 does not hold, tabs of up to 18.
"""

import csv
import math
import sys
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "support"))
from stands import Bound, stand_of

from cutfiles.support.choose import choose, fewest_kinds
from cutfiles.support.judge import AtHand, judge_all
from cutfiles.support.limits import check_practice

LIST = Path(__file__).parents[2] / "samples" / "lists" / "scenarios.csv"
LIMP = ("limp", "paper wrapper", "paperback", "paper covers")
FILMS = tuple(AtHand(f"{mil} mil", mil * 0.0254) for mil in (3, 4, 5, 7, 10))


def book_of(row):
    number = {key: float(row[key] or 0) for key in row if key.endswith(("_mm", "_deg", "_g"))}
    limp = any(
        word in row["binding"] for word in ("limp", "paper wrapper", "paperback", "paper cov")
    )
    return Bound(
        height=number["height_mm"],
        widths=(number["left_board_mm"], number["right_board_mm"]),
        spine=number["spine_mm"],
        slopes=(number["left_slope_deg"], number["right_slope_deg"]),
        weight=number["est_weight_g"],
        sides=(number["left_side_mm"], number["right_side_mm"]),
        cover="limp" if limp else "boards",
        step=number["spine_mm"] * math.sin(math.radians(number["spine_tilt_deg"])),
        stiff_board=2.0 if limp else 0.0,
    )


def rows():
    """Yield each book's row, its Bound, and every way judged; None where it lies closed."""
    with LIST.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            book = book_of(row)
            closed = not any(book.slopes)
            ways = () if closed else judged_ways(book)
            if not closed and choose(ways) is None:
                longer = replace(book, tab=18.0)
                if choose(judged_ways(longer)) is not None:
                    book, ways = longer, judged_ways(longer)
            yield row["support_no"], None if closed else book, ways


def judged_ways(book):
    return judge_all(lambda layers, gauge: stand_of(book, layers, gauge), FILMS)


def told(one):
    posts = f" {one.posts}" if one.posts else ""
    return f"{one.way.film.name:6} {one.way.construction}{posts}, {one.way.edge}"


def main():
    print(
        "no.  kind           mass  load N  chosen                     C/F   folds  film g  practice"
    )
    judged = {}
    for number, book, ways in rows():
        if book is None:
            print(f"{number:4} closed: no opening to support")
            continue
        slopes = {str(i): math.radians(slope) for i, slope in enumerate(book.slopes)}
        beyond = [
            f"{check.name} {check.measured:.4g}: {check.state}"
            for check in check_practice(book.height, book.weight, slopes)
            if check.state != "adequate"
        ]
        kind = stand_of(book, 1, 0.127).kind
        choice = choose(ways)
        judged[number] = ways
        if choice is None:
            best = max(ways, key=lambda one: one.sure)
            why = {check.name for one in ways for check in one.checks if check.share > 1}
            print(
                f"{number:4} {kind:14} {book.weight:4.0f}          none; best {told(best)} "
                f"{best.sure:.2f}; fails: {', '.join(sorted(why)) or 'legs'}  {'; '.join(beyond)}"
            )
            continue
        one = choice.chosen
        load = max(leg.load for leg in one.legs)
        if book.tab > 12:
            beyond.append("tab 18: 6 mm of tape does not hold the base")
        print(
            f"{number:4} {kind:14} {book.weight:4.0f}  {load:6.2f}  {told(one):25} {one.sure:5.2f}"
            f"  {one.folds:5}  {one.grams:6.1f}  {'; '.join(beyond)}"
        )
    kinds = fewest_kinds(judged)
    print(
        f"fewest kinds of film for all that can be served: {', '.join(kinds.films)}, "
        f"{kinds.cost:.0f} g; not served: {', '.join(kinds.unserved) or 'none'}"
    )


if __name__ == "__main__":
    main()
