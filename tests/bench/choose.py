"""Books drawn at random: does choosing keep what it promises? A hundredth of it runs as a test.

    python tests/bench/choose.py [books]

For each book, at three weights: the choice is the same twice; it is the one that trying every way
by hand finds; a heavier book never gets less film where least film is preferred, and
no construction that held the heavier one fails the lighter; lips, posts and three
layers never carry less than the plain leg. Told besides: how often the usual choice, fewest folds
within twice the least film, takes less film for a heavier book, which it may.
"""

import random
import sys
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "support"))
from stands import Bound, stand_of

from cutfiles.support.choose import choose
from cutfiles.support.judge import judge_all
from cutfiles.support.ways import AtHand

FILMS = tuple(AtHand(f"{mil} mil", mil * 0.0254) for mil in (3, 4, 5, 7, 10))
WEIGHTS = (0.5, 0.75, 1.0)


def draw(dice):
    """A book within practice, its heaviest weight."""
    height = 60 + 194 * dice.random()
    widths = tuple((0.5 + 0.4 * dice.random()) * height + 10 for _ in "LR")
    spine = 3 + 47 * dice.random()
    slopes = (12 + 46 * dice.random(), 0 if dice.random() < 0.1 else 12 + 46 * dice.random())
    weight = min(1360.0, (0.5 + 0.7 * dice.random()) * 1e-3 * height * widths[0] * spine)
    limp = dice.random() < 0.2
    return Bound(
        height=height,
        widths=widths,
        spine=spine,
        slopes=slopes,
        weight=weight,
        cover="limp" if limp else "boards",
        stiff_board=2.0 if limp else 0.0,
        tab=18.0,
        step=spine * 0.6 * dice.random() if dice.random() < 0.3 else 0.0,
    )


def judged(book):
    return judge_all(lambda layers, gauge: stand_of(book, layers, gauge), FILMS)


def by_hand(ways):
    """The choice again, by sorting everything."""
    fit = [w for w in ways if w.state == "adequate" and w.way.edge != "cut"]
    least = min((w.grams for w in fit), default=0)
    near = [
        (w.folds, w.grams, w.stack, w.way.film.name, w.way.construction, w.way.edge)
        for w in fit
        if w.grams <= 2 * least
    ]
    return min(near, default=None)


def faults_of(book):
    """Yield each promise broken by one book."""
    before = None
    for share in WEIGHTS:
        ways = judged(replace(book, weight=book.weight * share))
        usual, thrifty = choose(ways), choose(ways, prefer="film")
        if usual != choose(tuple(reversed(ways))):
            yield "not the same twice"
        found = usual.chosen if usual else None
        key = found and (found.folds, found.grams, found.stack, *_name(found))
        if key != by_hand(ways):
            yield "not what trying all finds"
        adequate = {_name(w) for w in ways if w.state == "adequate"}
        film = thrifty.chosen.grams if thrifty else float("inf")
        if before is not None:
            if film < before[0] - 1e-9:
                yield "a heavier book gets less film"
            if not adequate <= before[1]:
                yield "holds the heavier book but not the lighter"
            if usual and before[2] and usual.chosen.grams < before[2].chosen.grams - 1e-9:
                yield "(told) the usual choice takes less film for a heavier book"
        plain = {(w.way.film, w.way.edge): w.sure for w in ways if w.way.construction == "plain"}
        for one in ways:
            if one.sure < plain[one.way.film, one.way.edge] * (1 - 1e-9):
                yield "a stronger construction carries less"
        before = (film, adequate, usual)


def _name(one):
    return (one.way.film.name, one.way.construction, one.way.edge)


def count_faults(books, seed=1):
    """Return how often each promise was broken, and how many books nothing held."""
    dice = random.Random(seed)
    counts, unheld = {}, 0
    for _ in range(books):
        book = draw(dice)
        unheld += choose(judged(book)) is None
        for fault in faults_of(book):
            counts[fault] = counts.get(fault, 0) + 1
    return counts, unheld


def main():
    books = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    counts, unheld = count_faults(books)
    print(f"{books} books at {len(WEIGHTS)} weights; {unheld} at full weight held by no way")
    for fault, count in sorted(counts.items()):
        print(f"{count:6}  {fault}")
    if not [fault for fault in counts if not fault.startswith("(told)")]:
        print("every promise kept")


if __name__ == "__main__":
    main()
