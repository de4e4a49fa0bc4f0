"""Every way to make a support from the films at hand, judged.

A `Stand` is one support in one stack of film, before it is decided how its edges and legs are made;
who knows the kind of support lays it out for each gauge.
"""

import itertools
import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple, get_args

from cutfiles.bench.book import Cover
from cutfiles.dataclass import dataclass
from cutfiles.support.constructions import posts, thirds
from cutfiles.support.constructions.left_out import LEVEL_THIRDS, left_out
from cutfiles.support.constructions.lips import board_across, lip_fits, lips_capacity
from cutfiles.support.constructions.outline import (
    TAPE_INSET,
    WIDEST_TAPE,
    Piece,
    Standing,
    count_folds,
    lay_out,
    sheet_area,
    tapes,
)
from cutfiles.support.constructions.plain import plain_capacity
from cutfiles.support.constructions.plate import (
    CONSTRUCTIONS,
    CREEP,
    DENSITY,
    Capacity,
    Construction,
    Counted,
    Edge,
)
from cutfiles.support.constructions.strip import RELIEF, Strip
from cutfiles.support.limits import (
    BOARD_MODULUS,
    BOARD_THICKNESS,
    Check,
    at_most,
    check_sag,
    check_stack,
    check_tape,
    column_capacity,
    films_stiffness,
)
from cutfiles.support.loads import leg_force
from cutfiles.support.standing import KindName
from cutfiles.support.states import SAFE, STATES, State, reach, strength_state, verdict_state

EDGES: tuple[Edge, ...] = get_args(Edge)


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
        return 3 if self.edge == "thirds" else 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """A way to make a support, judged.

    Attributes:
        way: film, construction, edge.
        legs: what each carries.
        checks: all others.
        grams: of film, by the sheets it is cut from.
        price: of the same, or None.
        folds: made by hand.
        state: by what is sure.

    """

    way: Way
    legs: tuple[Capacity, ...]
    checks: tuple[Check, ...]
    grams: float
    price: float | None
    folds: int
    state: State

    @property
    def sure(self) -> float:
        """C/F of the weakest leg."""
        return min((leg.sure for leg in self.legs), default=math.inf)

    @property
    def posts(self) -> int:
        """How many stand behind all legs together."""
        return sum(leg.posts for leg in self.legs)

    @property
    def posts_each(self) -> int:
        """How many stand behind each leg that has any: one number for all of them."""
        return max((leg.posts for leg in self.legs), default=0)

    @property
    def stack(self) -> float:
        """Thickness of all layers, mm."""
        return self.way.layers * self.way.film.gauge


Lay = Callable[[int, float], Stand | None]
"""Lays a support out for so many layers of a gauge (mm): its lift depends on them. None where no
support follows in that film."""


class Tried(NamedTuple):
    """A leg as tests know it: construction, layers, film, its height and its base panel, mm."""

    construction: Construction
    layers: int
    film: AtHand
    height: float
    base: float


Tested = Callable[[Tried], tuple[float, Counted]]
"""What a studio's own tests multiply a leg's sure load by, and what that rests on."""


def untested(_: Tried) -> tuple[float, Counted]:
    """Return 1: no load test in this studio."""
    return 1.0, "tests"


def any_way(films: Iterable[AtHand]) -> Iterator[Way]:
    """Yield every way that the gauges of films allow, whatever the kind of support."""
    for film, construction, edge in itertools.product(films, CONSTRUCTIONS, EDGES):
        thick = edge == "thirds" and film.gauge > thirds.THICKEST
        thin = construction == "posts" and film.gauge < posts.THINNEST
        if not (thick or thin):
            yield Way(film, construction, edge)


def ways(some: Iterable[Way], kind: KindName, cover: Cover) -> Iterator[Way]:
    """Yield those of some ways that are not left out for a kind of support."""
    for way in some:
        if left_out(way.construction, way.edge, kind, cover) is None:
            yield way


def judge_all(
    lay: Lay,
    films: Sequence[AtHand],
    tested: Tested = untested,
    keep: Callable[[Way], bool] | None = None,
) -> tuple[Judged, ...]:
    """Return every way to make a support, judged; ways its numbers rule out left away.

    A way in which no leg is long enough for its lips or posts is the plain one, and not repeated.

    Args:
        lay: lays the support out.
        films: at hand.
        tested: what tests say.
        keep: which ways are wanted; all, if not given.

    """
    found = []
    for film, layers in itertools.product(films, (1, 3)):
        own = (way for way in any_way((film,)) if way.layers == layers)
        wanted = [way for way in own if keep is None or keep(way)]
        if not wanted or (stand := lay(layers, film.gauge)) is None:
            continue
        cover: Cover = "limp" if stand.limp else "boards"
        for way in ways(wanted, stand.kind, cover):
            if (one := judge(stand, way, tested)) is not None:
                found.append(one)
    return tuple(found)


def judge(stand: Stand, way: Way, tested: Tested = untested) -> Judged | None:
    """Return a way to make a support, judged; None if it is ruled out.

    Ruled out are thirds whose layers bow too far, and lips or posts where no leg can have them. A
    leg too short for them is plain, and judged plain.
    """
    if way.edge == "thirds" and (
        stand.kind not in LEVEL_THIRDS or thirds.refusals(stand.strip, way.film.gauge)
    ):
        return None
    held = _held(stand, way, tested)
    had = {leg.construction for leg, _ in held} | {"posts" for leg, _ in held if leg.posts}
    made_so = way.construction == "plain" or way.construction in had
    return _judged(stand, way, held) if made_so else None


def judge_made(stand: Stand, way: Way, tested: Tested = untested) -> Judged:
    """Return a way to make a support, judged; what rules it out is among its checks."""
    refused = thirds.worst(stand.strip, way.film.gauge) if way.edge == "thirds" else ()
    return _judged(stand, way, _held(stand, way, tested), refused)


Held = tuple[Capacity, tuple[Standing, ...]]
"""What one leg carries, and the posts behind it."""


def _held(stand: Stand, way: Way, tested: Tested) -> list[Held]:
    """Return what each leg carries, made in a way, with one number of posts for all of them."""
    held = [_carried(stand, way, leg, tested) for leg in stand.legs]
    counts = {leg.posts for leg, _ in held if leg.posts}
    if len(counts) > 1:  # what the leg that wants most gets
        stand = replace(stand, posts=max(counts))
        held = [_carried(stand, way, leg, tested) for leg in stand.legs]
    return held


def _judged(
    stand: Stand, way: Way, held: Sequence[Held], refused: Sequence[thirds.Refused] = ()
) -> Judged:
    """Return a way to make a support, judged by what its legs carry and why it is not folded."""
    legs = tuple(capacity for capacity, _ in held)
    standing = tuple(post for _, behind in held for post in behind)
    piece = lay_out(stand.strip, way.film.gauge, way.construction, way.edge, standing)
    checks = (
        check_stack(way.film.gauge, way.layers),
        *(at_most(*one) for one in refused),
        *_checks(stand, way, piece, legs),
    )
    area = _area(piece, way)
    return Judged(
        way=way,
        legs=legs,
        checks=checks,
        grams=area * way.film.gauge * DENSITY,
        price=None if way.film.price is None else way.film.price * area / 1e6,
        folds=count_folds(piece) + (2 if way.edge == "thirds" else 0),
        state=verdict_state(_strength(legs, way), (check.state for check in checks)),
    )


def _strength(legs: Sequence[Capacity], way: Way) -> State:
    """Return what follows from the legs alone: the worst of them."""
    found = (strength_state(leg.sure, reach(leg.construction, way.layers)) for leg in legs)
    return max(found, key=STATES.index, default="adequate")


def _area(piece: Piece, way: Way) -> float:
    if way.edge != "thirds":
        return sheet_area(piece)
    return piece.strip.length * thirds.sheet_breadth(piece.strip.breadth, way.film.gauge)


def _carried(stand: Stand, way: Way, leg: Leg, tested: Tested) -> Held:
    """Return what one leg carries, and the posts behind it; what tests say of it counted in."""

    def factored(one: Capacity) -> Capacity:
        factor, why = tested(Tried(one.construction, way.layers, way.film, height, base))
        if factor == 1.0:
            return one
        return one._replace(newtons=factor * one.newtons, counted=(*one.counted, why))

    film, strip = way.film, stand.strip
    height, breadth = strip.panels[leg.panel].length, strip.breadth
    base = strip.panels[leg.panel + (-1 if strip.apex_on_right(leg.panel) else 1)].length
    force = leg_force(leg.weight, leg.width, leg.board)
    bare = breadth - 2 * RELIEF if way.edge == "hemmed" else breadth
    plain = plain_capacity(height, bare, (film.gauge,) * way.layers, film.modulus)
    alone = factored(Capacity("plain", plain, force, ("Euler", "plate action")))
    if way.construction == "lips" and lip_fits(height, leg.slope, film.gauge):
        corners = lips_capacity(height, breadth, film.gauge, film.modulus)
        lipped = Capacity("lips", corners, force, ("Euler", "plate action", "corners"))
        return factored(lipped), ()
    if way.construction == "posts":
        blank = posts.post_blank(height, leg.slope, film.gauge, stand.tape)
        if posts.post_fits(blank, leg.room):
            return _posted(stand, film, leg, alone, blank, factored)
    return alone, ()


def _posted(
    stand: Stand,
    film: AtHand,
    leg: Leg,
    alone: Capacity,
    blank: posts.PostBlank,
    factored: Callable[[Capacity], Capacity],
) -> Held:
    """Return what a leg carries with as few posts as are adequate, else with as many as fit.

    Posts that ripple go on carrying: a low leg that holds more by itself still does.
    """
    breadth = stand.strip.breadth
    load = posts.post_load(alone.load, leg.board)
    one = posts.post_capacity(film.gauge, film.modulus)
    best, count = alone, 0
    for count in posts.post_counts(breadth, limp=stand.limp, wanted=stand.posts):
        held = factored(Capacity("posts", count * one, load, ("corners", "half bearing"), count))
        best = held if held.sure >= alone.sure else alone._replace(posts=count)
        if best.sure >= SAFE:
            break
    places = posts.post_places(breadth, count) if count else ()
    return best, tuple(Standing(leg.panel, y, blank) for y in places)


def _checks(
    stand: Stand, way: Way, piece: Piece, capacities: Sequence[Capacity]
) -> Iterator[Check]:
    """Yield the checks of each board, of the tape that holds its base, and of the riser."""
    film, strip = way.film, stand.strip
    stiff = films_stiffness(film.gauge, way.layers, strip.breadth, film.modulus)
    laid = tapes(piece)
    for leg, capacity in zip(stand.legs, capacities, strict=True):
        right = strip.apex_on_right(leg.panel)
        name = strip.panels[leg.panel + (1 if right else -1)].name
        force = leg_force(leg.weight, leg.width, leg.board)
        load = leg.weight * math.cos(leg.slope) / leg.width
        yield check_sag(name, load, leg.board, stiff, leg.cover)
        tape = laid[0 if right else -1]
        long, wide = tape.box.height, tape.box.width
        if leg.tape is not None:
            wide = min(leg.tape[0], WIDEST_TAPE)
            half = long / 2 + TAPE_INSET
            long = max(2 * (half - leg.tape[1]), half)
        yield check_tape(strip.panels[tape.panel].name, force, long, wide)
        if capacity.construction == "lips":
            plain = plain_capacity(
                strip.panels[leg.panel].length, strip.breadth, (film.gauge,), film.modulus
            )
            across = board_across(
                force, plain, strip.breadth, leg.board, stand.board, BOARD_MODULUS / CREEP
            )
            yield at_most("across", name, *across)
    if stand.riser is not None:
        load, height = stand.riser
        bears = column_capacity(height, 2 * piece.narrow, film.gauge, film.modulus)
        yield at_most("riser", "riser", SAFE * load / bears, 1.0)
