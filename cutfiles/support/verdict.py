"""The verdict: whether this film carries this book, what governs, and which stock would.

Three states. *adequate*: every check holds, counting only what is sure. *make a trial*: the legs
hold only if their layers act as one, which only a dummy can tell. *another support*: not this one;
`Verdict.changes` says what is nearest, from a heavier film to another kind of support.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal, NamedTuple

from cutfiles.bench.at_hand import FilmKind
from cutfiles.bench.film import Film
from cutfiles.bench.films import usual_films
from cutfiles.bench.questions import book_thickness
from cutfiles.bench.slip import Slip
from cutfiles.errors import DesignError
from cutfiles.support.design import design
from cutfiles.support.standing import SIDES, Bearing, Half, Support, board_of
from cutfiles.support.strength import (
    BOARD_THICKNESS,
    SAFE,
    cover_stiffness,
    film_stiffness,
    leg_capacity,
    leg_force,
    most_sag,
    panel_sag,
    side_weights,
    tape_use,
)

State = Literal["adequate", "make a trial", "another support"]
STATES: tuple[State, ...] = ("adequate", "make a trial", "another support")

THICKEST_STACK = 0.80
"""More film than this does not fold well, mm (common practice, no source)."""
TALLEST = 250.0
"""Taller books want another support, mm (common practice: about 10 in, no source)."""
HEAVIEST = 1400.0
"""Heavier books want another support, g (common practice: two to three pounds, no source)."""
STEEPEST = 60.0
"""Steeper boards want another support, degrees (common practice, no source)."""
WIDEST_TAPE = 12.0
"""Of the double-sided tape at hand, mm (common practice, no source)."""
_PROBE = 1000.0
"""All loads grow with the weight: what a stock carries follows from one weight, g."""


class Check(NamedTuple):
    """One check of one part.

    Attributes:
        name: leg, sag, tape, stack, height, weight or slope.
        place: the part: ``left leg``, ``right board``; the book itself for height and weight.
        measured: the number found.
        limit: what it is held against.
        unit: of both; empty for a ratio.
        state: what follows from this check alone.
        use: share of the limit that is used; above 1 it does not hold.

    """

    name: str
    place: str
    measured: float
    limit: float
    unit: str
    state: State
    use: float


class Carried(NamedTuple):
    """What one stock at hand does for this book.

    Attributes:
        film: the stock, with its layers.
        state: of the verdict with it; None without a weight.
        carries: the heaviest book of this size and opening for which it is adequate, g.

    """

    film: Film
    state: State | None
    carries: float


class Change(NamedTuple):
    """A change with which it would hold.

    Attributes:
        kind: a heavier ``film``, a stiff ``board`` under the limp cover, a ``flatter`` opening, or
            another kind of ``support``.
        film: with this film; None for another kind of support.
        board: with a board this thick under the limp cover, mm; 0 for none.
        slope: with no side steeper than this, degrees; 0 where slopes stay.

    """

    kind: Literal["film", "board", "flatter", "support"]
    film: Film | None = None
    board: float = 0.0
    slope: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """Whether the film chosen carries the book, and what would.

    Attributes:
        film: the film chosen.
        weight: of the book, g, or None.
        state: None where the weight is not known and nothing else decides.
        governing: the check that decides, or None where there is none.
        checks: all of them.
        carries: the heaviest book of this size and opening this film is adequate for, g.
        tries: the heaviest book it is worth a trial with, g.
        stocks: every stock at hand in one layer and in three, thinnest first.
        changes: with which it would hold, the nearest first; empty where it does.

    """

    film: Film
    weight: float | None
    state: State | None
    governing: Check | None
    checks: tuple[Check, ...]
    carries: float
    tries: float
    stocks: tuple[Carried, ...]
    changes: tuple[Change, ...]

    @property
    def thinnest(self) -> Film | None:
        """The thinnest adequate stock at hand, by all its layers; None where there is none."""
        return next((one.film for one in self.stocks if one.state == "adequate"), None)

    @property
    def refused(self) -> bool:
        """Whether this support is not to be used: another film or another kind is needed."""
        return self.state == "another support"

    @property
    def beyond(self) -> bool:
        """Whether no film helps: the book is taller or heavier than practice carries in film."""
        return any(c.name in ("height", "weight") and c.state == STATES[2] for c in self.checks)

    @property
    def dummy(self) -> float | None:
        """Weight of the dummy that proves it, g: 1.5 × the book's, up to a whole gram."""
        return None if self.weight is None else -(-self.weight * 3 // 2)


def assess(support: Support) -> Verdict:
    """Return the verdict on a support.

    >>> from cutfiles.bench.slip import slip_from
    >>> slip = slip_from({"number": "A1", "units": "mm", "height": 140, "width": 100,
    ...                   "spine_width": 25, "opening_angle": 120, "weight": "200 g"})
    >>> verdict = assess(design(slip))
    >>> verdict.state, verdict.governing.name, round(verdict.governing.measured, 2)
    ('adequate', 'leg', 1.53)

    """
    slip = support.slip
    weight = slip.book.weight
    checks = tuple(check_strength(support, weight))
    state = _worst(checks, weight)
    stocks = _stocks(slip, weight)
    return Verdict(
        film=support.film,
        weight=weight,
        state=state,
        governing=_governing(checks),
        checks=checks,
        carries=_carries(support),
        tries=_carries(support, trial=True),
        stocks=stocks,
        changes=tuple(_changes(slip, checks, stocks)) if state in STATES[1:] else (),
    )


def state_of(support: Support) -> State | None:
    """Return the state alone of a support's verdict; None where the weight decides, unknown."""
    weight = support.slip.book.weight
    return _worst(tuple(check_strength(support, weight)), weight)


def check_strength(support: Support, weight: float | None) -> Iterator[Check]:
    """Yield every check of a support under a book of this weight (g); without one, those left."""
    slip, film = support.slip, support.film
    yield _most("stack", "film", film.stack, THICKEST_STACK, "mm")
    yield _most("height", "book", slip.book.height, TALLEST, "mm")
    if weight is not None:
        yield _most("weight", "book", weight, HEAVIEST, "g")
    for half in support.halves:
        if half.stands:
            slope = board_of(slip, half.side).slope
            yield _most("slope", f"{half.side} board", slope, STEEPEST, "°")
    if weight is not None:
        shares = dict(zip(SIDES, loads(slip, weight), strict=True))
        for half in support.halves:
            if half.stands:
                yield from _half(support, half, shares[half.side])


def loads(slip: Slip, weight: float) -> tuple[float, float]:
    """Return what each side of a book of this weight (g) weighs, N."""
    return side_weights(weight, slip.opening.left.side, slip.opening.right.side)


def _half(support: Support, half: Half, load: float) -> Iterator[Check]:
    """Yield the checks of one standing half, its share of the book weighing so much (N)."""
    slip, film, side = support.slip, support.film, half.side
    board, panel = board_of(slip, side), support.length("board", side)
    force = leg_force(load, board.width, panel)
    for bearing in support.bearings:
        if bearing.side == side:
            capacity = leg_capacity(film, support.breadth, support.panel(bearing.panel).length)
            yield _leg(bearing.panel, film, capacity, borne(bearing, load, force))
    thick = board.side if board.side is not None else book_thickness(slip) / 2
    under = slip.choices.stiff_board if slip.book.cover == "limp" else 0.0
    stiff = film_stiffness(film, support.breadth) + cover_stiffness(
        slip.book.cover, slip.book.height, thick, under
    )
    sag = panel_sag(load, board.width, half.slope, panel, stiff)
    yield _most("sag", f"{side} board", sag, most_sag(panel), "mm")
    length = max(support.breadth - 2 * slip.choices.tape_inset, support.breadth / 2)
    tape = support.tape_on(f"{side} tab")
    if tape is not None:
        used = tape_use(force, length, min(WIDEST_TAPE, tape.width))
        yield _most("tape", tape.panel, used, 1.0, "")


def borne(bearing: Bearing, load: float, force: float) -> float:
    """Return what an upright panel carries, N: a leg its force, at the joint what is left of it."""
    return force if bearing.at == "fore edge" else load - force


def _most(name: str, place: str, measured: float, limit: float, unit: str) -> Check:
    """Check a number against the most it may be."""
    state = STATES[0] if measured <= limit else STATES[2]
    return Check(name, place, measured, limit, unit, state, measured / limit)


def _leg(place: str, film: Film, capacity: float, force: float) -> Check:
    """Check how many times its load a leg bears; as one its layers bear n² as much."""
    ratio = capacity / force if force > 0 else float("inf")
    as_one = film.layers**2 * ratio
    state = STATES[0] if ratio >= SAFE else STATES[1] if as_one >= SAFE else STATES[2]
    return Check("leg", place, ratio, SAFE, "", state, SAFE / ratio)


def _worst(checks: tuple[Check, ...], weight: float | None) -> State | None:
    worst = max((STATES.index(check.state) for check in checks), default=0)
    return None if weight is None and worst == 0 else STATES[worst]


def _governing(checks: tuple[Check, ...]) -> Check | None:
    """Return the check that decides: the worst state, then the most used limit.

    Where all hold, what the film bears is worth telling, not how tall the book is; where no film
    helps, height or weight is.
    """
    worst = max((STATES.index(check.state) for check in checks), default=0)
    deciding = [check for check in checks if STATES.index(check.state) == worst]
    if worst and (beyond := [check for check in deciding if check.name in ("height", "weight")]):
        deciding = beyond
    bearing = [check for check in deciding if check.name in ("leg", "sag", "tape")]
    among = (bearing or deciding) if worst == 0 else deciding
    return max(among, key=lambda check: check.use, default=None)


def _carries(support: Support, *, trial: bool = False) -> float:
    """Return the heaviest book a support is adequate for, or worth a trial with, g."""
    if any(check.state != "adequate" for check in check_strength(support, None)):
        return 0.0
    as_one = support.film.layers**2 if trial else 1
    most = HEAVIEST
    for check in check_strength(support, _PROBE):
        if check.name in ("leg", "sag", "tape") and check.use > 0:
            most = min(most, _PROBE / check.use * (as_one if check.name == "leg" else 1))
    return most


def _designs(slip: Slip) -> Iterator[Support]:
    """Yield the support in every stock at hand, thinnest first."""
    stocks: tuple[FilmKind, ...] = slip.stocks or usual_films()
    films = [stock.film(layers) for stock in stocks for layers in (1, 3)]
    for film in sorted(films, key=lambda film: (round(film.stack, 6), film.layers, film.name)):
        try:
            yield design(replace(slip, film=film))
        except DesignError:
            continue


def _stocks(slip: Slip, weight: float | None) -> tuple[Carried, ...]:
    return tuple(
        Carried(
            support.film, _worst(tuple(check_strength(support, weight)), weight), _carries(support)
        )
        for support in _designs(slip)
    )


def _changes(
    slip: Slip, checks: tuple[Check, ...], stocks: tuple[Carried, ...]
) -> Iterator[Change]:
    """Yield the changes with which it would hold, the nearest first; last another kind."""
    if not any(c.name in ("height", "weight") and c.state != "adequate" for c in checks):
        film = _adequate(slip, stocks)
        yield from _board_alone(slip, checks)
        if film is not None:
            yield Change("film", film)
        else:
            yield from _larger_changes(slip)
    yield Change("support")


def _board_alone(slip: Slip, checks: tuple[Check, ...]) -> Iterator[Change]:
    """Yield a stiff board where a limp cover sags and the film chosen holds with one."""
    if any(check.name == "sag" and check.state != "adequate" for check in checks):
        stiff = _with_board(slip)
        if stiff is not slip and state_of(design(stiff)) == "adequate":
            yield Change("board", slip.film, BOARD_THICKNESS)


def _with_board(slip: Slip) -> Slip:
    """Return a slip with a stiff board under its limp cover; the same one where that is no help."""
    if slip.book.cover != "limp" or slip.choices.stiff_board >= BOARD_THICKNESS:
        return slip
    return replace(slip, choices=replace(slip.choices, stiff_board=BOARD_THICKNESS))


def _adequate(slip: Slip, stocks: tuple[Carried, ...]) -> Film | None:
    """Return the thinnest adequate stock, one with the chosen layers before one with others."""
    films = [one.film for one in stocks if one.state == "adequate"]
    alike = [film for film in films if film.layers == slip.film.layers]
    return next(iter(alike or films), None)


def _larger_changes(slip: Slip) -> Iterator[Change]:
    """Yield what would hold where no film alone does: a board, a flatter opening."""
    stiff = _with_board(slip)
    board = 0.0 if stiff is slip else BOARD_THICKNESS
    slip = stiff
    if board and (film := _chosen_or_adequate(slip)):
        if film != slip.film:
            yield Change("board", film, board)
        return
    steepest = max(slip.opening.left.slope, slip.opening.right.slope)
    for degrees in range(int(min(steepest, STEEPEST + 1) - 1e-9), 4, -1):
        flat = _capped(slip, float(degrees))
        if film := _chosen_or_adequate(flat):
            yield Change("flatter", film, board, float(degrees))
            return


def _chosen_or_adequate(slip: Slip) -> Film | None:
    """Return the chosen film where it is adequate for a slip, else a stock that is, or None."""
    try:
        if state_of(design(slip)) in ("adequate", None):
            return slip.film
    except DesignError:
        return None
    return _adequate(slip, _stocks(slip, slip.book.weight))


def _capped(slip: Slip, degrees: float) -> Slip:
    """Return a slip with no side steeper than this."""
    left, right = (
        replace(board_of(slip, side), slope=min(board_of(slip, side).slope, degrees))
        for side in SIDES
    )
    return replace(slip, opening=replace(slip.opening, left=left, right=right))
