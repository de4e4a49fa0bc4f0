"""Draws slips: sound ones over the whole range of books, and values for their fields."""

from hypothesis import assume
from hypothesis import strategies as st

from cutfiles.bench.slip import slip_from
from cutfiles.errors import DesignError
from cutfiles.support.design import design


def lengths(low, high):
    return st.integers(round(low * 100), round(high * 100)).map(lambda n: n / 100)


@st.composite
def values(draw, layers=None):
    """Fields of a sound slip, in mm and degrees."""
    chosen = {
        "number": draw(
            st.sampled_from(["A1", "B 12/3", "Żółw-7", "x" * 40, "…".replace("…", "&")])
        ),
        "units": "mm",
        "height": draw(lengths(30, 420)),
        "left_width": draw(lengths(20, 300)),
        "right_width": draw(lengths(20, 300)),
        "spine_width": draw(lengths(4, 90)),
        "left_slope": draw(lengths(0, 75)),
        "right_slope": draw(lengths(0, 75)),
        "support": {
            "layers": layers or draw(st.sampled_from([1, 3])),
            "gauge": draw(st.sampled_from([0.0508, 0.0762, 0.1016, 0.127, 0.1778, 0.254])),
            "fore_inset": draw(lengths(0, 6)),
            "end_inset": draw(lengths(0, 4)),
            "nesting": draw(st.sampled_from([0, 0.5, 1])),
            "relief_diameter": draw(st.sampled_from([0, 1.0, 1.5])),
            "corner_radius": draw(st.sampled_from([0, 1.0, 3.0])),
        },
    }
    return chosen


@st.composite
def slips(draw, layers=None):
    """Sound slips from which a cradle follows."""
    slip = slip_from(draw(values(layers=layers)))
    try:
        design(slip)
    except DesignError:
        assume(False)
    return slip


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


def st_numbers():
    """Texts that might be a support's number: letters of many scripts, signs, controls."""
    latin = st.characters(min_codepoint=32, max_codepoint=0x24F)
    return st.text(st.one_of(latin, st.characters()), min_size=1, max_size=12)
