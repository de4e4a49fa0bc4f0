"""Rows whose bare numbers seem to count in another unit than those of the list's other rows."""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from statistics import median
from typing import NamedTuple

from cutfiles.errors import Fault, Place, ReadingError
from cutfiles.lists.wording.senses import AXES
from cutfiles.units import UNITS, Units, read_length

OTHERS = 3
"""So many other rows tell how large the books of a list are."""
FAR = 6.0
"""A row whose height and width are both so many times smaller or larger than the list's is asked.

Centimetres among millimetres are 10 times, inches 25.4 times out; books of one list seldom differ
by half of that both ways (common practice, no source).
"""
NEAR = 3.0
"""Another unit is proposed where it brings height and width within so many times of the list's."""
_WORDS = {"mm": "millimetres", "cm": "centimetres", "m": "metres", "in": "inches"}


class Sized(NamedTuple):
    """The measures of one row, as texts with units, and which unit no cell of it states.

    Attributes:
        place: of the row.
        values: height, width and thickness, as far as the row has them.
        given: fields whose unit the column's name or the user said, and which unit.
        found: as it stood in those cells.

    """

    place: Place
    values: Mapping[str, str]
    given: Mapping[str, str]
    found: Mapping[str, str]


def out_of_scale(rows: Sequence[Sized]) -> Iterator[tuple[int, Fault]]:
    """Yield which rows are asked for their unit, by their places among these, and the question."""
    sizes = {i: size for i, row in enumerate(rows) if (size := _size(row.values)) is not None}
    if len(sizes) <= OTHERS:
        return
    usual = [median(axis) for axis in zip(*sizes.values(), strict=True)]
    for i, size in sizes.items():
        given = {unit for name, unit in rows[i].given.items() if name in AXES}
        if len(given) != 1 or not _is_far(size, usual):
            continue
        unit = given.pop()
        if other := _nearest(size, usual, unit):
            yield i, _asked(rows[i], unit, other, size, usual)


def _size(values: Mapping[str, str]) -> tuple[float, float] | None:
    """Return height and width, mm, or None where one is not known."""
    try:
        return read_length(values["height"]), read_length(values["width"])
    except (KeyError, ReadingError):
        return None


def _is_far(size: Iterable[float], usual: Sequence[float]) -> bool:
    ratios = [one / other for one, other in zip(size, usual, strict=True)]
    return all(ratio > FAR for ratio in ratios) or all(ratio < 1 / FAR for ratio in ratios)


def _nearest(size: Sequence[float], usual: Sequence[float], unit: str) -> Units | None:
    """Return the unit that would bring a row nearest to the others; None where none comes near."""
    off = {
        name: max(abs(math.log(v / u)) for v, u in zip(_in(size, unit, name), usual, strict=True))
        for name in UNITS
        if name != unit
    }
    best = min(off, key=lambda name: off[name])
    return best if off[best] <= math.log(NEAR) else None


def _in(size: Iterable[float], unit: str, other: Units) -> list[float]:
    """Return what a size taken in one unit would be in another, mm."""
    return [read_length(value / read_length(f"1 {unit}"), other) for value in size]


def _asked(
    row: Sized, unit: str, other: Units, size: Sequence[float], usual: Sequence[float]
) -> Fault:
    texts = dict.fromkeys(
        row.found[name] for name in AXES if name in row.given.keys() & row.found.keys()
    )
    now, then, most = (
        " × ".join(f"{value:.0f}" for value in one) for one in (size, _in(size, unit, other), usual)
    )
    return Fault(
        row.place.at("height"),
        f'"{" × ".join(texts)}", taken as {unit}',
        f"its unit: in {_WORDS[unit]} the book is {now} mm, in {_WORDS[other]} {then} mm, and the "
        f"list's books are about {most} mm",
        "write the unit into its cells",
        "row-unit",
    )
