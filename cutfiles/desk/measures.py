"""The drawing of what to measure: each measure a part of its own, which its field lights up."""

import math
from collections.abc import Iterator, Sequence

from markupsafe import Markup

Place = tuple[float, float]
_HALF, _BOARD, _THICK, _HIGH, _GROUND = 6.0, 42.0, 5.0, 9.0, 62.0
_MIDDLE = 74.0
_SLOPES = {"left": math.radians(38), "right": math.radians(24)}
_JOINTS = {"left": _HIGH, "right": 0.0}
_SIGN = {"left": -1, "right": 1}
_ABOVE, _HEAD, _WIDE, _TALL = 192.0, 14.0, 28.0, 50.0
"""The book from above: its middle, its head, half its width, its height."""


def measures() -> Markup:
    """Return the drawing as SVG: an open book from its tail, and from above, one joint high."""
    parts = [
        *_book(),
        *(part for side in _SIGN for part in _side(side)),
        *_spine(),
        *_above(),
        *_case(),
    ]
    return Markup(
        '<svg class="measures" role="img" viewBox="0 0 240 84" xmlns="http://www.w3.org/2000/svg">'
        "<title>What to measure, from the tail and from above</title>" + "".join(parts) + "</svg>"
    )


def _at(x: float, y: float) -> Place:
    return _MIDDLE + x, _GROUND - y


def _on(side: str, along: float, above: float) -> Place:
    """Return a place by a board: along it from its joint, and above it."""
    slope, sign = _SLOPES[side], _SIGN[side]
    x = _HALF + along * math.cos(slope) - above * math.sin(slope)
    return _at(sign * x, _JOINTS[side] + along * math.sin(slope) + above * math.cos(slope))


def _path(places: Sequence[Place], kind: str, *, closed: bool = False) -> str:
    d = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in places) + ("Z" if closed else "")
    return f'<path class="{kind}" d="{d}"/>'


def _part(fields: str, *drawn: str, at: Place, text: str, up: bool = False) -> str:
    """Return what lights up for some fields, its name beside it, or written upwards."""
    x, y = at
    turn = f' transform="rotate(-90 {x:.1f} {y:.1f})"' if up else ""
    said = f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="middle"{turn}>{text}</text>'
    return f'<g data-fields="{fields}">{"".join(drawn)}{said}</g>'


def _span(a: Place, b: Place) -> str:
    """Return a dimension line, a short tick across each end."""
    long = math.hypot(b[0] - a[0], b[1] - a[1]) or 1.0
    dx, dy = -(b[1] - a[1]) / long * 1.4, (b[0] - a[0]) / long * 1.4
    ticks = [_path([(x - dx, y - dy), (x + dx, y + dy)], "m") for x, y in (a, b)]
    return _path([a, b], "m") + "".join(ticks)


def _arc(middle: Place, radius: float, begin: float, end: float) -> str:
    steps = [begin + (end - begin) * i / 16 for i in range(17)]
    places = [(middle[0] + radius * math.cos(t), middle[1] - radius * math.sin(t)) for t in steps]
    return _path(places, "m")


def _book() -> Iterator[str]:
    yield _path([_at(-72, 0), _at(66, 0)], "table")
    for side in _SIGN:
        gutter = _at(-_HALF + 1.5, _HIGH + 1.5)
        corners = [_on(side, 0, 0), _on(side, _BOARD, 0), _on(side, _BOARD, _THICK)]
        yield _path([*corners, _on(side, 4, _THICK), gutter], "leaves", closed=True)
        yield _path([_on(side, 0, 0), _on(side, _BOARD, 0)], "board")
    yield _path([_at(-_HALF, _HIGH), _at(_HALF, 0)], "board")
    yield '<text x="2" y="5">from the tail</text>'


def _side(side: str) -> Iterator[str]:
    slope, joint, sign = _SLOPES[side], _JOINTS[side], _SIGN[side]
    out, top = _HALF + _BOARD * math.cos(slope), joint + _BOARD * math.sin(slope)
    width = _span(_on(side, 0, -4), _on(side, _BOARD, -4))
    yield _part(f"{side}_width width", width, at=_on(side, _BOARD * 0.72, -9), text="width")
    x = sign * (out + 5)
    rise = _span(_at(x, joint), _at(x, top))
    level = _path([_at(sign * _HALF, joint), _at(x, joint)], "help")
    place = _at(sign * (out + 9.5), (joint + top) / 2)
    yield _part(f"{side}_rise", level, rise, at=place, text="rise")
    x = sign * (out + 15)
    edge = _path([_on(side, _BOARD, 0), _at(x, top)], "help") + _span(_at(x, 0), _at(x, top))
    place = _at(sign * (out + 16), top + 3)
    yield _part(f"{side}_fore_edge", edge, at=place, text="fore edge")
    ends = (math.pi - slope, math.pi) if sign < 0 else (0.0, slope)
    angle = _arc(_at(sign * _HALF, joint), 17, *ends)
    yield _part(
        f"{side}_slope",
        angle,
        at=_at(sign * (_HALF + 24), joint + 3 if joint else -4),
        text="slope",
    )
    thick = _span(_on(side, _BOARD + 2, 0), _on(side, _BOARD + 2, _THICK))
    yield _part(f"{side}_side", thick, at=_on(side, _BOARD - 2, _THICK + 4), text="side")
    x = sign * (_HALF + 3)
    high = _span(_at(x, 0), _at(x, joint)) if joint else _path([_at(x - 2, 0), _at(x + 2, 0)], "m")
    yield _part(f"{side}_joint", high, at=_at(sign * (_HALF + 9), -4), text="joint")


def _spine() -> Iterator[str]:
    spine = _span(_at(-_HALF - 1.6, _HIGH - 5), _at(_HALF - 1.6, -5))
    yield _part("spine_width thickness", spine, at=_at(-2, -12), text="spine width")
    tilt = _arc(_at(_HALF, 0), 9, math.pi, math.pi - math.atan2(_HIGH, 2 * _HALF))
    yield _part("spine_tilt", tilt, at=_at(-14, 1.5), text="tilt")
    middle = _at(0, _HIGH + 2)
    opening = _arc(middle, 21, _SLOPES["right"], math.pi - _SLOPES["left"])
    yield _part("opening_angle", opening, at=_at(1, _HIGH + 26), text="opening angle")
    pages = _arc(middle, 13, _SLOPES["right"] + 0.25, math.pi - _SLOPES["left"] - 0.25)
    yield _part("page_angle", pages, at=_at(1, _HIGH + 16), text="page angle")
    ends = [sign * (_HALF + _BOARD * math.cos(_SLOPES[side])) for side, sign in _SIGN.items()]
    span = _span(_at(ends[0], 49), _at(ends[1], 49))
    yield _part("span", span, at=_at(1, 51), text="span")


def _above() -> Iterator[str]:
    x, y, wide, tall = _ABOVE, _HEAD, _WIDE, _TALL
    for left, right in ((x - wide, x - 2.5), (x + 2.5, x + wide)):
        corners = [(left, y), (right, y), (right, y + tall), (left, y + tall)]
        yield _path(corners, "leaves", closed=True)
    corners = [(x - 2.5, y), (x + 2.5, y), (x + 2.5, y + tall), (x - 2.5, y + tall)]
    yield _path(corners, "board", closed=True)
    for text, at in (
        ("left", (x - wide / 2 - 1, y + tall / 2)),
        ("right", (x + wide / 2 + 1, y + tall / 2)),
        ("head", (x, y - 2)),
        ("tail", (x, y + tall + 5)),
    ):
        yield f'<text x="{at[0]:.1f}" y="{at[1]:.1f}" text-anchor="middle">{text}</text>'
    height = _span((x - wide - 5, y), (x - wide - 5, y + tall))
    yield _part("height", height, at=(x - wide - 5, y - 3), text="height")
    yield f'<text x="{x - 36:g}" y="5">from above</text>'


def _case() -> Iterator[str]:
    """Yield what is free inside the case: from above around the book, its height from the tail."""
    left, right = _ABOVE - _WIDE - 14, _ABOVE + _WIDE + 8
    back, front = _HEAD - 7, _HEAD + _TALL + 9
    corners = [(left, back), (right, back), (right, front), (left, front)]
    yield _path(corners, "help", closed=True)
    at = ((left + right) / 2, front + 9)
    yield _part(
        "case_width", _span((left, front + 4), (right, front + 4)), at=at, text="case width"
    )
    at = (right + 9, (back + front) / 2)
    yield _part(
        "case_depth",
        _span((right + 4, back), (right + 4, front)),
        at=at,
        text="case depth",
        up=True,
    )
    x, top = 7.0, 9.0
    lid = _path([(x - 5, top), (x + 5, top)], "help")
    at = (x - 2, (top + _GROUND) / 2)
    high = _span((x, _GROUND), (x, top))
    yield _part("case_height", lid, high, at=at, text="case height", up=True)
