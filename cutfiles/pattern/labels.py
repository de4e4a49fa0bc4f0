"""Labels, in single strokes, on the base panels, which the book hides."""

from cutfiles.bench.book import SideName
from cutfiles.pattern.lettering import text_strokes, text_width
from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.shapes import Box

_CLEAR = 2.5
_LEADING = 2.0
_TALLEST = 4.0
_SMALLEST = 0.7
_SENTENCES = (("face up",), ("face", "up"))
"""Which face lies up, in few letters: the machine draws each, on both bases."""


def label(number: str, side: SideName, panel: Box) -> tuple[Stroke, ...]:
    """Return the label of one base panel: number, L or R, arrow to the head, face.

    Args:
        number: of the support.
        side: left or right.
        panel: the base panel without its tab, mm.

    Returns:
        The strokes, none where the panel is too small for letters of 0.7 mm.

    """
    width = panel.width - 2 * _CLEAR
    height = panel.height - 2 * _CLEAR
    layouts = [_layout(number, side, sentence, width, height) for sentence in _SENTENCES]
    lines = max(layouts, key=lambda layout: layout[-1][1])
    if lines[-1][1] < _SMALLEST:
        return ()
    total = sum(_LEADING * size for _, size in lines)
    y = panel.centre.y + total / 2
    strokes, name = list[Stroke](), f"label {side}"
    for text, size in lines:
        y -= _LEADING * size
        x = panel.centre.x - text_width(text, size) / 2
        at = (x, y + (_LEADING - 1) / 2 * size)
        strokes += [Stroke(Role.LABEL, name, p) for p in text_strokes(text, at, size)]
    return tuple(strokes)


def _layout(
    number: str, side: SideName, sentence: tuple[str, ...], width: float, height: float
) -> list[tuple[str, float]]:
    """Return lines with the height of their capitals, as tall as the room allows."""
    letter = "L" if side == "left" else "R"
    wanted = [(number, 1.5), (f"{letter}↑", 2.0), *((part, 1.0) for part in sentence)]
    unit = min(_TALLEST, height / sum(_LEADING * factor for _, factor in wanted))
    lines = [(text, _size(text, factor * unit, width)) for text, factor in wanted]
    smallest = min(size for _, size in lines[2:])
    return lines[:2] + [(text, smallest) for text, _ in lines[2:]]


def _size(text: str, most: float, width: float) -> float:
    """Return how tall a line can be to fit a width; an i has no width of its own."""
    own = text_width(text, 1.0)
    return min(most, width / own) if own else most
