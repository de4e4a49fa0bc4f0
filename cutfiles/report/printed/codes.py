"""Codes to be read by a camera: QR, ISO/IEC 18004, made by segno, any text.

Which of the eight masks has the lowest penalty is found here, with each state of a code as one
whole number: 9 ms a code, where segno alone, module by module, takes 16 (`tests/bench/codes.py`).
"""

from collections.abc import Callable, Sequence
from functools import lru_cache
from itertools import groupby
from typing import Any, NamedTuple

from cutfiles.plane.shapes import Box
from cutfiles.report.printed.paper import Paper

Run = tuple[int, int, int, int]
"""Dark modules side by side: left, bottom, width and height."""
_QUIET = 4
"""Modules left blank around a code; so many beside a pattern make it look like a finder."""
_MASKS: tuple[Callable[[int, int], bool], ...] = (
    lambda i, j: (i + j) % 2 == 0,
    lambda i, j: i % 2 == 0,
    lambda i, j: j % 3 == 0,
    lambda i, j: (i + j) % 3 == 0,
    lambda i, j: (i // 2 + j // 3) % 2 == 0,
    lambda i, j: i * j % 2 + i * j % 3 == 0,
    lambda i, j: (i * j % 2 + i * j % 3) % 2 == 0,
    lambda i, j: ((i + j) % 2 + i * j % 3) % 2 == 0,
)
"""Which modules each mask turns, by row and column (ISO/IEC 18004:2015 §7.8.2, table 10)."""


def draw_code(page: Paper, text: str, box: Box) -> None:
    """Draw a code with its four modules of quiet zone inside a box."""
    runs, count = code_of(text)
    module = min(box.width, box.height) / (count + 2 * _QUIET)
    page.pixels((box.left + _QUIET * module, box.top - (count + _QUIET) * module), module, runs)


@lru_cache(maxsize=8)
def code_of(text: str) -> tuple[tuple[Run, ...], int]:
    """Return the dark modules of a code, those beside one another as one, and how wide it is.

    Both labels of a support have the same, so it is kept.
    """
    bare = _made(text, mask=0)
    best = best_mask(bare)
    rows = [bytes(row) for row in (bare if best == 0 else _made(text, mask=best)).matrix]
    runs = []
    for y, row in enumerate(reversed(rows)):
        x = 0
        for dark, same in groupby(row):
            wide = len([*same])
            if dark:
                runs.append((x, y, wide, 1))
            x += wide
    return tuple(runs), len(rows)


def best_mask(bare: Any) -> int:
    """Return the mask with the lowest penalty, the first of several; a code of mask 0 is given.

    Source: ISO/IEC 18004:2015 §7.8.
    """
    grid = _grid(bare.version)
    state = (_number(bare.matrix, grid.step) & grid.judged) ^ grid.masks[0]
    return min(range(8), key=lambda mask: _penalty(state ^ grid.masks[mask], grid))


def _made(text: str, mask: int, version: int | None = None) -> Any:
    import segno

    return segno.make_qr(
        text, error="m", version=version, mask=mask, encoding="utf-8", boost_error=False
    )


class _Grid(NamedTuple):
    """The modules of all codes of one size, each set of them a number with a bit a module.

    Attributes:
        size: modules on a side.
        step: bits from row to row: light modules that are none lie between.
        every: all modules.
        beside: those with another one on their right.
        under: those with another one below.
        judged: those that a penalty is found of: format and version come later.
        masks: what each mask turns.

    """

    size: int
    step: int
    every: int
    beside: int
    under: int
    judged: int
    masks: tuple[int, ...]


@lru_cache(maxsize=4)  # codes of an exhibit have one size or two
def _grid(version: int) -> _Grid:
    from segno import consts as told

    code = _made("", mask=0, version=version)
    kinds = [list(row) for row in code.matrix_iter(border=0, verbose=True)]
    size = len(kinds)
    step = size + _QUIET

    def those(chosen: Callable[[int, int], bool]) -> int:
        return _number([[chosen(i, j) for j in range(size)] for i in range(size)], step)

    data = {told.TYPE_DATA_DARK, told.TYPE_DATA_LIGHT}
    late = {told.TYPE_FORMAT_DARK, told.TYPE_FORMAT_LIGHT, told.TYPE_DARKMODULE}
    late |= {told.TYPE_VERSION_DARK, told.TYPE_VERSION_LIGHT}
    kinds[8][size - 9] = told.TYPE_DATA_DARK  # segno counts it to the format beside it
    turned = those(lambda i, j: kinds[i][j] in data)
    return _Grid(
        size=size,
        step=step,
        every=those(lambda i, j: True),
        beside=those(lambda i, j: j + 1 < size),
        under=those(lambda i, j: i + 1 < size),
        judged=those(lambda i, j: kinds[i][j] not in late),
        masks=tuple(turned & those(mask) for mask in _MASKS),
    )


def _number(rows: Sequence[Sequence[int]], step: int) -> int:
    """Return rows of modules, 1 dark, as one number: the first module is its lowest bit."""
    number = 0
    for row in reversed(rows):
        bits = "".join("1" if dark else "0" for dark in reversed(row))
        number = number << step | int(bits, 2)
    return number


def _penalty(state: int, grid: _Grid) -> int:
    """Return the penalty of a code: long runs, blocks, what looks like a finder, too dark or light.

    Source: ISO/IEC 18004:2015 §7.8.3.1, table 11, with N1 = N2 = 3, N3 = 40, N4 = 10.
    """
    across = ~(state ^ state >> 1) & grid.beside
    down = ~(state ^ state >> grid.step) & grid.under
    runs = _runs(across, 1) + _runs(down, grid.step)
    blocks = 3 * (across & across >> grid.step & down).bit_count()
    finders = 40 * (_finders(state, 1, grid) + _finders(state, grid.step, grid))
    dark = 100 * state.bit_count() / grid.size**2
    return runs + blocks + finders + 10 * int(abs(dark - 50) / 5)


def _runs(same: int, step: int) -> int:
    """Return the penalty of runs of five and more: 3, and 1 for each module beyond the fifth.

    Args:
        same: modules that are as dark as the next one along.
        step: bits from one to the next.

    """
    five = same & same >> step & same >> 2 * step & same >> 3 * step
    return five.bit_count() + 2 * (five & ~(five << step)).bit_count()


def _finders(state: int, step: int, grid: _Grid) -> int:
    """Return how many patterns of dark, light, dark × 3, light, dark have light on a side of them.

    Of those that lie on one another the first counts.
    """
    light = ~state
    found = state & light >> step & state >> 2 * step & state >> 3 * step & state >> 4 * step
    found &= light >> 5 * step & state >> 6 * step
    before = state << step | state << 2 * step | state << 3 * step | state << 4 * step
    after = state >> 7 * step | state >> 8 * step | state >> 9 * step | state >> 10 * step
    found &= ~(before & after)
    count = 0
    while found:
        first = found & -found
        found &= ~(first | first << 4 * step | first << 6 * step)
        count += 1
    return count
