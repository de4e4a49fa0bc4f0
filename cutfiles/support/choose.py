"""The construction to make: of all ways judged, the one with few folds and little film.

Pure and deterministic: ties are broken by name.
"""

import itertools
import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Literal, NamedTuple

from cutfiles.dataclass import dataclass
from cutfiles.support.judge import Judged
from cutfiles.support.ways import Way

MOST_COST = 2.0
"""A construction with fewer folds may take this many times the least film."""
Edges = Literal["folded", "any"]
Prefer = Literal["folds", "film"]
Cost = Callable[[Judged], float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """What to make.

    Attributes:
        chosen: the way to make it.
        least: the adequate way with the least film other than the chosen one, the runner-up.

    """

    chosen: Judged
    least: Judged | None


def choose(
    judged: Iterable[Judged],
    *,
    edges: Edges = "folded",
    prefer: Prefer = "folds",
    cost: Cost | None = None,
) -> Choice | None:
    """Return the way to make a support and the runner-up, or None where no way is adequate.

    Of the adequate ways (folded edges only, unless cut ones may be) with at most twice the least
    film, by price if all prices are known: the fewest folds, then the least film, then the thinner
    stack, then by name. With ``prefer="film"`` the least film comes first.

    Args:
        judged: all ways.
        edges: whether cut edges may lie under the book.
        prefer: fewest folds, or least film.
        cost: what film costs; by `costing` of all ways if not given.

    """
    judged = tuple(judged)
    cost = cost or costing(judged)
    fit = [one for one in judged if one.state == "adequate" and (edges == "any" or _folded(one))]
    if not fit:
        return None
    least = min(cost(one) for one in fit)
    near = [one for one in fit if cost(one) <= MOST_COST * least]

    costs = {id(one): cost(one) for one in fit}

    def by_film(one: Judged) -> tuple[float, int, float, tuple[str, str, str]]:
        return (costs[id(one)], one.folds, one.stack, name_of(one.way))

    def by_folds(one: Judged) -> tuple[int, float, float, tuple[str, str, str]]:
        return (one.folds, costs[id(one)], one.stack, name_of(one.way))

    chosen = min(fit, key=by_film) if prefer == "film" else min(near, key=by_folds)
    others = [one for one in fit if one is not chosen]
    return Choice(chosen=chosen, least=min(others, key=by_film, default=None))


def _folded(one: Judged) -> bool:
    return one.way.edge != "cut"


def costing(judged: Iterable[Judged]) -> Cost:
    """Return what to compare ways by: price where all are known, else grams of film."""
    if all(one.price is not None for one in judged):
        return lambda one: one.price if one.price is not None else math.inf
    return lambda one: one.grams


def name_of(way: Way) -> tuple[str, str, str]:
    """Return what ties are broken by: film, construction, edge."""
    return (way.film.name, way.construction, way.edge)


class Kinds(NamedTuple):
    """The fewest kinds of film that serve an exhibit.

    Attributes:
        films: their names, sorted.
        choices: what to make of each book they serve.
        cost: of all together, grams or price.
        unserved: books no film at hand serves.
        folds: to be made by hand, of all together.

    """

    films: tuple[str, ...]
    choices: Mapping[str, Choice]
    cost: float
    unserved: tuple[str, ...]
    folds: int = 0


def fewest_kinds(
    books: Mapping[str, Sequence[Judged]], *, edges: Edges = "folded", prefer: Prefer = "folds"
) -> Kinds:
    """Return the fewest kinds of film that serve every book that can be served.

    All subsets of the films are tried, smaller ones first. Of those as small, and as for one book:
    of what costs at most twice the least, the fewest folds, then the least cost, or with
    ``prefer="film"`` the least cost alone; ties by their names.

    Args:
        books: every way to make each support, judged, by support number.
        edges: as in `choose`.
        prefer: as in `choose`.

    """
    cost = costing([one for judged in books.values() for one in judged])
    served, unserved = list[str](), list[str]()
    for number, judged in books.items():
        choice = choose(judged, edges=edges, prefer=prefer, cost=cost)
        (unserved if choice is None else served).append(number)
    names = sorted({one.way.film.name for number in served for one in books[number]})
    for size in range(len(names) + 1):
        found = []
        for subset in itertools.combinations(names, size):
            choices = {}
            for number in served:
                among = [one for one in books[number] if one.way.film.name in subset]
                choice = choose(among, edges=edges, prefer=prefer, cost=cost)
                if choice is None:
                    break
                choices[number] = choice
            else:
                made = [choice.chosen for choice in choices.values()]
                total, folds = math.fsum(map(cost, made)), sum(one.folds for one in made)
                found.append(Kinds(subset, choices, total, tuple(unserved), folds))
        if found:
            least = min(one.cost for one in found)
            if prefer == "film":
                return next(one for one in found if one.cost == least)
            near = [one for one in found if one.cost <= MOST_COST * least]
            return min(near, key=lambda one: (one.folds, one.cost, one.films))
    raise AssertionError("all films together serve what each serves")
