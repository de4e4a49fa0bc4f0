"""Draws slips: sound ones over the whole range of books, and values for their fields."""

import contextlib
import functools
import math
import random

from hypothesis import strategies as st

from cutfiles.bench.slip import slip_from
from cutfiles.errors import DesignError
from cutfiles.support.design import design

RANGES = {
    "height": (30, 420),
    "left_width": (20, 300),
    "right_width": (20, 300),
    "spine_width": (4, 90),
    "left_slope": (0, 75),
    "right_slope": (0, 75),
}
CHOICES = {
    "layers": (1, 3),
    "gauge": (0.0508, 0.0762, 0.1016, 0.127, 0.1778, 0.254),
    "relief_diameter": (0, 1.0, 1.5),
    "corner_radius": (0, 1.0, 3.0),
}
INSETS = {"fore_inset": (0, 6), "end_inset": (0, 4)}


def lengths(low, high):
    return st.integers(round(low * 100), round(high * 100)).map(lambda n: n / 100)


@functools.cache
def values(layers=None):
    """Fields of a sound slip, in mm and degrees.

    Built once: a strategy made anew for every slip took four fifths of the time of these tests.
    """
    return st.fixed_dictionaries(
        {
            "number": st.sampled_from(["A1", "B 12/3", "Żółw-7", "x" * 40, "&"]),
            "units": st.just("mm"),
            **{name: lengths(*ends) for name, ends in RANGES.items()},
            "support": st.fixed_dictionaries(
                {
                    **{name: lengths(*ends) for name, ends in INSETS.items()},
                    **{name: st.sampled_from(of) for name, of in CHOICES.items()},
                    **({"layers": st.just(layers)} if layers else {}),
                }
            ),
        }
    )


@functools.cache
def slips(layers=None):
    """Sound slips from which a cradle follows."""
    return values(layers).map(_slip).filter(_follows)


def _slip(fields):
    """Return the slip of a plain strip; hems, lips and posts are drawn by tests of their own."""
    edges = "folded" if fields["support"]["layers"] == 3 else "cut"
    made = {"construction": "plain", "edges": edges}
    return slip_from({**fields, "support": {**fields["support"], **made}})


def _follows(slip):
    try:
        design(slip)
    except DesignError:
        return False
    return True


@functools.cache
def sound_slips(count):
    """The same slips every time, from which cradles follow, each with its support.

    For properties that want thousands of books: ten times as quick as drawing them with
    hypothesis, which the same tests do with fewer, for its odd values and for its shrinking.
    """
    dice, found = random.Random(1), []

    def between(low, high):  # every tenth lies at an end of its range
        share = 10 * dice.random()
        if share < 0.5 or share > 9.5:
            return low if share < 0.5 else high
        return round(low + (high - low) * share / 10, 2)

    while len(found) < count:
        fields = {name: between(*ends) for name, ends in RANGES.items()}
        support = {name: between(*ends) for name, ends in INSETS.items()}
        support |= {name: of[int(len(of) * dice.random())] for name, of in CHOICES.items()}
        slip = slip_from({"number": "A1", "units": "mm", **fields, "support": support})
        with contextlib.suppress(DesignError):
            found.append((slip, design(slip)))
    return tuple(found)


def mirrored(fields):
    """The same book with left and right exchanged."""
    swapped = {}
    for name, value in fields.items():
        if name.startswith("left_"):
            name = "right_" + name.removeprefix("left_")
        elif name.startswith("right_"):
            name = "left_" + name.removeprefix("right_")
        swapped[name] = value
    return swapped


def is_its_own_mirror(fields):
    """Whether the book is alike on both sides: tabs over one another then go one way, left first.

    To the hundredth of a millimetre, as files state a width and a rise.
    """

    def side(name):
        width = fields[f"{name}_width"]
        return width, round(width * math.sin(math.radians(fields[f"{name}_slope"])), 2)

    return side("left") == side("right")


def both_or_none(make, fields):
    """Return what is made of a slip and of its mirror image; both refused are two times None.

    What is refused for one hand only is a fault that this lets through as an error.
    """
    made = []
    for values_ in (fields, mirrored(fields)):
        try:
            made.append(make(values_))
        except DesignError as error:
            made.append(error)
    if all(isinstance(one, DesignError) for one in made):
        return None, None
    for one in made:
        if isinstance(one, DesignError):
            raise AssertionError("refused for one hand only") from one
    return made


def st_numbers():
    """Texts that might be a support's number: letters of many scripts, signs, controls."""
    latin = st.characters(min_codepoint=32, max_codepoint=0x24F)
    return st.text(st.one_of(latin, st.characters()), min_size=1, max_size=12)
