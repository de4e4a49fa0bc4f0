"""The film of an exhibit: the fewest kinds that serve all its books, at least cost.

All subsets of the films at hand are tried; what a slip fixes stays.
"""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import replace
from typing import NamedTuple

from cutfiles.bench.alike import Alike
from cutfiles.bench.at_hand import FilmKind
from cutfiles.bench.film import Film
from cutfiles.bench.films import usual_films
from cutfiles.bench.slip import Slip
from cutfiles.dataclass import dataclass
from cutfiles.errors import CutfilesError
from cutfiles.support.carried import practice_weight
from cutfiles.support.choose import choose, costing, fewest_kinds
from cutfiles.support.constructions.plate import Capacity
from cutfiles.support.design import design
from cutfiles.support.judge import Judged
from cutfiles.support.kept import kept
from cutfiles.support.limits import HEAVIEST, TALLEST
from cutfiles.support.settle import allowed_ways, as_made, nearest
from cutfiles.support.states import State
from cutfiles.support.trials import Trial
from cutfiles.support.tried import tried_by
from cutfiles.support.ways import AtHand, Way

SAME_FILM = 0.0005
"""Nearer gauges are one film, mm."""


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
        gauge: of that film, mm.
        cut: whether some of it is: then it stays so, whatever its verdict is now and its film is
            called.
        whole: whether all of it is: then also if none of that film is at hand any more.

    """

    way: tuple[str, str, str, int]
    gauge: float
    cut: bool = False
    whole: bool = False

    def is_of(self, film: AtHand | FilmKind) -> bool:
        """Whether it was made of a film: by name, but what is cut by gauge alone."""
        if self.cut:
            return abs(film.gauge - self.gauge) < SAME_FILM
        return self.way[0] in (film.name, Film(gauge=film.gauge).gauge_text)

    def film(self) -> FilmKind:
        """Return its film as a kind, where none of it is at hand: of a usual one all is known."""
        known = (one for one in usual_films() if self.is_of(one) and one.name == self.way[0])
        name = Film(gauge=self.gauge).gauge_text  # another film may be called now as it was then
        return next(known, FilmKind(name=name, gauge=self.gauge))


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
    before = before or {}
    slips = {row: _with_own_film(slip, before.get(row)) for row, slip in slips.items()}
    asked = [(slip, before.get(row), tuple(trials)) for row, slip in slips.items()]
    rows = dict(zip(slips, _shared(_in_order(pool, asked)), strict=True))
    stays = {row: one.stays for row, one in rows.items() if one.stays is not None}
    used = {one.way.film.name for one in stays.values()}
    books = {
        str(row): _of_films(one.ways, used) or one.ways
        for row, one in rows.items()
        if one.ways and row not in stays and not one.beyond
    }
    thrifty = all(slip.choices.prefer == "film" for slip in slips.values())
    kinds = fewest_kinds(books, edges="any", prefer="film" if thrifty and books else "folds")
    made, alike = dict[int, Slip](), Alike()
    films = tuple(sorted({*used, *kinds.films}))
    unserved, adequate = [], {}
    for row, slip in slips.items():
        choice, found = kinds.choices.get(str(row)), rows[row]
        one = stays.get(row) or (choice.chosen if choice else found.nearest(films))
        made[row] = alike.slip(found.kept or as_made(slip, one))
        if one is None or one.state != "adequate" or found.beyond:
            unserved.append(slip.book.number)
        else:
            adequate[row] = one
    ways = {row: one.ways for row, one in rows.items()}
    return ChosenFilms(
        slips=made, films=films, told=tuple(_told(ways, adequate)), unserved=tuple(unserved)
    )


class _Weighed(NamedTuple):
    """What of a book's ways has a say in the film of an exhibit; a fiftieth of all that is judged.

    Attributes:
        ways: those that are adequate, and of each film one, for its price; of what each leg carries
            nothing is left but how many posts it takes, and no check.
        nearest_first: those nearest to adequate, one a film, where no other choice is sure.
        beyond: whether the book is taller or heavier than practice carries in film.
        stays: the way it was made by an earlier run, if it may stay.
        kept: the slip made the way a piece of it stood, if one did.

    """

    ways: tuple[Judged, ...] = ()
    nearest_first: tuple[Judged, ...] = ()
    beyond: bool = False
    stays: Judged | None = None
    kept: Slip | None = None

    def nearest(self, films: tuple[str, ...]) -> Judged | None:
        """Return what is nearest to adequate, of a film that others need too where there is one."""
        own = (one for one in self.nearest_first if one.way.film.name in films)
        return next(own, next(iter(self.nearest_first), None))


def _weighed(asked: tuple[Slip, MadeSo | None, tuple[Trial, ...]]) -> _Weighed:
    """Return what is to be known of a slip; no ways where no support follows: that is told later.

    Args:
        asked: the slip, how it was made by an earlier run, the studio's trials.

    """
    slip, made, trials = asked
    try:
        ways = allowed_ways(slip, tried_by(trials))
    except CutfilesError:
        ways = ()
    beyond = _is_beyond(slip, ways)
    served = not beyond and any(one.state == "adequate" for one in ways)
    nears = [] if served else [*_nearest_first(ways)]
    stays = None if made is None else _as_before(ways, made)
    firsts = {one.way.film: one for one in reversed(ways)}.values()
    said = {id(one) for one in (*firsts, *nears, stays) if one is not None}
    light = {
        id(one): replace(one, checks=(), legs=tuple(map(_posts_alone, one.legs)))
        for one in ways
        if one.state == "adequate" or id(one) in said
    }
    return _Weighed(
        ways=tuple(light.values()),
        nearest_first=tuple(light[id(one)] for one in nears),
        beyond=beyond,
        stays=None if stays is None else light[id(stays)],
        kept=kept(slip, ways, trials),
    )


def _posts_alone(leg: Capacity) -> Capacity:
    """Return a leg of which no more is known than how many posts it takes."""
    return Capacity(
        construction=leg.construction, newtons=0.0, load=0.0, counted=(), posts=leg.posts
    )


def _shared(weighed: Iterable[_Weighed]) -> Iterator[_Weighed]:
    """Yield the same, what is alike in many books kept once: they come from other processes."""
    ways, legs = dict[Way, Way](), dict[tuple[Capacity, ...], tuple[Capacity, ...]]()
    states: dict[State, State] = {}
    for one in weighed:
        light = {
            id(judged): replace(
                judged,
                way=ways.setdefault(judged.way, judged.way),
                legs=legs.setdefault(judged.legs, judged.legs),
                state=states.setdefault(judged.state, judged.state),
            )
            for judged in one.ways
        }
        yield one._replace(
            ways=tuple(light.values()),
            nearest_first=tuple(light[id(judged)] for judged in one.nearest_first),
            stays=None if one.stays is None else light[id(one.stays)],
        )


def _nearest_first(ways: Sequence[Judged]) -> Iterator[Judged]:
    """Yield of each film the way nearest to adequate, the nearest film first."""
    rest = [*ways]
    while (one := nearest(rest)) is not None:
        yield one
        rest = [other for other in rest if other.way.film != one.way.film]


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
        same = (one.way.construction, one.way.edge, one.posts_each) == made.way[1:]
        if made.is_of(one.way.film) and same and (made.cut or one.state == "adequate"):
            return one
    return None


def _with_own_film(slip: Slip, made: MadeSo | None) -> Slip:
    """Return the slip of a support that is cut whole with its film, if none of that is at hand."""
    kinds = slip.films or usual_films()
    if made is None or not (made.cut and made.whole) or any(map(made.is_of, kinds)):
        return slip
    return replace(slip, films=(*kinds, made.film()))


def _of_films(ways: Sequence[Judged], films: set[str]) -> tuple[Judged, ...]:
    """Return the ways of films in use, if one of them is adequate."""
    own = tuple(one for one in ways if one.way.film.name in films)
    return own if any(one.state == "adequate" for one in own) else ()


def _in_order(
    pool: Executor | None, asked: list[tuple[Slip, MadeSo | None, tuple[Trial, ...]]]
) -> Iterator[_Weighed]:
    return pool.map(_weighed, asked, chunksize=8) if pool else map(_weighed, asked)
