"""The two drawings of the bench card besides its fold order: the piece flat, and the end view."""

import math
from collections.abc import Callable
from typing import NamedTuple

from cutfiles.lengths import Lengths
from cutfiles.pattern.flanges import has_flanges
from cutfiles.pattern.pattern import Pattern, Role
from cutfiles.plane.measure import box_of, chords
from cutfiles.plane.shapes import Anchor, Box
from cutfiles.report.pictures.block import book_parts
from cutfiles.report.pictures.spread import spread
from cutfiles.report.printed.paper import DASH_DOUBLE_DOT, DASHED, DOTTED, LEAST, PALE, SOFT, Paper
from cutfiles.report.script import width_of
from cutfiles.support.construct import piece_of
from cutfiles.support.contacts import Tape
from cutfiles.support.profile import walk
from cutfiles.support.standing import Support, initial
from cutfiles.support.steps import LONG_LETTERS
from cutfiles.words.bench import panel_text

At = Callable[[tuple[float, float]], tuple[float, float]]
"""From a place of the support to a place on the page."""
_RING = 2.1
_NAME, _LEADING = 2.5, 3.1
DASHES: dict[Role, tuple[float, ...]] = {
    Role.VALLEY: DASHED,
    Role.MOUNTAIN: DASH_DOUBLE_DOT,
    Role.GUIDE: DOTTED,
}


def flat_drawing(paper: Paper, pattern: Pattern, support: Support, box: Box) -> None:
    """Draw the piece flat, book face up, head up: creases numbered, panels named, tape dotted."""
    says = Lengths(support.slip.units)
    names = [f"{panel_text(p)} {says.short(p.length)}" for p in pattern.panels]
    below = 5.5 + _LEADING * (len(names) // 2)
    over = max(0.0, max(width_of(name, _NAME) for name in (names[0], names[-1])))
    left, above = box.left + max(9.0, over), 7.5
    room = Box(left, box.bottom + below, box.right - over, box.top - above)
    scale = min(room.width / pattern.box.width, room.height / pattern.box.height)
    x0 = left + (room.width - pattern.box.width * scale) / 2
    y0 = room.top - pattern.box.height * scale

    def at(place: tuple[float, float]) -> tuple[float, float]:
        return (x0 + scale * place[0], y0 + scale * place[1])

    for stroke in pattern.strokes:
        if stroke.role is Role.LABEL:
            continue
        places = [at(p) for p in chords(stroke.path, 0.05)]
        heavy = stroke.role in (Role.VALLEY, Role.MOUNTAIN, Role.OUTLINE)
        paper.line(
            places,
            width=0.3 if heavy else 0.15,
            dashes=DASHES.get(stroke.role, ()),
            closed=stroke.path.closed,
            fill=PALE if stroke.role is Role.GUIDE else None,
        )
    _sides(paper, pattern, at, scale)
    _head_arrow(paper, (box.left + 3.0, y0 + pattern.box.height * scale))
    _crease_numbers(paper, pattern, at, box)
    middles = [at((sum(pattern.span(panel.name)) / 2, 0.0))[0] for panel in pattern.panels]
    _panel_names(paper, names, middles, y0)


def _sides(paper: Paper, pattern: Pattern, at: At, scale: float) -> None:
    """Write big L and R on the base panels, where the label stands, and name the bands."""
    middle = pattern.band("middle").box
    for panel in pattern.panels:
        if panel.part == "base":
            size = max(LEAST, min(7.0, panel.length * scale / 0.8, middle.height * scale * 0.8))
            cx, cy = at((sum(pattern.span(panel.name)) / 2, middle.centre.y))
            said = initial(panel.side)
            paper.text((cx, cy - size * 0.36), said, size, bold=True, anchor="middle")


def _head_arrow(paper: Paper, top: tuple[float, float]) -> None:
    x, y = top
    paper.arrow([(x, y - 11.0), (x, y - 3.5)])
    paper.text((x, y - 2.6), "head", _NAME, anchor="middle")


def _crease_numbers(paper: Paper, pattern: Pattern, at: At, box: Box) -> None:
    top = at((0, pattern.box.height))[1]
    places = [at((crease.position, 0))[0] for crease in pattern.creases]
    moved = spread(places, 2.15 * _RING, box.left + 12.0, box.right - _RING)
    rings = []
    for crease, x, label in zip(pattern.creases, places, moved, strict=True):
        paper.line([(x, top + 0.5), (label, top + 3.0)], width=0.1, grey=SOFT)
        rings.append(((label, top + 3.0 + _RING), crease.letter))
    left = at((0, 0))[0]
    heights = [at((0, y))[1] for y in pattern.long_folds]
    apart = spread(heights, 2.15 * _RING, at((0, 0))[1] + 0.5, box.top - 9.0)
    for letter, y, label in zip(LONG_LETTERS.values(), heights, apart, strict=False):
        paper.line([(left - 0.5, y), (left - 2.0, label)], width=0.1, grey=SOFT)
        rings.append(((left - 2.0 - _RING, label), letter))
    paper.rings(_RING, rings)


def _panel_names(paper: Paper, names: list[str], middles: list[float], bottom: float) -> None:
    """Name the panels below the tail edge: leaders of growing length, outermost panels first."""
    last = len(names) - 1
    for i, (name, x) in enumerate(zip(names, middles, strict=True)):
        level = min(i, last - i)
        y = bottom - 2.6 - _LEADING * level
        paper.line([(x, bottom + 0.6), (x, y)], width=0.1, grey=SOFT)
        if i < last - i:
            paper.text((x - 0.7, y), name, _NAME, anchor="end")
        elif i > last - i:
            paper.text((x + 0.7, y), name, _NAME)
        else:
            paper.text((x, y - 2.4), name, _NAME, anchor="middle")


class _Shape:
    """What the end view shows, and how large it can be drawn."""

    def __init__(self, support: Support) -> None:
        says = Lengths(support.slip.units)
        self.corners, self.book = walk(support.profile).corners, book_parts(support)
        self.feet = min(p.x for p in self.corners), max(p.x for p in self.corners)
        every = [*self.corners, *(place for part in self.book for place in part.corners)]
        self.out = {"left": min(p.x for p in every), "right": max(p.x for p in every)}
        self.high = max(p.y for p in every)
        self.heights = {h.side: h.apex.y if h.stands else 0.0 for h in support.halves}
        said = {side: says.both(height).partition(" ") for side, height in self.heights.items()}
        self.texts = {side: f"{mm} mm" for side, (mm, _, _) in said.items()}
        self.more = {side: rest.removeprefix("mm").strip() for side, (_, _, rest) in said.items()}

    def scale(self, width: float, height: float) -> float:
        """Return how many millimetres of the page a millimetre takes, at most 1."""
        wide = [width_of(text, 3.0, bold=True) for text in self.texts.values()]
        wide += [width_of(f"apex {more}", _NAME) for more in self.more.values()]
        margin = max(wide) + 6.0
        across = self.out["right"] - self.out["left"]
        return min((width - 2 * margin) / across, (height - 15.0) / self.high, 1.0)


def end_view_height(support: Support, width: float, most: float) -> float:
    """Return how high the end view is where it has this width, at most so much, mm."""
    shape = _Shape(support)
    return min(most, 16.0 + shape.high * shape.scale(width, most))


def end_view(paper: Paper, support: Support, box: Box) -> None:
    """Draw the support from the tail, the book on it, with the three numbers to check by rule."""
    shape = _Shape(support)
    corners, book, out = shape.corners, shape.book, shape.out
    left, right = shape.feet
    says = Lengths(support.slip.units)
    heights, texts = shape.heights, shape.texts
    scale = shape.scale(box.width, box.height)
    ground = box.bottom + 8.0
    middle = box.centre.x - scale * (out["left"] + out["right"]) / 2

    def at(place: tuple[float, float]) -> tuple[float, float]:
        return (middle + scale * place[0], ground + scale * place[1])

    paper.line(
        [(at((left, 0))[0] - 8, ground - 0.35), (at((right, 0))[0] + 8, ground - 0.35)],
        width=0.15,
        grey=SOFT,
    )
    for part in book:
        paper.line([at(p) for p in part.corners], width=0.1, grey=SOFT, closed=True, fill=PALE)
    paper.line([at(p) for p in corners], width=0.5)
    for half in support.halves:
        side, sign, height = half.side, half.way, heights[half.side]
        edge = right if side == "right" else left
        x = at((out[side], 0))[0] + sign * 4.0
        anchor: Anchor = "start" if side == "right" else "end"
        y = ground + max(scale * height / 2, 5.0)
        if half.stands:
            paper.dimension((x, ground), (x, ground + scale * height))
            paper.text((x + sign * 1.5, y - 1.0), texts[side], 3.0, bold=True, anchor=anchor)
            paper.text(
                (x + sign * 1.5, y - 4.2), f"apex {shape.more[side]}".strip(), _NAME, anchor=anchor
            )
        else:
            paper.text((x + sign * 1.5, y + 0.5), "lies flat", _NAME, anchor=anchor)
        over = max(p.y for part in book if part.side == side for p in part.corners)
        top = at((edge, over))
        paper.text((top[0], top[1] + 1.5), initial(side), 4.0, bold=True, anchor="middle")
    _angles(paper, support, at)
    below = ground - 3.2
    paper.dimension((at((left, 0))[0], below), (at((right, 0))[0], below))
    said = f"whole width: {says.both(right - left)}"
    paper.text((at(((left + right) / 2, 0))[0], below - 3.6), said, 3.0, bold=True, anchor="middle")


def _angles(paper: Paper, support: Support, at: At) -> None:
    for half in support.halves:
        if half.stands:
            out = support.length("board", half.side) * 0.62
            up = out * math.sin(half.slope)
            text = f"{math.degrees(half.slope):.1f}°"
            x = half.joint.x + half.way * out * math.cos(half.slope)
            place = at((x, half.joint.y + up * 0.42))
            if at((0, up))[1] - at((0, 0))[1] > 6.0:
                paper.text((place[0], place[1] - 0.8), text, _NAME, anchor="middle")


class TapePlace(NamedTuple):
    """Where a tape lies.

    Attributes:
        tape: which one.
        box: of its guide in the pattern, mm.
        inset: from the panel's head edge (of an outer flap, from its tail edge), hems turned
            under, to the tape's end, mm.

    """

    tape: Tape
    box: Box
    inset: float


def tape_places(pattern: Pattern, support: Support) -> tuple[TapePlace, ...]:
    """Return where each tape is drawn."""
    guides = [box_of([stroke.path]) for stroke in pattern.strokes if stroke.use == "tape"]
    lowest = max(pattern.bands, key=lambda band: band.layer).box
    piece, found = piece_of(support), []
    for tape, box in zip(support.contacts.tapes, guides, strict=True):
        edge = lowest.height / 2
        if has_flanges(piece):
            edge = piece.edge_of(support.profile.index(tape.panel))
        found.append(TapePlace(tape, box, lowest.centre.y + edge - box.top))
    return tuple(found)
