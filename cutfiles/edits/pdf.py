"""Opens a PDF as any program may save it: the lines of its first page, by pypdf.

Stroked and filled paths count; text, shadings and images are named and left alone. A layer is told
by its optional content group, a role also by the name of its ink or its processing step.

Source: ISO 32000-1 §8 (graphics), §8.11 (optional content).
"""

import io
from collections.abc import Callable
from dataclasses import field, replace
from typing import Any

from cutfiles.dataclass import dataclass
from cutfiles.edits.arcs import FLAT, smooth
from cutfiles.edits.flatten import Bends, Place, flattened
from cutfiles.edits.limits import Budget, damage_told, refusal, too_much
from cutfiles.edits.line import LeftAlone, Line, Opened, facts_of_text

_MM = 25.4 / 72
_MOST_STREAM = 12_000_000
"""Of a page's content, unpacked, bytes."""
_MOST_OPERATIONS = 200_000


@dataclass(frozen=True, slots=True)
class Move:
    """A matrix as PDF has it: x' = a x + c y + e, y' = b x + d y + f."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def after(self, other: "Move") -> "Move":
        """Return the matrix that moves by this one first, then by the other."""
        o = other
        return Move(
            self.a * o.a + self.b * o.c,
            self.a * o.b + self.b * o.d,
            self.c * o.a + self.d * o.c,
            self.c * o.b + self.d * o.d,
            self.e * o.a + self.f * o.c + o.e,
            self.e * o.b + self.f * o.d + o.f,
        )


@dataclass(frozen=True, slots=True)
class _State:
    """The graphics state, as far as lines need it."""

    move: Move = field(default_factory=lambda: Move(_MM, 0, 0, _MM))
    stroke: str = "#000000"
    fill: str = "#000000"
    ink: str = ""
    paint: str = ""
    dashed: bool = False


def open_pdf(data: bytes, times: float = 1.0) -> Opened:
    """Return what the first page of a PDF holds, so many times as large as it states.

    Raises:
        FileError: it is no PDF, is locked, or holds more than is read.

    """
    from pypdf import PdfReader

    with damage_told("a PDF", "pypdf"):
        reader = PdfReader(io.BytesIO(data))
        if reader.is_encrypted and not reader.decrypt(""):
            raise refusal("a PDF that is locked", "a PDF without a password is needed")
        page = reader.pages[0]
        walk = _Walk(reader)
        unit = float(page.get("/UserUnit", 1.0)) * times
        turned = _turned(int(page.get("/Rotate", 0)) % 360)
        start = Move(_MM * unit, 0, 0, _MM * unit)
        contents = page.get_contents()
        if contents is not None:
            state = _State(move=turned.after(start))
            walk.stream(contents, page.get("/Resources"), state, (), 0)
        facts = _facts(reader)
    return Opened(form="PDF", lines=tuple(walk.lines), left=tuple(walk.left), facts=facts)


def _turned(degrees: int) -> Move:
    return {90: Move(0, -1, 1, 0), 180: Move(-1, 0, 0, -1), 270: Move(0, 1, -1, 0)}.get(
        degrees, Move()
    )


def _facts(reader: Any) -> dict[str, str]:
    about = reader.metadata or {}
    return facts_of_text(str(about.get("/Subject", ""))[:20_000])


def _off_groups(reader: Any) -> set[int]:
    """Return the objects of the layers that are switched off."""
    layers = reader.root_object.get("/OCProperties", {})
    usual = layers.get("/D", {})
    return {one.idnum for one in usual.get("/OFF", []) if hasattr(one, "idnum")}


class _Walk:
    """Runs content streams and collects their lines, counting all it does."""

    def __init__(self, reader: Any) -> None:
        self.reader, self.budget = reader, Budget()
        self.off = _off_groups(reader)
        self.lines: list[Line] = []
        self.left: list[LeftAlone] = []
        self.operations = 0

    def stream(
        self, contents: Any, resources: Any, state: _State, names: tuple[str, ...], depth: int
    ) -> None:
        """Collect the lines of a content stream; `names` are those of the layers around it."""
        from pypdf.generic import ContentStream

        self.budget.node(depth)
        data = contents.get_data()
        if len(data) > _MOST_STREAM:
            raise too_much("bytes in a page", _MOST_STREAM)
        run = _Run(self, resources or {}, state, names, depth)
        for operands, operator in ContentStream(contents, self.reader).operations:
            self.operations += 1
            if self.operations > _MOST_OPERATIONS:
                raise too_much("steps of drawing", _MOST_OPERATIONS)
            run.step(operator.decode("latin-1"), operands)


class _Run:
    """One content stream being run."""

    def __init__(
        self, walk: _Walk, resources: Any, state: _State, names: tuple[str, ...], depth: int
    ) -> None:
        self.walk, self.resources, self.state = walk, resources, state
        self.depth = depth
        self.kept: list[_State] = []
        self.marks: list[tuple[str, ...]] = [names]
        self.hidden: list[bool] = [False]
        self.paths: list[Bends] = []
        self.text = False

    def step(self, operator: str, operands: list[Any]) -> None:
        """Take one step."""
        if operator == "INLINE IMAGE":
            self._leave("an image")
        elif operator in _BUILDS:
            self._build(operator, [float(one) for one in operands])
        elif operator in _PAINTS:
            self._paint(operator)
        elif operator in _COLOURS:
            self._colour(operator, operands)
        elif (do := _STEPS.get(operator)) is not None:
            do(self, operands)

    # -- state --------------------------------------------------------------------------------

    def _save(self, _: list[Any]) -> None:
        self.walk.budget.node(len(self.kept) // 4)
        self.kept.append(self.state)

    def _restore(self, _: list[Any]) -> None:
        if self.kept:
            self.state = self.kept.pop()

    def _concat(self, operands: list[Any]) -> None:
        move = Move(*(float(one) for one in operands[:6]))
        self.state = replace(self.state, move=move.after(self.state.move))

    def _dash(self, operands: list[Any]) -> None:
        self.state = replace(self.state, dashed=bool(len(operands[0])))

    def _begin_mark(self, operands: list[Any]) -> None:
        names, hidden = self.marks[-1], self.hidden[-1]
        if len(operands) > 1 and str(operands[0]) == "/OC":
            found = self.resources.get("/Properties", {})
            group = found.get(operands[1]) if hasattr(found, "get") else None
            if group is not None:
                own = _group_names(group.get_object())
                names = (*own, *names)[:24]
                reference = found.raw_get(operands[1])
                hidden = hidden or getattr(reference, "idnum", None) in self.walk.off
        self.walk.budget.node(len(self.marks))
        self.marks.append(names)
        self.hidden.append(hidden)

    def _end_mark(self, _: list[Any]) -> None:
        if len(self.marks) > 1:
            self.marks.pop()
            self.hidden.pop()

    def _begin_text(self, _: list[Any]) -> None:
        self._leave("text")

    def _leave(self, what: str) -> None:
        layer = self.marks[-1][0] if self.marks[-1] else ""
        self.walk.left.append(LeftAlone(what=what, layer=layer))

    def _do(self, operands: list[Any]) -> None:
        found = self.resources.get("/XObject", {})
        thing = found.get(operands[0])
        thing = None if thing is None else thing.get_object()
        if thing is None or thing.get("/Subtype") != "/Form":
            self._leave("an image")
            return
        state = self.state
        if "/Matrix" in thing:
            move = Move(*(float(one) for one in thing["/Matrix"]))
            state = replace(state, move=move.after(state.move))
        names = self.marks[-1]
        if "/OC" in thing:
            names = (*_group_names(thing["/OC"].get_object()), *names)[:24]
        inner = thing.get("/Resources", self.resources)
        self.walk.stream(thing, inner, state, names, self.depth + 1)

    # -- colours ------------------------------------------------------------------------------

    def _colour(self, operator: str, operands: list[Any]) -> None:
        stroke = operator.isupper()
        if operator in ("CS", "cs"):
            spaces = self.resources.get("/ColorSpace", {})
            space = spaces.get(operands[0]) if hasattr(spaces, "get") else None
            ink = _ink_of(space)
            state = replace(self.state, ink=ink) if stroke else replace(self.state, paint=ink)
            self.state = state
            return
        numbers = [float(one) for one in operands if isinstance(one, int | float)]
        plain = operator not in ("SC", "SCN", "sc", "scn")
        colour = _rgb(numbers)
        if stroke:
            ink = "" if plain else self.state.ink
            self.state = replace(self.state, stroke="" if ink else colour, ink=ink)
        else:
            ink = "" if plain else self.state.paint
            self.state = replace(self.state, fill="" if ink else colour, paint=ink)

    # -- paths --------------------------------------------------------------------------------

    def _build(self, operator: str, n: list[float]) -> None:
        here = self.paths[-1] if self.paths else None
        if operator == "m":
            self.paths.append(Bends(start=(n[0], n[1])))
        elif operator == "re":
            x, y, w, h = n[:4]
            box = Bends(start=(x, y), closed=True)
            for place in ((x + w, y), (x + w, y + h), (x, y + h)):
                box.curve(place)
            self.paths.append(box)
        elif here is not None and operator == "h":
            here.closed = True
        elif here is not None:
            places = list(zip(n[::2], n[1::2], strict=False))
            last = here.curves[-1][-1] if here.curves else here.start
            if here.closed:  # goes on from where it closed
                here = Bends(start=here.start)
                self.paths.append(here)
            here.curve(*_with_ends(operator, last, places))

    def _paint(self, operator: str) -> None:
        paths, self.paths = self.paths, []
        if operator == "n" or not paths:
            return
        stroked = operator in ("S", "s", "B", "B*", "b", "b*")
        state, names = self.state, self.marks[-1]
        ink = state.ink if stroked else state.paint
        colour = state.stroke if stroked else state.fill
        self.walk.budget.more_points(len(paths))
        for i, bends in enumerate(paths):
            if operator in ("s", "b", "b*") and i == len(paths) - 1:
                bends.closed = True
            bends.closed = bends.closed or not stroked
            if not bends.curves:
                continue
            moved = bends.moved(state.move)
            points = flattened(moved, FLAT, self.walk.budget)
            path = smooth(points, bends.closed)
            if path is not None:
                self.walk.budget.line()
                self.walk.lines.append(
                    Line(
                        path=path,
                        names=((ink, *names) if ink else names),
                        layer=names[0] if names else ink,
                        colour=colour,
                        dashed=stroked and state.dashed,
                        filled=not stroked,
                        hidden=self.hidden[-1],
                    )
                )


_BUILDS = frozenset({"m", "l", "c", "v", "y", "h", "re"})
_PAINTS = frozenset({"S", "s", "f", "F", "f*", "B", "B*", "b", "b*", "n"})
_COLOURS = frozenset({"CS", "cs", "SC", "SCN", "sc", "scn", "G", "g", "RG", "rg", "K", "k"})
_STEPS: dict[str, Callable[[_Run, list[Any]], None]] = {
    "q": _Run._save,
    "Q": _Run._restore,
    "cm": _Run._concat,
    "d": _Run._dash,
    "BDC": _Run._begin_mark,
    "BMC": _Run._begin_mark,
    "EMC": _Run._end_mark,
    "BT": _Run._begin_text,
    "Do": _Run._do,
    "sh": lambda run, _: run._leave("a shading"),
}


def _with_ends(operator: str, last: Place, places: list[Place]) -> list[Place]:
    if operator == "v":
        return [last, *places]
    if operator == "y":
        return [*places, places[-1]]
    return places


def _group_names(group: Any) -> tuple[str, ...]:
    """Return what an optional content group is called, and its processing step."""
    names = [str(group.get("/Name", ""))[:120]]
    step = group.get("/GTS_Metadata")
    if step is not None:
        step = step.get_object()
        kind, type_ = step.get("/GTS_ProcStepsGroup", ""), step.get("/GTS_ProcStepsType", "")
        names.append(f"{kind}{type_}".replace("/", " ").strip())
    return tuple(name for name in names if name)


def _ink_of(space: Any) -> str:
    """Return the name of a Separation's ink; empty for any other colour space."""
    found = space.get_object() if hasattr(space, "get_object") else space
    if isinstance(found, list) and len(found) > 1 and found[0] == "/Separation":
        return str(found[1]).lstrip("/")[:120]
    return ""


def _rgb(numbers: list[float]) -> str:
    """Return a colour of 1 (grey), 3 (RGB) or 4 (CMYK) levels; empty for none of these."""
    if len(numbers) == 1:
        numbers = numbers * 3
    elif len(numbers) == 4:
        black = 1 - numbers[3]
        numbers = [(1 - one) * black for one in numbers[:3]]
    if len(numbers) != 3:
        return ""
    return "#" + "".join(f"{max(0, min(255, round(one * 255))):02X}" for one in numbers)
