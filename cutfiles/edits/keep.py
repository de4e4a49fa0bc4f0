"""Edits kept in a small file that people read: each tied to its crease, mm from there.

    number = "A1"

    [[edit]]
    kind = "hole added"
    panel = "left base"
    crease = "left foot"    its places are told from here along the strip
    edge = "tail"           and from here upwards
    role = "cut-holes"
    lines = ["circle -41.5,60 10"]

A line is a list of places ``x,y``, with the bulge of an arc that begins there behind them, and
``close`` at the end where it closes.
"""

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any, Literal, NamedTuple, get_args

from cutfiles.dataclass import dataclass
from cutfiles.edits.edit import Added, Bent, Edit, Moved, Removed, State
from cutfiles.edits.limits import FARTHEST, MOST_POINTS
from cutfiles.errors import FileError, Place, SlipError, shown
from cutfiles.folding.drawn import band_at
from cutfiles.lengths import trimmed
from cutfiles.pattern.pattern import Pattern, Role
from cutfiles.plane.measure import arc_centre, arc_radius, box_of
from cutfiles.plane.shapes import QUARTER, Box, Path, Point, circle
from cutfiles.tables.field import Field, Table
from cutfiles.tables.load import Wanted, load_toml, read_text
from cutfiles.tables.record import LIST_MOST, Record, read_record

EdgeName = Literal["tail", "middle", "head"]
LEFT_END, RIGHT_END = "left end", "right end"
_PLACE = re.compile(
    r"(-?\d{1,7}(?:\.\d{1,4})?),(-?\d{1,7}(?:\.\d{1,4})?)(?:,(-?\d{1,4}\.?\d{0,8}))?"
)
_LONGEST = 20_000
_ONE = Table(
    "an edit",
    (
        Field("kind", "text", "what was done", "hole added", most=40, needed=True),
        Field("panel", "text", "it lies on", "left base", most=200),
        Field("crease", "text", "its places are told from", "left foot", most=60, needed=True),
        Field("band", "text", "it lies on", "middle", most=40),
        Field("edge", "choice", "heights are told from", "tail", choices=get_args(EdgeName)),
        Field("state", "choice", "it was accepted in", "harmless", choices=get_args(State)),
        Field("role", "choice", "of its lines", "label", choices=tuple(Role)),
        Field("lines", "text", "that are drawn", "0,0 10,0", most=_LONGEST, many=True),
        Field("outline", "text", "runs so", "0,0 4,4 8,0", most=_LONGEST),
        Field("of", "text", "what of the pattern it changes", "label left", most=80),
        Field("was", "text", "where that lay", "12,30", most=40),
        Field("to", "text", "where its middle lies now", "14,32", most=40),
    ),
    correct="correct it, or delete the block",
    see="correct it, or delete the block",
    most=1_000,
)
EDITS = Table(
    "a file of edits",
    (
        Field("number", "text", "of the support", "A1", most=80, needed=True),
        Field("accepted", "text", "by which its drawing is known", "9f86d081", most=64),
    ),
    (("edit", _ONE),),
    correct="correct it",
)
_WANTED = Wanted(
    "a file of edits",
    "the file that was accepted",
    "check its name and folder",
    "put every text in quotation marks, or accept the drawing again",
)


class Anchor(NamedTuple):
    """What an edit is tied to.

    Attributes:
        crease: its name, or an end of the strip.
        band: its name.
        edge: of the band.

    """

    crease: str
    band: str
    edge: EdgeName


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptEdit:
    """One edit as kept: places in mm from its crease and its edge.

    Attributes:
        kind: as told.
        panel: it lay on.
        anchor: what it is tied to.
        state: it was accepted in.
        role: of its lines.
        lines: that are drawn.
        outline: a stretch of the outline, open.
        of: what of the pattern it moves, replaces or leaves out.
        was: where that lay, if it was one of several.
        to: where the middle of what is moved lies.

    """

    kind: str
    panel: str
    anchor: Anchor
    state: State = "harmless"
    role: Role | None = None
    lines: tuple[Path, ...] = ()
    outline: Path | None = None
    of: str = ""
    was: Point | None = None
    to: Point | None = None


@dataclass(frozen=True, slots=True)
class Kept:
    """The edits of one support.

    Attributes:
        number: of the support.
        edits: in the order of the file.
        source: how messages call the file.
        seal: of the drawing all of which they hold, see `sealed`; empty where there is none.

    """

    number: str
    edits: tuple[KeptEdit, ...]
    source: str = ""
    seal: str = ""


# -- tied to a pattern ------------------------------------------------------------------------


def anchor_of(pattern: Pattern, at: Point) -> Anchor:
    """Return what something at a place is tied to: the nearest crease or end of its panel."""
    lines = _lines(pattern)
    name = min(lines, key=lambda one: abs(lines[one] - at.x))
    band = band_at(pattern, at.y)
    edges = _edges(band.box)
    middle = abs(at.y - edges["middle"]) < 0.5
    nearest: EdgeName = "tail" if at.y < edges["middle"] else "head"
    return Anchor(name, band.name, "middle" if middle else nearest)


def origin(pattern: Pattern, anchor: Anchor) -> Point | None:
    """Return where an anchor lies in a pattern, mm; None where the pattern has no such place."""
    lines = _lines(pattern)
    bands = {band.name: band.box for band in pattern.bands}
    if anchor.crease not in lines or anchor.band not in bands:
        return None
    return Point(lines[anchor.crease], _edges(bands[anchor.band])[anchor.edge])


def _lines(pattern: Pattern) -> dict[str, float]:
    """Return where the ends of the strip and its creases lie, mm from the left."""
    ends = {LEFT_END: pattern.box.left, RIGHT_END: pattern.box.right}
    return ends | {crease.name: crease.position for crease in pattern.creases}


def _edges(box: Box) -> dict[EdgeName, float]:
    """Return how high a band's edges and its middle lie, mm."""
    return {"tail": box.bottom, "middle": box.centre.y, "head": box.top}


def kept_of(number: str, edits: Sequence[Edit], pattern: Pattern) -> Kept:
    """Return the edits that change something, tied to a pattern."""
    found = [one for edit in edits if edit.changes for one in _kept(edit, pattern)]
    return Kept(number, tuple(found))


def _kept(edit: Edit, pattern: Pattern) -> Iterator[KeptEdit]:
    """Yield an edit as kept, one of very many lines in several."""
    assert edit.at is not None, "what changes something lies somewhere"
    anchor = anchor_of(pattern, edit.at)
    zero = origin(pattern, anchor)
    assert zero is not None, "an anchor of the pattern lies in it"
    plain = KeptEdit(kind=edit.kind, panel=edit.panel, anchor=anchor, state=edit.state)
    more: dict[str, Any] = {}
    for change in edit.changes:
        match change:
            case Added(role, paths):
                more |= {"role": role, "lines": tuple(_from(path, zero) for path in paths)}
            case Removed(role, name, at):
                more |= {"role": role, "of": name}
                more |= {} if at is None else {"was": _rel(at, zero)}
            case Moved(role, name):
                more |= {"role": role, "of": name, "to": _rel(edit.at, zero)}
            case Bent(path):
                more |= {"outline": _from(path, zero)}
    lines = more.pop("lines", ())
    for i in range(0, max(1, len(lines)), LIST_MOST):
        yield replace(plain, **more, lines=lines[i : i + LIST_MOST])
        more = {"role": more.get("role")}


def _rel(place: Point, zero: Point) -> Point:
    return Point(round(place.x - zero.x, 3) + 0.0, round(place.y - zero.y, 3) + 0.0)


def _from(path: Path, zero: Point) -> Path:
    points = tuple(_rel(point, zero) for point in path.points)
    return Path(points, tuple(round(b, 6) + 0.0 for b in path.bulges), path.closed)


# -- as text -----------------------------------------------------------------------------------


def write_edits(kept: Kept) -> str:
    """Return edits as a file that people read."""
    lines = [
        f"# Edits of the support {_one_line(kept.number)}, done again whenever it is made.",
        "# Each block is one edit: to take it back, delete its lines.",
        "# Places are mm from the crease, along the strip, and from the edge, upwards.",
        f"number = {_quoted(kept.number)}",
    ]
    lines += [f"accepted = {_quoted(kept.seal)}"] if kept.seal else []
    for one in kept.edits:
        lines += ["", "[[edit]]", *_block(one)]
    return "\n".join(lines) + "\n"


def _block(one: KeptEdit) -> Iterator[str]:
    yield f"kind = {_quoted(one.kind)}"
    if one.panel:
        yield f"panel = {_quoted(one.panel)}"
    yield f"crease = {_quoted(one.anchor.crease)}"
    yield f"band = {_quoted(one.anchor.band)}"
    yield f"edge = {_quoted(one.anchor.edge)}"
    yield f"state = {_quoted(one.state)}"
    if one.role is not None:
        yield f"role = {_quoted(one.role.value)}"
    if one.of:
        yield f"of = {_quoted(one.of)}"
    for name, place in (("was", one.was), ("to", one.to)):
        if place is not None:
            yield f'{name} = "{_number(place.x)},{_number(place.y)}"'
    if one.lines:
        yield "lines = ["
        yield from (f'    "{path_text(path)}",' for path in one.lines)
        yield "]"
    if one.outline is not None:
        yield f'outline = "{path_text(one.outline)}"'


def path_text(path: Path) -> str:
    """Return a path as text.

    >>> path_text(circle((3.0, 4.0), 2.5))
    'circle 3,4 5'
    >>> path_text(Path((Point(0, 0), Point(2.5, 0)), (0.5,), False))
    '0,0,0.5 2.5,0'
    """
    parts = list(path.segments())
    if path.closed and len(parts) == 4 and all(abs(b - QUARTER) < 1e-5 for b in path.bulges):
        x, y = arc_centre(parts[0])
        if path == circle((x, y), arc_radius(parts[0])) or _is_circle(path):
            return f"circle {_number(x)},{_number(y)} {_number(2 * arc_radius(parts[0]))}"
    bulges = path.bulges if path.closed else (*path.bulges, 0.0)
    words = [
        f"{_number(x)},{_number(y)}" + (f",{bulge:.6f}".rstrip("0").rstrip(".") if bulge else "")
        for (x, y), bulge in zip(path.points, bulges, strict=True)
    ]
    return " ".join((*words, "close") if path.closed else words)


def _is_circle(path: Path) -> bool:
    box = box_of([path])
    return abs(box.width - box.height) < 0.002


def path_from(text: str) -> Path:
    """Return the path that a text tells.

    Raises:
        ValueError: it tells none.

    >>> path_from("0,0,0.5 2.5,0").bulges
    (0.5,)

    """
    words = text.split()
    if words[:1] == ["circle"] and len(words) == 3:
        x, y, _ = _place(words[1])
        size = float(words[2]) if re.fullmatch(r"\d{1,5}(\.\d{1,4})?", words[2]) else 0.0
        if size <= 0:
            raise ValueError(text)
        return circle((x, y), size / 2)
    closed = words[-1:] == ["close"]
    places = [_place(word) for word in (words[:-1] if closed else words)]
    if not 2 <= len(places) <= MOST_POINTS:
        raise ValueError(text)
    bulges = tuple(bulge for *_, bulge in places)
    points = tuple(Point(x, y) for x, y, _ in places)
    return Path(points, bulges if closed else bulges[:-1], closed)


def _place(word: str) -> tuple[float, float, float]:
    match = _PLACE.fullmatch(word)
    if match is None:
        raise ValueError(word)
    x, y, bulge = (float(part or 0) for part in match.groups())
    if max(abs(x), abs(y)) > FARTHEST:
        raise ValueError(word)
    return x, y, bulge


def _number(value: float) -> str:
    return trimmed(value, 3)


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


def _one_line(text: str) -> str:
    return " ".join(text.split())


# -- read again --------------------------------------------------------------------------------


def read_edits(path: Any, name: str) -> Kept:
    """Return the edits in a file.

    Args:
        path: of the file.
        name: how messages call it.

    Raises:
        FileError: it cannot be read.
        SlipError: it has faults; all of them are in it.

    """
    return edits_from(load_toml(path, Place(file=name), _WANTED), name)


def edits_text(path: Any, name: str) -> str:
    """Return a file of edits as it stands."""
    return read_text(path, Place(file=name), _WANTED)


def edits_from(values: Mapping[str, Any], name: str) -> Kept:
    """Return the edits of a mapping, read as from a file.

    Raises:
        SlipError: it has faults; all of them are in it.

    """
    record = read_record(EDITS, values, Place(file=name))
    if record.faults:
        raise SlipError(record.faults)
    edits = tuple(_edit(one) for one in record.lists["edit"])
    values = record.values
    return Kept(str(values["number"]), edits, name, values.get("accepted", ""))


def _edit(record: Record) -> KeptEdit:
    values = record.values

    def path(text: str, field: str) -> Path:
        try:
            return path_from(text)
        except ValueError:
            raise FileError(
                shown(text),
                'a line is places as in "0,0 12.5,4 20,0", or "circle 0,0 8"',
                "correct it, or delete the block",
                record.place.at(field),
            ) from None

    def place(field: str) -> Point | None:
        text = values.get(field)
        return None if text is None else path(f"{text} {text}", field).points[0]

    role = values.get("role")
    outline = values.get("outline")
    return KeptEdit(
        kind=values["kind"],
        panel=values.get("panel", ""),
        anchor=Anchor(values["crease"], values.get("band", "middle"), values.get("edge", "tail")),
        state=values.get("state", "harmless"),
        role=None if role is None else Role(role),
        lines=tuple(path(text, "lines") for text in values.get("lines", ())),
        outline=None if outline is None else path(outline, "outline"),
        of=values.get("of", ""),
        was=place("was"),
        to=place("to"),
    )
