"""What a page says, in PDF's own words: paths, letters, squares; what the pen is already but once.

Told in hundredths of a millimetre, so in whole numbers: reportlab, which writes all else of a file,
gives each place six decimals and each line of text its own frame and font. A bench card takes
three quarters of the time so (55 for 72 ms), and a tenth less bytes.

Source: ISO 32000-1 §8.4 (pen), §8.5 (paths), §9.4 (text); the words are in its annex A.
"""

from collections.abc import Iterable, Sequence
from typing import Any

from cutfiles.report.script import Run, written

Place = tuple[float, float]
_MM = 72 / 25.4
"""Points a millimetre."""
_FINE = 100
"""Parts of a millimetre that a page is told in: no printer shows more."""
_DRAWN = {
    (False, True, False): "S",
    (False, True, True): "s",
    (True, True, False): "B",
    (True, True, True): "b",
    (True, False, False): "f",
    (True, False, True): "f",
}
"""How a path is painted: filled or not, its line drawn or not, and closed or not."""


class Content:
    """One page as it is written: mm, y up; greys from 0 black to 1 white."""

    def __init__(self, canvas: Any) -> None:
        self._canvas = canvas
        scale = f"{_MM / _FINE:.8f}"
        self._said = [f"{scale} 0 0 {scale} 0 0 cm", "1 j"]
        # width, dashes, grey of lines and inside, ends: as a page begins (§8.4.1, table 52)
        self._pen: list[object] = [1.0 / _FINE, ((), 0.0), 0.0, 0.0, 0]
        self._font: tuple[str, int] | None = None
        self._line: tuple[int, int] | None = None
        """Where the last line of text began, while nothing else was drawn after it."""

    def end(self) -> str:
        """Return all that was said."""
        self._shapes()
        return "\n".join(self._said)

    # -- text -----------------------------------------------------------------------------------

    def letters(self, at: Place, drawn: Iterable[Run], size: float, grey: float) -> None:
        """Write letters from a place on, their font so large."""
        self._inside(grey)
        x, y = _on_page(at)
        if self._line is None:
            self._said.append(f"BT\n{x} {y} Td")
        else:  # from where the line before began
            self._said.append(f"{x - self._line[0]} {y - self._line[1]} Td")
        self._line = x, y
        self._write(drawn, size)

    def upright(self, at: Place, drawn: Iterable[Run], size: float, grey: float) -> None:
        """Write letters from a place upwards."""
        self._shapes()
        self._inside(grey)
        x, y = _on_page(at)
        self._said.append(f"BT\n0 1 -1 0 {x} {y} Tm")
        self._write(drawn, size)
        self._said.append("ET")

    def _write(self, drawn: Iterable[Run], size: float) -> None:
        large = round(size * _FINE)
        for run in drawn:
            for name, letters in written(run, self._canvas):
                if self._font != (name, large):
                    self._font = name, large
                    self._said.append(f"{name} {large} Tf")
                self._said.append(f"({letters})Tj")

    def _shapes(self) -> None:
        """End the text that is being written, if any is: nothing else is drawn in it."""
        if self._line is not None:
            self._said.append("ET")
            self._line = None

    # -- paths ----------------------------------------------------------------------------------

    def path(
        self,
        points: Sequence[Place],
        width: float,
        dashes: Sequence[float] = (),
        fill: float | None = None,
        grey: float | None = 0.0,
        phase: float = 0.0,
        cap: int = 0,
        closed: bool = False,
    ) -> None:
        """Draw straight lines through the points; see `Paper.line`."""
        self._shapes()
        say = self._said.append
        if grey is not None:
            self._drawing(width, dashes, grey, phase, cap)
        if fill is not None:
            self._inside(fill)
        places = [_on_page(point) for point in points]
        drawn = _DRAWN[fill is not None, grey is not None, closed]
        if closed and not dashes and _is_box(places):
            (x, y), _, (right, top), _ = places
            say(f"{x} {y} {right - x} {top - y} re {drawn.upper() if grey is not None else drawn}")
        else:
            x, y = places[0]
            lines = "".join([f" {x} {y} l" for x, y in places[1:]])
            say(f"{x} {y} m{lines} {drawn}")

    def curve(self, points: Sequence[Place], width: float) -> None:
        """Draw cubic curves, three places after each before, in black."""
        self._shapes()
        self._drawing(width)
        (x, y), *places = [_on_page(point) for point in points]
        told = [f" {x} {y} c" if i % 3 == 2 else f" {x} {y}" for i, (x, y) in enumerate(places)]
        self._said.append(f"{x} {y} m{''.join(told)} S")

    def _drawing(
        self,
        width: float,
        dashes: Sequence[float] = (),
        grey: float = 0.0,
        phase: float = 0.0,
        cap: int = 0,
    ) -> None:
        say = self._said.append
        if self._turns(0, width):
            say(f"{round(width * _FINE)} w")
        if self._turns(1, (tuple(dashes), phase)):
            say(f"[{' '.join(_told(part) for part in dashes)}] {_told(phase)} d")
        if self._turns(2, grey):
            say(f"{grey:g} G")
        if self._turns(4, cap):
            say(f"{cap} J")

    def squares(self, at: Place, size: float, boxes: Iterable[tuple[int, int, int, int]]) -> None:
        """Fill boxes of a grid in black; see `Paper.pixels`."""
        self._shapes()
        self._inside(0.0)
        x, y = _on_page(at)
        # whole squares are told by fewer signs, and all are alike
        drawn = " ".join([f"{left} {low} {wide} {tall} re" for left, low, wide, tall in boxes])
        self._said.append(f"q {_told(size)} 0 0 {_told(size)} {x} {y} cm {drawn} f Q")

    def _inside(self, grey: float) -> None:
        if self._turns(3, grey):
            self._said.append(f"{grey:g} g")

    def _turns(self, which: int, value: object) -> bool:
        """Tell whether the pen is turned: its width, dashes, grey of lines or inside, ends."""
        if self._pen[which] == value:
            return False
        self._pen[which] = value
        return True


def _is_box(places: Sequence[tuple[int, int]]) -> bool:
    """Tell whether four corners, in order, are of a box whose sides lie along the page's."""
    if len(places) != 4:
        return False
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = places
    return (ay == by and bx == cx and cy == dy and dx == ax) or (
        ax == bx and by == cy and cx == dx and dy == ay
    )


def _on_page(place: Place) -> tuple[int, int]:
    """Return a place as a page tells it."""
    return round(place[0] * _FINE), round(place[1] * _FINE)


def _told(length: float) -> str:
    """Return a length of the pen, or of a square, as a page tells it."""
    return f"{length * _FINE:.4f}".rstrip("0").rstrip(".")
