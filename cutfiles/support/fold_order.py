"""The fold order: step by step, which creases are folded, and to which angle.

Thirds first, then the spine's valleys, the apexes, the feet, last the tabs. A step names creases
and the signed fold angle each has after it, so that a picture can be drawn of every step and the
whole order can be executed. A crease that no step has named yet is flat.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

from cutfiles.bench.slip import SideName
from cutfiles.support.cradle import SIDES, Support
from cutfiles.support.profile import Profile

Verb = Literal["Lay", "Tuck", "Cover", "Raise", "Bend", "Turn in", "Stick", "Check"]

INNER_FOLD, OUTER_FOLD = "inner long fold", "outer long fold"
"""The long folds of a strip folded in three, named as in the pattern."""


@dataclass(frozen=True, slots=True)
class FoldTo:
    """One crease and the angle it is folded to.

    Attributes:
        crease: its name: ``left spine``, ``inner long fold``; a cross crease goes through all
            layers.
        angle: radians from flat, valley (towards the book face) positive.

    """

    crease: str
    angle: float


@dataclass(frozen=True, slots=True)
class FoldStep:
    """One step at the bench.

    Attributes:
        verb: what to do, in one word.
        folds: creases folded in it, in this order; none where nothing is folded.
        sides: sides whose tabs are stuck in it.

    """

    verb: Verb
    folds: tuple[FoldTo, ...] = ()
    sides: tuple[SideName, ...] = ()


def fold_order(support: Support) -> tuple[FoldStep, ...]:
    """Return the steps from the flat piece to the standing support.

    A side without a wing has no creases. The left base is turned in before the right one: where
    tabs are lapped, the right one is stuck on the left one from below.
    """
    steps = [FoldStep("Lay")]
    if support.film.layers == 3:
        steps += [
            FoldStep("Tuck", (FoldTo(INNER_FOLD, -math.pi),)),
            FoldStep("Cover", (FoldTo(OUTER_FOLD, -math.pi),)),
        ]
    standing = tuple(side for side in SIDES if support.half(side).stands)
    steps += [
        FoldStep("Raise", _folds(support, "spine", standing)),
        FoldStep("Bend", _folds(support, "apex", standing)),
    ]
    steps += [
        FoldStep("Turn in", _folds(support, "foot", standing)),
        FoldStep("Stick", sides=standing),
        FoldStep("Check"),
    ]
    return tuple(steps)


def _folds(support: Support, kind: str, sides: tuple[SideName, ...]) -> tuple[FoldTo, ...]:
    angles = {fold.name: fold.angle for fold in support.profile.folds}
    return tuple(FoldTo(name, angles[name]) for side in sides if (name := f"{side} {kind}"))


def angles_after(steps: Iterable[FoldStep]) -> dict[str, float]:
    """Return the fold angle of each crease folded by these steps, radians.

    >>> angles_after([FoldStep("Raise", (FoldTo("left spine", 0.5),))])
    {'left spine': 0.5}
    """
    return {fold.crease: fold.angle for step in steps for fold in step.folds}


def profile_after(profile: Profile, steps: Iterable[FoldStep]) -> Profile:
    """Return the profile as it is after these steps: creases not named yet are flat."""
    angles = angles_after(steps)
    folds = tuple(replace(fold, angle=angles.get(fold.name, 0.0)) for fold in profile.folds)
    return replace(profile, folds=folds)
