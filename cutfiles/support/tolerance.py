"""What a millimetre does: how far leg, base, opening and verdict move with the usual errors.

Each measured field is changed by the error with which it usually repeats (common practice, from
memory), the whole support designed anew, and compared.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any, Literal, NamedTuple

from cutfiles.bench.book import SIDES, SideName
from cutfiles.bench.doubts import TILTS_APART
from cutfiles.bench.slip import Slip, slip_from
from cutfiles.errors import CutfilesError
from cutfiles.support.design import design
from cutfiles.support.standing import Support, board_of
from cutfiles.support.states import STATES, State
from cutfiles.support.trials import Trial
from cutfiles.support.verdict import state_of

RISE, SLOPE, OPENING, TILT = 2.0, 3.0, 5.0, TILTS_APART
"""How well a rise or a joint (mm), a slope by an angle gauge, an opening angle of boards or leaves
and a spine's tilt (degrees) repeat."""
_ERRORS = {
    "height": 1.0,
    "width": 1.0,
    "left_width": 1.0,
    "right_width": 1.0,
    "spine_width": 2.0,
    "thickness": 1.0,
    "left_rise": RISE,
    "right_rise": RISE,
    "left_joint": RISE,
    "right_joint": RISE,
    "left_fore_edge": RISE,
    "right_fore_edge": RISE,
    "left_slope": SLOPE,
    "right_slope": SLOPE,
    "opening_angle": OPENING,
    "page_angle": OPENING,
    "spine_tilt": TILT,
    "left_side": 1.0,
    "right_side": 1.0,
    "weight": 5.0,
}
_LIMP_WIDTH = 3.0
_UNITS = {
    "weight": "g",
    "left_slope": "°",
    "right_slope": "°",
    "opening_angle": "°",
    "page_angle": "°",
    "spine_tilt": "°",
}


class Effect(NamedTuple):
    """What the usual error of one field does, up or down, whichever is more.

    Attributes:
        field: of the slip.
        error: how well it repeats.
        unit: of the error.
        leg: largest change of a leg, mm.
        base: largest change of a base, mm.
        opening: change of the opening angle, degrees.
        states: other states of the verdict that lie within the error, the worst last.
        fails: whether no cradle follows within the error.

    """

    field: str
    error: float
    unit: str
    leg: float
    base: float
    opening: float
    states: tuple[State, ...]
    fails: bool


def error_effects(support: Support, trials: Sequence[Trial]) -> tuple[Effect, ...]:
    """Return what the usual error of each measured field does, in the order of the slip.

    A piece that stood under its dummy stood for its book, whatever was measured a little wrong.

    >>> slip = slip_from({"number": "A1", "units": "mm", "height": 203, "width": 133,
    ...                   "spine_width": 34, "left_rise": 66, "right_rise": 66})
    >>> [(e.field, round(e.leg, 2)) for e in error_effects(design(slip), ()) if e.leg > 1]
    [('left_rise', 1.95), ('right_rise', 1.95)]
    """
    given = support.slip.given
    used = [name for name in _ERRORS if name in given and not _idle(name, given)]
    state = state_of(support, trials)
    return tuple(_effect(support, name, state, trials) for name in used)


def matters_most(effects: tuple[Effect, ...]) -> Effect | None:
    """Return the field that matters most: one that turns the verdict, else the largest move."""

    def weight(effect: Effect) -> tuple[bool, bool, float]:
        # rounded, so that of two alike the first is named on every machine
        return effect.fails, bool(effect.states), round(max(effect.leg, effect.base), 3)

    return max(effects, key=weight, default=None)


def slope_error(slip: Slip, side: SideName) -> float:
    """Return how uncertain a side's slope is, radians.

    From rise r over width W:  da = √(dr² + (sin a · dW)²) / (W cos a)
    A rise that is the difference of fore edge and joint has the errors of both.
    """
    board, given = board_of(slip, side), slip.given
    if f"{side}_rise" in given or f"{side}_fore_edge" in given:
        width = _error(f"{side}_width", slip)
        both = f"{side}_rise" not in given and given.get(f"{side}_joint", 0.0) > 0
        rise = math.hypot(RISE, RISE) if both else RISE
        over = math.hypot(rise, math.sin(math.radians(board.slope)) * width)
        return over / (board.width * math.cos(math.radians(board.slope)))
    if f"{side}_slope" in given or "opening_angle" not in given:
        return math.radians(SLOPE)
    alone = not any(f"{s}_{m}" in given for s in SIDES for m in ("rise", "slope", "fore_edge"))
    return math.radians(OPENING / 2 if alone else OPENING)


def _idle(name: str, given: Mapping[str, Any]) -> bool:
    """Tell whether another measure of the same thing was used instead."""
    if name.endswith("_slope"):
        side = name.removesuffix("_slope")
        return bool({f"{side}_rise", f"{side}_fore_edge"} & given.keys())
    if name.endswith("_fore_edge"):
        return name.replace("_fore_edge", "_rise") in given
    if name == "spine_tilt":
        return bool({"left_joint", "right_joint"} & given.keys())
    if name == "opening_angle":
        heights = ("rise", "slope", "fore_edge")
        return all({f"{side}_{one}" for one in heights} & given.keys() for side in SIDES)
    return name == "thickness" and "spine_width" in given


def _error(name: str, slip: Slip) -> float:
    limp = slip.book.cover == "limp" and name.endswith("width") and name != "spine_width"
    return _LIMP_WIDTH if limp else _ERRORS[name]


def _effect(support: Support, name: str, state: State, trials: Sequence[Trial]) -> Effect:
    error, stood = _error(name, support.slip), state == "proved"
    others = [_varied(support.slip, name, sign * error) for sign in (-1, 1)]
    made = [other for other in others if other is not None]
    states = {state_of(other, trials, stood=stood) for other in made} - {state}
    return Effect(
        field=name,
        error=error,
        unit=_UNITS.get(name, "mm"),
        leg=max((_moved(support, other, "leg") for other in made), default=0.0),
        base=max((_moved(support, other, "base") for other in made), default=0.0),
        opening=max((_opened(support, other) for other in made), default=0.0),
        states=tuple(s for s in STATES if s in states),
        fails=len(made) < len(others),
    )


def _varied(slip: Slip, name: str, by: float) -> Support | None:
    """Return the support with one field changed; None where none follows."""
    values = {path: value for path, value in slip.given.items() if not path.startswith("support.")}
    how = {one: getattr(slip.choices, one) for one in ("joints", "follow")}
    least = -math.inf if name == "spine_tilt" else 0.0
    values |= {"units": "mm", name: max(least, values[name] + by), "support": how}
    if name == "weight":
        values[name] = f"{max(1.0, slip.given[name] + by)} g"
    elif "weight" in values:
        values["weight"] = f"{values['weight']} g"
    try:
        other = slip_from(values)
        return design(replace(slip, book=other.book, opening=other.opening))
    except CutfilesError:
        return None


def _moved(one: Support, other: Support, part: Literal["leg", "base"]) -> float:
    def lengths(support: Support) -> list[float]:
        return [support.length(part, side) for side in SIDES]

    return max(abs(a - b) for a, b in zip(lengths(one), lengths(other), strict=True))


def _opened(one: Support, other: Support) -> float:
    return abs(one.slip.opening.opening_angle - other.slip.opening.opening_angle)
