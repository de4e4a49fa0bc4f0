"""How a support is made, and what that carries, in words of the trade."""

from collections.abc import Sequence

from cutfiles.bench.film import Film
from cutfiles.bench.films import usual_films
from cutfiles.lengths import beside
from cutfiles.support.constructions.plate import Capacity, Counted
from cutfiles.support.judge import Judged
from cutfiles.support.states import SAFE
from cutfiles.support.trials import Factor, Trial, of_kind
from cutfiles.support.ways import AtHand, Way

NO_TEST = "no load test in this studio"
_NAME = 40
"""Of a film's name so many letters are told at most."""
_COUNT = {1: "one post", 2: "two posts", 3: "three posts", 4: "four posts"}
_COUNTED: dict[Counted, str] = {
    "Euler": "the free middle (Euler)",
    "plate action": "plate action",
    "corners": "fold lines that stay straight",
    "half bearing": "half of the posts' bearing",
    "tests": "tests in this studio",
    "creases": "creases, by this studio's coupons",
}


def way_text(way: Way, legs: Sequence[Capacity] = ()) -> str:
    """Return how a support is made: film, layers, edges, what carries.

    >>> from cutfiles.support.ways import AtHand
    >>> way_text(Way(AtHand("PET 7 mil", 0.1778), "lips", "hemmed"))
    'one layer of 7 mil with lips, edges hemmed'

    """
    film = _film_text(way.film)
    if way.edge == "thirds":
        return f"three layers of {film}"
    carries = {"plain": "", "lips": " with lips", "posts": f" with {_posts(legs)} a leg"}
    edges = "edges hemmed" if way.edge == "hemmed" else "edges cut"
    return f"one layer of {film}{carries[way.construction]}, {edges}"


def _film_text(film: AtHand) -> str:
    """Return a film's gauge, and its name where it is a studio's own: two may be of one gauge.

    >>> _film_text(AtHand("PET 7 mil", 0.1778)), _film_text(AtHand("stiff sheets", 0.127))
    ('7 mil', '5 mil ("stiff sheets")')

    """
    gauge = Film(gauge=film.gauge)
    usual = {"", gauge.gauge_text, *(one.name for one in usual_films())}
    name = film.name if len(film.name) <= _NAME else f"{film.name[: _NAME - 1]}…"
    return gauge.short_gauge + ("" if film.name in usual else f' ("{name}")')


def _posts(legs: Sequence[Capacity]) -> str:
    counts = sorted({leg.posts for leg in legs if leg.posts})
    if not counts:
        return "posts"
    told = [_COUNT.get(count, f"{count} posts") for count in counts]
    return " or ".join([*(one.removesuffix(" posts") for one in told[:-1]), told[-1]])


def bears_text(one: Judged) -> str:
    """Return what the least sure leg of a support bears, capacity over load.

    >>> from cutfiles.support.ways import AtHand
    >>> leg = Capacity("plain", 0.7134, 1.6078, ("Euler", "plate action"))
    >>> way = Way(AtHand("PET 5 mil", 0.127), "plain", "thirds")
    >>> bears_text(Judged(way=way, legs=(leg,), checks=(), grams=70.0, price=None, folds=8,
    ...                   state="make a trial"))
    'bears 0.71 N for a load of 1.61 N, 0.44 × its load (1.25 needed)'

    """
    leg = min(one.legs, key=lambda leg: leg.sure, default=None)
    if leg is None:
        return "has no leg"
    capacity, load = _apart(leg.newtons, leg.load)
    sure = f"{beside(leg.sure, SAFE)} × its load ({SAFE:g} needed)"
    return f"bears {capacity} N for a load of {load} N, {sure}"


def _apart(capacity: float, load: float) -> tuple[str, str]:
    """Return both with as many digits as their ratio needs to stay on its side of the limit."""
    safe = capacity >= SAFE * load
    for digits in range(2, 6):
        if (round(capacity, digits) >= SAFE * round(load, digits)) == safe:
            break
    return f"{capacity:.{digits}f}", f"{load:.{digits}f}"


def counted_text(one: Judged) -> str:
    """Return what a sure load rests on, and what was left out of it."""
    counted = dict.fromkeys(name for leg in one.legs for name in leg.counted)
    said = [_COUNTED[name] for name in counted]
    left = "friction and reserve past rippling"
    if "creases" not in counted:
        left = f"creases, {left}"
    if one.way.edge == "thirds":
        left = "the tie of the long folds, " + left
    return f"counted: {', '.join(said) or 'nothing'}; not counted: {left}"


def fell_text(fell: Trial, way: Way) -> str:
    """Return that a piece of a support collapsed, and whether the support is made otherwise now.

    Args:
        fell: the leg that did.
        way: it is made now.

    """
    layers = "three layers" if fell.layers == 3 else "one layer"
    gauge = Film(gauge=fell.gauge).gauge_text
    carried = {"plain": "", "lips": " with lips", "posts": " with posts"}[fell.construction]
    same = of_kind([fell], way.construction, way.layers, way.film.gauge)
    now = "it is made the same way again" if same else "it is made otherwise now"
    date = f" on {fell.date}" if fell.date else ""
    return f"a piece of {layers} of {gauge}{carried} collapsed{date}: {now}"


def trials_text(tests: Factor, *, stood: bool = False) -> str:
    """Return what load tests stand behind a verdict.

    >>> trials_text(Factor("too few", 0.0, 1.0, 0))
    'no load test in this studio'

    """
    several = f"{tests.tests} {'test' if tests.tests == 1 else 'tests'} of its kind in this studio"
    if stood:
        return "this very piece stood under its dummy"
    if tests.rule == "unsafe":
        return (
            f"the model is unsafe for this kind: a piece collapsed at {tests.bound:.2f} of what "
            "was sure; look at it before any book lies on one"
        )
    if not tests.tests:
        return NO_TEST
    if tests.rule == "too few":
        return f"{several}, too few to count"
    if tests.used > 1:
        return f"{several}: {tests.used:.2f} × the model's sure load"
    return f"{several}, which change nothing ({tests.bound:.2f})"
