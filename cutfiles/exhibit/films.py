"""The film of an exhibit: the fewest kinds that serve all its books, at least cost.

All subsets of the films at hand are tried; what a slip fixes stays.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass
from functools import partial

from cutfiles.bench.film import Film
from cutfiles.bench.slip import Slip
from cutfiles.errors import CutfilesError
from cutfiles.support.carried import practice_weight
from cutfiles.support.choose import choose, costing, fewest_kinds
from cutfiles.support.design import design
from cutfiles.support.judge import Judged
from cutfiles.support.kept import kept
from cutfiles.support.limits import HEAVIEST, TALLEST
from cutfiles.support.settle import allowed_ways, as_made, nearest
from cutfiles.support.trials import Trial
from cutfiles.support.tried import tried_by


@dataclass(frozen=True, slots=True, kw_only=True)
class KindsTold:
    """Kinds of film that serve an exhibit, as they are told.

    Attributes:
        films: their names.
        folds: made by hand, of all books together.
        cost: of their film, g, or by price where all prices are known.
        priced: whether it is a price.

    """

    films: tuple[str, ...]
    folds: int
    cost: float
    priced: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ChosenFilms:
    """What film an exhibit is made of.

    Attributes:
        slips: of each row, film and construction settled.
        films: kinds that serve all books that can be served, by name.
        told: what is made, and, where something else costs less, what costs least, of however
            many kinds and folds.
        unserved: numbers of books for which nothing at hand is adequate.

    """

    slips: Mapping[int, Slip]
    films: tuple[str, ...]
    told: tuple[KindsTold, ...]
    unserved: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MadeSo:
    """How a support was made by an earlier run, and whether it is cut.

    Attributes:
        way: film, construction, edges, posts behind each leg.
        cut: whether it is: then it stays so, whatever its verdict is now.

    """

    way: tuple[str, str, str, int]
    cut: bool = False


def choose_films(
    slips: Mapping[int, Slip],
    trials: Sequence[Trial] = (),
    pool: Executor | None = None,
    before: Mapping[int, MadeSo] | None = None,
) -> ChosenFilms:
    """Return the fewest kinds of film that serve the slips of rows, and each slip settled.

    What an earlier run chose stays as long as it is adequate, and what is cut in any case: books
    that come late change nothing of the others, and take film that is in use where it serves them.
    A book beyond what is carried in film is refused later, and has no say in the choice.
    """
    rows = [*slips]
    judge = partial(_allowed, trials=tuple(trials))
    ways = dict(zip(rows, _in_order(pool, judge, [slips[row] for row in rows]), strict=True))
    stays = {
        row: one
        for row, made in (before or {}).items()
        if row in ways and (one := _as_before(ways[row], made)) is not None
    }
    used = {one.way.film.name for one in stays.values()}
    beyond = {row for row, slip in slips.items() if _is_beyond(slip, ways[row])}
    rest = ways.keys() - stays.keys() - beyond
    books = {str(row): ways[row] for row in rows if row in rest and ways[row]}
    books = {row: _of_films(found, used) or found for row, found in books.items()}
    thrifty = all(slip.choices.prefer == "film" for slip in slips.values())
    kinds = fewest_kinds(books, edges="any", prefer="film" if thrifty and books else "folds")
    made: dict[int, Slip] = {}
    films = tuple(sorted({*used, *kinds.films}))
    unserved, adequate = [], {}
    for row, slip in slips.items():
        choice = kinds.choices.get(str(row))
        one = stays.get(row) or (choice.chosen if choice else _nearest(ways[row], films))
        made[row] = kept(slip, ways[row], trials) or as_made(slip, one)
        if one is None or one.state != "adequate" or row in beyond:
            unserved.append(slip.book.number)
        else:
            adequate[row] = one
    return ChosenFilms(
        slips=made, films=films, told=tuple(_told(ways, adequate)), unserved=tuple(unserved)
    )


def _is_beyond(slip: Slip, ways: Sequence[Judged]) -> bool:
    """Whether a book is taller or heavier than practice carries in film: it chooses none."""
    book = slip.book
    if book.height > TALLEST:
        return True
    if book.weight is None or book.weight <= HEAVIEST or not ways:
        return False
    try:  # a lone cover is not its book
        return practice_weight(design(as_made(slip, ways[0])), book.weight) > HEAVIEST
    except CutfilesError:
        return False


def _told(ways: Mapping[int, Sequence[Judged]], made: Mapping[int, Judged]) -> Iterator[KindsTold]:
    """Yield what the books that are served are made of, then what would cost less, if anything."""
    if not made:
        return
    every = [one for row in made for one in ways[row]]
    cost, priced = costing(every), all(one.price is not None for one in every)

    def told(chosen: Sequence[Judged]) -> KindsTold:
        return KindsTold(
            films=tuple(sorted({one.way.film.name for one in chosen})),
            folds=sum(one.folds for one in chosen),
            cost=math.fsum(map(cost, chosen)),
            priced=priced,
        )

    found = (choose(ways[row], edges="any", prefer="film", cost=cost) for row in made)
    own, least = told([*made.values()]), told([one.chosen for one in found if one is not None])
    yield own
    if least.cost < own.cost - 1e-9:
        yield least


def _as_before(ways: Sequence[Judged], made: MadeSo) -> Judged | None:
    """Return the way a support was made, if it may stay."""
    for one in ways:
        film, *rest = made.way
        own = film in (one.way.film.name, Film(gauge=one.way.film.gauge).gauge_text)
        same = [one.way.construction, one.way.edge, one.posts_each] == rest
        if own and same and (made.cut or one.state == "adequate"):
            return one
    return None


def _of_films(ways: Sequence[Judged], films: set[str]) -> tuple[Judged, ...]:
    """Return the ways of films in use, if one of them is adequate."""
    own = tuple(one for one in ways if one.way.film.name in films)
    return own if any(one.state == "adequate" for one in own) else ()


def _in_order(
    pool: Executor | None, judge: partial[tuple[Judged, ...]], slips: list[Slip]
) -> Iterator[tuple[Judged, ...]]:
    return pool.map(judge, slips, chunksize=8) if pool else map(judge, slips)


def _allowed(slip: Slip, trials: tuple[Trial, ...]) -> tuple[Judged, ...]:
    """Return the ways a slip allows, judged; none where no support follows: that is told later."""
    try:
        return allowed_ways(slip, tried_by(trials))
    except CutfilesError:
        return ()


def _nearest(ways: Sequence[Judged], films: tuple[str, ...]) -> Judged | None:
    """Return what is nearest to adequate, of a film that others need too where there is one."""
    return nearest(one for one in ways if one.way.film.name in films) or nearest(ways)
