"""Every way to make a support from the films at hand, judged."""

import itertools
import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from cutfiles.dataclass import dataclass
from cutfiles.support.constructions import posts, thirds
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
from cutfiles.support.constructions.plate import CREEP, DENSITY, Capacity, Construction, Counted
from cutfiles.support.constructions.strip import RELIEF, Strip
from cutfiles.support.limits import (
    BOARD_MODULUS,
    Check,
    at_most,
    check_sag,
    check_stack,
    check_tape,
    column_capacity,
    films_stiffness,
)
from cutfiles.support.loads import leg_force
from cutfiles.support.states import SAFE, STATES, State, reach, strength_state, verdict_state
from cutfiles.support.ways import AtHand, Lay, Leg, Stand, Way, any_way, ways


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
    found: list[Judged | None] = []
    known: Stand | None = None  # no film changes how it stands, and under which cover
    for film, layers in itertools.product(films, (1, 3)):
        wanted = [way for way in any_way(film, (layers,)) if keep is None or keep(way)]
        if known is not None:
            wanted = _fitting(wanted, known)
        if not wanted or (stand := lay(layers, film.gauge)) is None:
            continue
        if known is None:
            known, wanted = stand, _fitting(wanted, stand)
        sags = _sags(stand, film, layers)
        found += [judge(stand, way, tested, sags) for way in wanted]
    return tuple(filter(None, found))


def _fitting(some: Iterable[Way], stand: Stand) -> list[Way]:
    """Return those of some ways that fit how a support stands, and its book's cover."""
    return [*ways(some, stand.kind, "limp" if stand.limp else "boards")]


def judge(
    stand: Stand, way: Way, tested: Tested = untested, sags: Sequence[Check] | None = None
) -> Judged | None:
    """Return a way to make a support, judged; None if it is ruled out.

    Ruled out are thirds whose layers bow too far, and lips or posts where no leg can have them. A
    leg too short for them is plain, and judged plain.

    Args:
        stand: how it stands in the way's stack of film.
        way: to make it.
        tested: what tests say.
        sags: the check of each board, where they are known: alike for all ways in one stack.

    """
    if _is_refused(stand, way):
        return None
    held = _held(stand, way, tested)
    if not _is_made(way, held):
        return None
    return _judged(stand, way, held, _sags(stand, way.film, way.layers) if sags is None else sags)


def judge_made(stand: Stand, way: Way, tested: Tested = untested) -> Judged:
    """Return a way to make a support, judged; what rules it out is among its checks."""
    refused = thirds.worst(stand.strip, way.film.gauge) if way.edge == "thirds" else ()
    sags = _sags(stand, way.film, way.layers)
    return _judged(stand, way, _held(stand, way, tested), sags, refused)


def _is_refused(stand: Stand, way: Way) -> bool:
    """Whether a strip cannot be folded in three as a way wants it."""
    return way.edge == "thirds" and bool(thirds.refusals(stand.strip, way.film.gauge))


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


def _is_made(way: Way, held: Sequence[Held]) -> bool:
    """Whether a leg has what its construction asks for; plain ones ask for nothing."""
    asked = way.construction
    return asked == "plain" or any(
        leg.construction == asked or (asked == "posts" and leg.posts) for leg, _ in held
    )


def _judged(
    stand: Stand,
    way: Way,
    held: Sequence[Held],
    sags: Sequence[Check],
    refused: Sequence[thirds.Refused] = (),
) -> Judged:
    """Return a way to make a support, judged by what its legs carry and why it is not folded."""
    legs = tuple(capacity for capacity, _ in held)
    standing = tuple(post for _, behind in held for post in behind)
    piece = lay_out(stand.strip, way.film.gauge, way.construction, way.edge, standing)
    checks = (
        check_stack(way.film.gauge, way.layers),
        *(at_most(*one) for one in refused),
        *_checks(stand, way.film, piece, legs, sags),
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
    flanged = way.edge == "hemmed" or way.construction == "lips"  # another leg's lips count too
    bare = breadth - 2 * RELIEF if flanged else breadth
    if way.construction == "lips" and lip_fits(height, leg.slope, film.gauge):
        corners = lips_capacity(height, breadth, film.gauge, film.modulus)
        lipped = Capacity("lips", corners, force, ("Euler", "plate action", "corners"))
        return factored(lipped), ()
    plain = plain_capacity(height, bare, (film.gauge,) * way.layers, film.modulus)
    alone = factored(Capacity("plain", plain, force, ("Euler", "plate action")))
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


def _sags(stand: Stand, film: AtHand, layers: int) -> tuple[Check, ...]:
    """Return the check of each board's sag: the same however legs and edges are made."""
    strip = stand.strip
    stiff = films_stiffness(film.gauge, layers, strip.breadth, film.modulus)
    found = []
    for leg in stand.legs:
        load = leg.weight * math.cos(leg.slope) / leg.width
        found.append(check_sag(_board_over(strip, leg), load, leg.board, stiff, leg.cover))
    return tuple(found)


def check_across(stand: Stand, film: AtHand, leg: Leg) -> Check:
    """Check how far a board on a leg with lips sags across, mm; of one layer of film."""
    strip = stand.strip
    height, breadth = strip.panels[leg.panel].length, strip.breadth
    plain = plain_capacity(height, breadth, (film.gauge,), film.modulus)
    force = leg_force(leg.weight, leg.width, leg.board)
    stiff = BOARD_MODULUS / CREEP
    found = board_across(force, plain, breadth, leg.board, stand.board, stiff)
    return at_most("across", _board_over(strip, leg), *found)


def _board_over(strip: Strip, leg: Leg) -> str:
    return strip.panels[leg.panel + (1 if strip.apex_on_right(leg.panel) else -1)].name


def _checks(
    stand: Stand, film: AtHand, piece: Piece, capacities: Sequence[Capacity], sags: Sequence[Check]
) -> Iterator[Check]:
    """Yield the checks of each board, of the tape that holds its base, and of the riser."""
    strip, laid = stand.strip, tapes(piece)
    for leg, capacity, sag in zip(stand.legs, capacities, sags, strict=True):
        force = leg_force(leg.weight, leg.width, leg.board)
        yield sag
        tape = laid[0 if strip.apex_on_right(leg.panel) else -1]
        long, wide = tape.box.height, tape.box.width
        if leg.tape is not None:
            wide = min(leg.tape[0], WIDEST_TAPE)
            half = long / 2 + TAPE_INSET
            long = max(2 * (half - leg.tape[1]), half)
        yield check_tape(strip.panels[tape.panel].name, force, long, wide)
        if capacity.construction == "lips":
            yield check_across(stand, film, leg)
    if stand.riser is not None:
        load, height = stand.riser
        bears = column_capacity(height, 2 * piece.narrow, film.gauge, film.modulus)
        yield at_most("riser", "riser", SAFE * load / bears, 1.0)
