"""The steps of folding as data: which creases are folded to which angle, what is taped to what.

A kind of support gives its steps. A step names creases and the signed fold angle each has after it,
so that a picture can be drawn of every step and the whole order can be executed. A crease that no
step has named yet is flat.
"""

import math
from collections.abc import Iterable
from dataclasses import replace
from typing import Literal

from cutfiles.bench.film import Film
from cutfiles.dataclass import dataclass
from cutfiles.support.contacts import Tape
from cutfiles.support.profile import Fold, Profile

Verb = Literal[
    "Lay",
    "Turn over",
    "Turn back",
    "Tape",
    "Tuck",
    "Cover",
    "Hem",
    "Lip",
    "Post",
    "Raise",
    "Bend",
    "Bend up",
    "Turn in",
    "Roll",
    "Fit",
    "Stick",
    "Check",
]

INNER_FOLD, OUTER_FOLD = "inner long fold", "outer long fold"
"""The long folds of a strip folded in three, named as in the pattern."""
LONG_LETTERS = {INNER_FOLD: "X", OUTER_FOLD: "Y"}
"""What the long folds are called on every page."""
CROSS_LETTERS = "ABCDEFGHJKMNPQSTUVW"
"""What cross creases are called, from left to right: L and R are sides, I and O read as digits."""


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
        taped: what is stuck in it, in this order.
        in_turn: whether its folds must be made one after the other.

    """

    verb: Verb
    folds: tuple[FoldTo, ...] = ()
    taped: tuple[Tape, ...] = ()
    in_turn: bool = False


def letters_of(profile: Profile) -> dict[str, str]:
    """Return the letter of every crease, by its name: cross creases from the left, long folds."""
    names = (fold.name for fold in profile.folds)
    return dict(zip(names, CROSS_LETTERS, strict=False)) | LONG_LETTERS


def all_steps(film: Film, own: Iterable[FoldStep]) -> tuple[FoldStep, ...]:
    """Return a kind's own steps with what comes before and after them.

    Film on a table is not folded under: it is turned over, its flaps are folded up and over, and
    there the tape is laid, for later folds hide the face it lies on. Then it is turned back.

    >>> from cutfiles.bench.film import Film
    >>> [step.verb for step in all_steps(Film(gauge=0.127, layers=1), [FoldStep("Bend")])]
    ['Lay', 'Turn over', 'Tape', 'Turn back', 'Bend', 'Fit', 'Check']
    """
    steps = tuple(own)
    flaps = (
        FoldStep("Tuck", (FoldTo(INNER_FOLD, -math.pi),)),
        FoldStep("Cover", (FoldTo(OUTER_FOLD, -math.pi),)),
    )
    return (
        FoldStep("Lay"),
        FoldStep("Turn over"),
        *(flaps if film.layers == 3 else ()),
        FoldStep("Tape", taped=tuple(tape for step in steps for tape in step.taped)),
        FoldStep("Turn back"),
        *with_fitting(steps),
        FoldStep("Check"),
    )


def folding(verb: Verb, folds: Iterable[Fold], *parts: str, in_turn: bool = False) -> FoldStep:
    """Return the step that folds all creases of these parts, in the order of the strip."""
    to = tuple(FoldTo(fold.name, fold.angle) for fold in folds if fold.part in parts)
    return FoldStep(verb, to, in_turn=in_turn)


def with_fitting(steps: Iterable[FoldStep]) -> tuple[FoldStep, ...]:
    """Return the steps with the fitting, the book on it, before the last liner leaves its tape.

    >>> [step.verb for step in with_fitting([FoldStep("Bend")])]
    ['Bend', 'Fit']
    """
    found = list(steps)
    last = max((i for i, step in enumerate(found) if step.taped), default=len(found))
    return (*found[:last], FoldStep("Fit"), *found[last:])


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
