"""The order of a file's lines against the order of the work: scores before cuts, outline last."""

from bisect import bisect_left
from collections.abc import Iterator, Sequence

from cutfiles.files.formats import Format, Options
from cutfiles.files.pairs import Difference, Wanted

Found = tuple[Wanted, int]
"""A stroke and which line of the file it is."""


def tell_order(
    wanted: Sequence[Wanted], numbers: Sequence[int | None], form: Format, options: Options
) -> Iterator[Difference]:
    """Yield the strokes that come earlier or later in a file than they are to be worked.

    The fewest are named whose moving would put all in order. What is not in the file at all is
    told elsewhere.

    Args:
        wanted: the strokes.
        numbers: which line of the file each is; None where none is.
        form: the format.
        options: what differs from cutter to cutter.

    """
    there = [(item, at) for item, at in zip(wanted, numbers, strict=True) if at is not None]
    found = sorted(there, key=lambda one: form.order(one[0].stroke, options))
    places = [at for _, at in found]
    if places == sorted(places):  # no longest rise to look for
        return
    kept = _longest_rise(places)
    for rank, one in enumerate(found):
        if rank not in kept:
            yield _told(rank, one, [(i, found[i]) for i in sorted(kept)])


def _told(rank: int, one: Found, kept: Sequence[tuple[int, Found]]) -> Difference:
    """Say where a stroke comes that should come elsewhere, by those that stand right."""
    item, at = one
    passed = [other for i, (other, place) in kept if i < rank and place > at]
    if passed:
        said = f"comes before {passed[0].stroke.name}, should come after {passed[-1].stroke.name}"
    else:
        passed = [other for i, (other, place) in kept if i > rank and place < at]
        said = f"comes after {passed[-1].stroke.name}, should come before {passed[0].stroke.name}"
    return Difference(item.layer, item.stroke.name, said)


def _longest_rise(numbers: Sequence[int]) -> frozenset[int]:
    """Return where the longest rising row among the numbers stands.

    >>> sorted(_longest_rise([9, 0, 1, 2]))
    [1, 2, 3]
    """
    ends: list[int] = []
    last: list[int] = []
    before: list[int] = []
    for i, number in enumerate(numbers):
        length = bisect_left(ends, number)
        before.append(last[length - 1] if length else -1)
        if length == len(ends):
            ends.append(number)
            last.append(i)
        else:
            ends[length], last[length] = number, i
    row, at = [], last[-1] if last else -1
    while at >= 0:
        row.append(at)
        at = before[at]
    return frozenset(row)
