"""The book and how it lies open. Lengths in mm, weights in g, angles in degrees."""

import math
import re
from typing import Literal, get_args

from cutfiles.dataclass import dataclass

SideName = Literal["left", "right"]
SIDES: tuple[SideName, ...] = get_args(SideName)
Cover = Literal["boards", "limp"]
Known = Literal["measured", "level", "asked", "guessed"]
"""How the heights of the joints are known: measured; taken as level, with nothing that speaks
against it; taken as level though they are predicted not to be, so that they are asked for; or
guessed, because the slip says so."""
_LIMP = re.compile(
    r"\b(limp|paperback|softcover|wrappers?|paper covers?|flexib\w+|broschur\w*|broschiert\w*"
    r"|broché\w*|rústica|brossura|brochura|gebrocheerd|häftad)\b",
    re.IGNORECASE,
)
"""Words for limp covers in the languages that lists come in (from memory)."""


def sounds_limp(binding: str) -> bool:
    """Whether a binding as it is described has a limp cover: one rule, for slips and for lists.

    >>> [sounds_limp(text) for text in ("limp vellum", "full calf", "stapled, stiff wrappers")]
    [True, False, False]
    >>> [sounds_limp(text) for text in ("Broschur", "flexibler Pergamentband", "édition brochée")]
    [True, True, True]
    """
    return _LIMP.search(binding) is not None and "stiff" not in binding.lower()


def cover_of(told: Cover | None, binding: str) -> Cover:
    """Return a cover as told; untold, a binding that sounds limp counts as that, and is asked.

    A limp cover bears less: so nothing is made too weak before somebody has answered.

    >>> cover_of(None, "paper wrappers"), cover_of("boards", "paper wrappers"), cover_of(None, "")
    ('limp', 'boards', 'boards')
    """
    return told or ("limp" if sounds_limp(binding) else "boards")


@dataclass(frozen=True, slots=True, kw_only=True)
class Book:
    """One book, whatever page is shown.

    Attributes:
        number: the support's number, drawn on the film and part of every file's name.
        title: short title; any script.
        shelf_mark: where the book belongs; any script.
        height: head to tail of the boards, mm.
        thickness: of the closed book, mm, or None.
        weight: in g, or None.
        cover: stiff boards or a limp cover.
        binding: kind of binding, in words.
        note: what else the bench should know.
        pages: number of the last page or leaf, or None.

    """

    number: str
    height: float
    title: str = ""
    shelf_mark: str = ""
    thickness: float | None = None
    weight: float | None = None
    cover: Cover = "boards"
    binding: str = ""
    note: str = ""
    pages: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """One board as it lies at this opening.

    Attributes:
        width: joint to fore edge, outside, mm.
        slope: angle above the horizontal, degrees.
        side: thickness of board and leaves on that side, mm, or None.
        joint: height of its joint, mm, the book set down by the lower one: 0 on that side.

    """

    width: float
    slope: float
    side: float | None = None
    joint: float = 0.0

    @property
    def rise(self) -> float:
        """Height of the fore edge above the joint, mm: width · sin(slope)."""
        return self.width * math.sin(math.radians(self.slope))


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """One book lying open at one place, as measured. Left and right as one looks at the pages.

    Attributes:
        label: the place: "p. 84-85", "ff. 31v-32r".
        left: the left board.
        right: the right board.
        spine_width: joint to joint across the spine at this opening, mm.
        page_angle: between the open leaves, degrees, or None.
        joints: how the heights of the joints are known.

    """

    label: str
    left: Board
    right: Board
    spine_width: float
    page_angle: float | None = None
    joints: Known = "level"

    @property
    def step(self) -> float:
        """The left joint above the right one, mm."""
        return self.left.joint - self.right.joint

    @property
    def opening_angle(self) -> float:
        """Between the boards, degrees: 180 − left slope − right slope."""
        return 180.0 - self.left.slope - self.right.slope


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """What is free inside the case, mm; None where it was not measured.

    Attributes:
        depth: front to back.
        width: left to right.
        height: from the floor to what is above.

    """

    depth: float | None = None
    width: float | None = None
    height: float | None = None


def slope_from_rise(rise: float, width: float) -> float:
    """Return the slope in degrees: asin(rise / width).

    Raises:
        ValueError: the rise is above the width.

    >>> round(slope_from_rise(66.5, 133), 1)
    30.0

    """
    return math.degrees(math.asin(rise / width))
