"""The verdict: whether a support carries its book, what governs, and which construction would.

Four states. *adequate*: every check holds, counting only what is sure. *proved*: this very piece
stood under its dummy. *make a trial*: not sure, yet within what the construction may reach.
*another support*: not this one; `Verdict.changes` says what is nearest.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Literal, NamedTuple

from cutfiles.bench.book import SIDES
from cutfiles.bench.questions import HEAVY, LIGHT, weight_of
from cutfiles.bench.slip import Slip
from cutfiles.dataclass import dataclass
from cutfiles.errors import DesignError
from cutfiles.support.bags import Bags, bags_for
from cutfiles.support.carried import check_sure, practice_weight
from cutfiles.support.choose import Choice, choose
from cutfiles.support.constructions.posts import FACE
from cutfiles.support.constructions.strip import DEPTH
from cutfiles.support.judge import Judged, Tested, check_across, judge_made
from cutfiles.support.lay import stand_of
from cutfiles.support.limits import BOARD_THICKNESS, HEAVIEST, STEEPEST, Check, check_practice
from cutfiles.support.settle import judged_ways, way_of
from cutfiles.support.standing import Support, board_of
from cutfiles.support.states import SAFE, STATES, State, reach, strength_state, verdict_state
from cutfiles.support.trials import Factor, LegOnTrial, Trial, last_fall, piece_stood
from cutfiles.support.tried import factor_by, tried_by
from cutfiles.support.ways import Stand

LOADED = ("leg", "sag", "tape", "across", "riser")
"""Checks that tell what a support bears."""
BEYOND = ("height", "weight")
"""Checks of the book itself: where they fail, no film helps."""
BOWS = ("gauge", "spine rises", "leg bows")
"""Checks of what three layers do when they are folded."""
UNSURE = ("joints", "leaves")
"""Checks of what was not measured: where they fail, nothing else is worth telling first."""


class Change(NamedTuple):
    """A change with which it would hold.

    Attributes:
        kind: what is unsure to ``measure``, another ``way`` to make it, a stiff ``board`` under
            the limp cover, a ``flatter`` opening, or another kind of ``support``.
        way: made so; None for another kind of support.
        board: with a board this thick under the limp cover, mm; 0 for none.
        slope: with no side steeper than this, degrees; 0 where slopes stay.
        field: of the slip, to be measured.

    """

    kind: Literal["measure", "way", "board", "flatter", "support"]
    way: Judged | None = None
    board: float = 0.0
    slope: float = 0.0
    field: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """Whether a support carries its book, and what would.

    Attributes:
        state: of the four.
        made: how it is made, and what its legs carry.
        weight: it is judged at, g.
        estimated: whether nobody weighed the book: it is judged at the upper end of what books
            of its size weigh.
        light: state at the lower end, where the weight is estimated.
        guessed: whether heights of joints were guessed, or taken as level against what is
            predicted: at most a trial.
        governing: the check that decides.
        checks: all of them, legs first.
        carries: the heaviest book of this size and opening it is adequate for, g.
        tries: the heaviest book it is worth a trial with, g.
        bags: of the dummy that proves it, left board first.
        tests: what the studio's tests of this kind say.
        stood: whether this very piece stood under its dummy.
        ways: every way to make it from the films at hand, judged.
        changes: with which it would hold, the nearest first; empty where it does.
        fell: the leg that collapsed in the last test of a support of this number, if it did.

    """

    state: State
    made: Judged
    weight: float
    estimated: bool
    light: State | None
    guessed: bool
    governing: Check
    checks: tuple[Check, ...]
    carries: float
    tries: float
    bags: tuple[Bags, Bags]
    tests: Factor
    stood: bool
    ways: tuple[Judged, ...]
    changes: tuple[Change, ...]
    fell: Trial | None = None

    @property
    def holds(self) -> bool:
        """Whether it may carry the book: adequate, or proved."""
        return self.state in ("adequate", "proved")

    @property
    def refused(self) -> bool:
        """Whether this support is not to be used."""
        return self.state == "another support"

    @property
    def beyond(self) -> bool:
        """Whether no film helps: the book is taller or heavier than practice carries in film.

        A weight that is only estimated, at the upper end, refuses nobody.
        """
        known = [check for check in self.checks if not (self.estimated and check.name == "weight")]
        return any(c.name in BEYOND and c.state == "another support" for c in known)

    @property
    def bows(self) -> Check | None:
        """Where layers that the long folds hold bow further than they may; None where none does."""
        return next((c for c in self.checks if c.name in BOWS and c.state != "adequate"), None)

    @property
    def least(self) -> Judged | None:
        """The adequate way with the least film other than this one, the runner-up."""
        others = [one for one in self.ways if one.way != self.made.way]
        found = choose(others, prefer="film")
        return found.chosen if found else None

    @property
    def dummy(self) -> float:
        """Weight of the dummy that proves it, g: all its bags, 1.5 × the book's or a little more.

        Of a book that nobody weighed, by the weight it is judged at.
        """
        return float(sum(bags.total for bags in self.bags))


def assess(
    support: Support, trials: Sequence[Trial] = (), ways: Sequence[Judged] | None = None
) -> Verdict:
    """Return the verdict on a support.

    Args:
        support: as designed.
        trials: the studio's.
        ways: to make it, if judged before.

    >>> from cutfiles.bench.slip import slip_from
    >>> slip = slip_from({"number": "A1", "units": "mm", "height": 140, "width": 100,
    ...                   "spine_width": 25, "opening_angle": 120, "weight": "200 g"})
    >>> from cutfiles.support.design import design
    >>> verdict = assess(design(slip))
    >>> verdict.state, verdict.governing.name, round(verdict.governing.measured, 2)
    ('adequate', 'leg', 1.73)

    """
    slip, tested = support.slip, tried_by(trials)
    weight, estimated = weight_of(slip)
    made, checks = _judged(support, weight, tested)
    stood = _stood(support, made, trials)
    guessed = slip.opening.joints in ("asked", "guessed")
    state = _state(checks, stood, guessed)
    light = None
    if estimated:
        lower = _judged(support, weight * LIGHT / HEAVY, tested)[1]
        light = _state(lower, stood, guessed)
    ways = judged_ways(slip, tested) if ways is None else tuple(ways)
    way = made.way
    carries, tries = _most(support, checks, made, weight)
    return Verdict(
        state=state,
        made=made,
        weight=weight,
        estimated=estimated,
        light=light,
        guessed=guessed,
        governing=_governing(checks),
        checks=checks,
        carries=carries,
        tries=tries,
        bags=bags_for(slip, weight),
        tests=factor_by(trials, way.construction, way.layers, way.film),
        stood=stood,
        ways=tuple(ways),
        changes=() if state in STATES[:2] else tuple(_changes(support, checks, ways, tested)),
        fell=last_fall(trials, slip.book.number),
    )


def state_of(support: Support, trials: Sequence[Trial], *, stood: bool = False) -> State:
    """Return the state alone of a support's verdict.

    Args:
        support: as designed.
        trials: the studio's; what a verdict rests on, its tables rest on too.
        stood: whether it is a piece that stood, told otherwise.

    """
    made, checks = _judged(support, weight_of(support.slip)[0], tried_by(trials))
    guessed = support.slip.opening.joints in ("asked", "guessed")
    return _state(checks, stood or _stood(support, made, trials), guessed=guessed)


def _judged(support: Support, weight: float, tested: Tested) -> tuple[Judged, tuple[Check, ...]]:
    stand, slip = stand_of(support, weight), support.slip
    made = judge_made(stand, way_of(support), tested)
    slopes = {
        f"{side} board": math.radians(board_of(slip, side).slope)
        for side in SIDES
        if (half := support.half(side)) is not None and half.stands
    }
    practice = check_practice(slip.book.height, practice_weight(support, weight), slopes)
    return made, (*_legs(stand, made), *made.checks, *practice, *check_sure(slip))


def _legs(stand: Stand, made: Judged) -> Iterator[Check]:
    """Yield what each leg bears, times its load."""
    for leg, capacity in zip(stand.legs, made.legs, strict=True):
        sure, name = capacity.sure, stand.strip.panels[leg.panel].name
        state = strength_state(sure, reach(capacity.construction, made.way.layers))
        yield Check("leg", name, sure, SAFE, SAFE / sure if sure > 0 else math.inf, state)


def _stood(support: Support, made: Judged, trials: Sequence[Trial]) -> bool:
    """Return whether this very piece stood under its dummy, every leg of it."""
    legs = legs_on_trial(support, made)
    return bool(legs) and piece_stood(trials, support.slip.book.number, legs)


def legs_on_trial(support: Support, made: Judged) -> tuple[LegOnTrial, ...]:
    """Return each leg as a row of trials tells it, with what the book loads it with, N."""
    bearings = (bearing for bearing in support.bearings if bearing.at == "fore edge")
    return tuple(
        LegOnTrial(
            panel=bearing.panel,
            side=bearing.side,
            construction=leg.construction,
            layers=made.way.layers,
            gauge=made.way.film.gauge,
            leg=support.panel(bearing.panel).length,
            breadth=support.breadth,
            face={"posts": FACE, "lips": DEPTH}.get(leg.construction, 0.0),
            posts=leg.posts if leg.construction == "posts" else 0,
            load=leg.load,
        )
        for bearing, leg in zip(bearings, made.legs, strict=True)
    )


def _state(checks: Sequence[Check], stood: bool, guessed: bool) -> State:
    return verdict_state(
        "adequate", (check.state for check in checks), stood=stood, guessed=guessed
    )


def _governing(checks: Sequence[Check]) -> Check:
    """Return the check that decides: the worst state, then the most used limit.

    Where all hold, what the film bears is worth telling, not how tall the book is; where no film
    helps, height or weight is.
    """
    worst = max(STATES.index(check.state) for check in checks)
    deciding = [check for check in checks if STATES.index(check.state) == worst]
    unsure = [check for check in deciding if check.name in UNSURE]
    if unsure:
        return unsure[0]
    beyond = [check for check in deciding if check.name in BEYOND]
    bearing = [check for check in deciding if check.name in LOADED]
    among = (bearing if worst <= 1 else beyond) or deciding
    return max(among, key=lambda check: check.share)


def _most(
    support: Support, checks: Sequence[Check], made: Judged, weight: float
) -> tuple[float, float]:
    """Return the heaviest book a support is adequate for, and worth a trial with, g.

    All loads grow with weight alone; the board across from what its leg's middle carries, if ever.
    """
    if any(
        check.state != "adequate" and check.name not in (*LOADED, *UNSURE, "weight")
        for check in checks
    ):
        return 0.0, 0.0
    carries = tries = HEAVIEST
    least = {"leg": min((reach(x.construction, made.way.layers) for x in made.legs), default=1.0)}
    across = _across(support, made, [check for check in checks if check.name == "across"])
    for check in checks:
        if check.name in LOADED and (check.share > 0 or check.name == "across"):
            most = across[check.place] if check.name == "across" else weight / check.share
            carries, tries = min(carries, most), min(tries, most * least.get(check.name, 1.0))
    return carries, max(carries, tries)


def _across(support: Support, made: Judged, checks: Sequence[Check]) -> dict[str, float]:
    """Return by place at which weight boards sag across to the limit: lines, of two far points."""
    if not checks:
        return {}
    far = (10 * HEAVIEST, 20 * HEAVIEST)
    less, more = (_sagging(support, made, weight) for weight in far)
    growth = {place: (more[place] - sag) / (far[1] - far[0]) for place, sag in less.items()}
    over = {one.place: one.limit - less[one.place] for one in checks}
    return {at: far[0] + over[at] / growth[at] if growth[at] else math.inf for at in over}


def _sagging(support: Support, made: Judged, weight: float) -> dict[str, float]:
    """Return by place how far boards on lips sag across under a book of this weight (g), mm."""
    stand = stand_of(support, weight)
    lipped = (x for x, one in zip(stand.legs, made.legs, strict=True) if one.construction == "lips")
    found = (check_across(stand, made.way.film, leg) for leg in lipped)
    return {one.place: one.measured for one in found}


# -- what would hold ------------------------------------------------------------------------------


def _changes(
    support: Support, checks: Sequence[Check], ways: Sequence[Judged], tested: Tested
) -> Iterator[Change]:
    """Yield the changes with which it would hold, the nearest first; last another kind."""
    slip = support.slip
    unsure = next((c for c in checks if c.name in UNSURE and c.state != "adequate"), None)
    if unsure is not None:
        yield Change("measure", field=unsure.place.replace(" ", "_"))
        if all(c.state == "adequate" for c in checks if c is not unsure):
            return
    if not any(c.name in BEYOND and c.state != "adequate" for c in checks):
        steep = any(c.name == "slope" and c.state != "adequate" for c in checks)
        better = None if steep else _chosen(slip, ways)
        if better is not None:
            yield Change("way", better)
        else:
            yield from _larger_changes(slip, tested)
    yield Change("support")


def _chosen(slip: Slip, ways: Sequence[Judged]) -> Judged | None:
    """Return the way that is chosen of all, folded edges first, or None."""
    choices = slip.choices
    edges: Literal["folded", "any"] = "folded" if choices.edges == "folded" else "any"
    found: Choice | None = choose(ways, edges=edges, prefer=choices.prefer)
    return found.chosen if found else None


def _larger_changes(slip: Slip, tested: Tested) -> Iterator[Change]:
    """Yield what would hold where no construction alone does: a board, a flatter opening."""
    board = 0.0
    if slip.book.cover == "limp" and slip.choices.stiff_board < BOARD_THICKNESS:
        board = BOARD_THICKNESS
        slip = replace(slip, choices=replace(slip.choices, stiff_board=board))
        if found := _adequate(slip, tested):
            yield Change("board", found, board)
            return
    if slip.opening.step:  # a flatter opening has other joints, which nobody measured
        return
    steepest = max(slip.opening.left.slope, slip.opening.right.slope)
    low, high = 4, int(min(steepest, math.degrees(STEEPEST) + 1) - 1e-9) + 1
    best: Judged | None = None
    while high - low > 1:  # what carries a steeper board carries a flatter one
        degrees = (low + high) // 2
        if found := _adequate(_capped(slip, float(degrees)), tested):
            low, best = degrees, found
        else:
            high = degrees
    if best is not None:
        yield Change("flatter", best, board, float(low))


def _adequate(slip: Slip, tested: Tested) -> Judged | None:
    try:
        folded = slip.choices.edges == "folded"  # cut ones are not chosen then, nor judged
        return _chosen(slip, judged_ways(slip, tested, lambda way: not folded or way.edge != "cut"))
    except DesignError:
        return None


def _capped(slip: Slip, degrees: float) -> Slip:
    """Return a slip with no side steeper than this."""
    left, right = (
        replace(board_of(slip, side), slope=min(board_of(slip, side).slope, degrees))
        for side in SIDES
    )
    return replace(slip, opening=replace(slip.opening, left=left, right=right))
