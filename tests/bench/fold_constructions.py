"""Drawn books in every construction, folded from the written SVG and DXF: all must fold.

    python tests/bench/fold_constructions.py [books]

For each book and construction: the file folds into its support with nothing found, every post
judged is drawn and folds to a closed tube. A hundredth of it runs as a test.
"""

import random
import sys

from cutfiles.bench.slip import slip_from
from cutfiles.draft import draft_of
from cutfiles.errors import DesignError
from cutfiles.files.fold_check import check_reading
from cutfiles.files.formats import FORMATS, Options, write_drawing
from cutfiles.support.ways import AtHand, any_way, ways

KEYS = ("svg", "dxf-r2000")
WAYS = sorted(
    (way.construction, way.edge)
    for way in ways(any_way(AtHand("5 mil", 0.127)), "side by side", "boards")
)


def draw(dice):
    """A book within practice, one in three on a riser."""
    height = 60 + 190 * dice.random()
    width = (0.5 + 0.4 * dice.random()) * height + 10
    spine = 6 + 40 * dice.random()
    step = spine * 0.5 * dice.random() if dice.random() < 1 / 3 else 0.0
    return {
        "number": "D1",
        "units": "mm",
        "height": round(height, 1),
        "width": round(width, 1),
        "spine_width": round(spine, 1),
        "left_slope": round(12 + 45 * dice.random(), 1),
        "right_slope": round(12 + 45 * dice.random(), 1),
        "left_joint": round(step, 1),
        "right_joint": 0,
        "weight": f"{200 + 800 * dice.random():.0f} g",
    }


def faults_of(book, way, edge):
    """Yield what is found where a book's files, made so, are folded; None where it is refused."""
    support = {
        "gauge": "5 mil",
        "layers": 3 if edge == "thirds" else 1,
        "construction": way,
        "edges": "cut" if edge == "cut" else "folded",
    }
    try:
        made = draft_of(slip_from({**book, "support": support}))
    except DesignError:
        return None
    found = []
    if made.verdict.made.posts != len(made.pattern.posts):
        found.append("posts drawn are not those judged")
    for key in KEYS:
        form = FORMATS[key]
        data = write_drawing(made.drawing, form, Options())
        check = check_reading(form.read(data), f"D1.{key}", made, form, Options()).check
        found += [f"{key}: {one.message}" for one in check.findings if one.severity == "stop"]
        if len(check.posts) != len(made.pattern.posts):
            found.append(f"{key}: a post does not fold")
    return found


def count(books, seed=1):
    """Return how many were folded and refused, and what was found, with its book."""
    dice, folded, refused, found = random.Random(seed), 0, 0, []
    for _ in range(books):
        book = draw(dice)
        for way, edge in WAYS:
            faults = faults_of(book, way, edge)
            folded += faults is not None
            refused += faults is None
            found += [(way, edge, fault, book) for fault in faults or ()]
    return folded, refused, found


def main():
    books = int(sys.argv[1]) if len(sys.argv) > 1 else 300
    folded, refused, found = count(books)
    print(f"{books} books: {folded} made and folded, {refused} refused, {len(found)} faults")
    for way, edge, fault, book in found[:20]:
        print(way, edge, fault[:150], book)


if __name__ == "__main__":
    main()
