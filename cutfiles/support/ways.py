"""The ways to make a support: a film at hand, a construction, an edge; and what they are judged on.

A `Stand` is one support in one stack of film, before it is decided how its edges and legs are made;
who knows the kind of support lays it out for each gauge.
"""

import itertools
from collections.abc import Callable, Collection, Iterable, Iterator
from typing import NamedTuple, get_args

from cutfiles.bench.book import Cover
from cutfiles.dataclass import dataclass
from cutfiles.support.constructions import posts, thirds
from cutfiles.support.constructions.left_out import left_out
from cutfiles.support.constructions.plate import CONSTRUCTIONS, Construction, Edge
from cutfiles.support.constructions.strip import Strip
from cutfiles.support.limits import BOARD_THICKNESS
from cutfiles.support.standing import KindName

EDGES: tuple[Edge, ...] = get_args(Edge)
_LAYERS: dict[Edge, int] = {"cut": 1, "hemmed": 1, "thirds": 3}


class AtHand(NamedTuple):
    """One film at hand: name, gauge (mm), short-term modulus (MPa), price of 1 m² if known."""

    name: str
    gauge: float
    modulus: float = 4000.0
    price: float | None = None


class Leg(NamedTuple):
    """One standing half and what lies on it.

    Attributes:
        panel: index of the leg in the strip.
        board: P, the board panel, mm.
        width: W, the book's board, mm.
        slope: of the board.
        weight: W_i, what the side weighs, N.
        cover: bending stiffness of the cover and a board under it, N·mm².
        room: base free for posts, mm.
        tape: width of the tape that holds its base, and how far it ends inside the edges, mm; None
            for as wide as the tab allows, and the usual 3.

    """

    panel: int
    board: float
    width: float
    slope: float
    weight: float
    cover: float
    room: float
    tape: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """One support in one stack of film.

    Attributes:
        kind: how it meets the table.
        strip: panels and folds.
        legs: the standing halves.
        limp: whether the cover is limp.
        tape: thickness of the tape, mm.
        board: thickness of the book's stiff boards, mm.
        posts: behind each leg that gets any; 0 for as few as are adequate for all of them.
        riser: what its riser carries (N) and its length (mm), if there is one.

    """

    kind: KindName
    strip: Strip
    legs: tuple[Leg, ...]
    limp: bool = False
    tape: float = 0.1
    board: float = BOARD_THICKNESS
    posts: int = 0
    riser: tuple[float, float] | None = None


class Way(NamedTuple):
    """One way to make a support: which film, how its legs carry, how its edges are made."""

    film: AtHand
    construction: Construction
    edge: Edge

    @property
    def layers(self) -> int:
        """How many films lie on one another."""
        return _LAYERS[self.edge]


Lay = Callable[[int, float], Stand | None]
"""Lays a support out for so many layers of a gauge (mm): its lift depends on them. None where no
support follows in that film."""


def any_way(film: AtHand, layers: Collection[int] = (1, 3)) -> Iterator[Way]:
    """Yield every way that a film's gauge allows, in so many layers, whatever the support."""
    for construction, edge in itertools.product(CONSTRUCTIONS, EDGES):
        thick = edge == "thirds" and film.gauge > thirds.THICKEST
        thin = construction == "posts" and film.gauge < posts.THINNEST
        if _LAYERS[edge] in layers and not (thick or thin):
            yield Way(film, construction, edge)


def ways(some: Iterable[Way], kind: KindName, cover: Cover) -> Iterator[Way]:
    """Yield those of some ways that are not left out for a kind of support."""
    for way in some:
        if left_out(way.construction, way.edge, kind, cover) is None:
            yield way
