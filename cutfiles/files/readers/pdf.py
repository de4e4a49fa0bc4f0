"""Reads PDF: the paths of one page with their layers, and the layers' processing steps.

Our own files are opened by `pdf_plain`, others by pypdf; what the content means is read here.
Source: ISO 32000-1 §8.4 (graphics state), §8.5 (paths), §8.11 (optional content).
"""

import io
import logging
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import field
from typing import Any

from cutfiles.dataclass import dataclass
from cutfiles.errors import FileError
from cutfiles.files.readers.pdf_plain import NotPlain, Stream, open_plain
from cutfiles.files.readers.reading import (
    Place,
    Reading,
    ReadPath,
    facts_in,
    parts_of_curve,
    sound,
    with_middles,
)

_NOT_PLAIN = re.compile(rb"[()<>\[\]{}%\x00]")
_MM_PER_POINT = 25.4 / 72
Matrix = tuple[float, float, float, float, float, float]
_SILENT = logging.NullHandler()
_STROKED = re.compile(r"\n([Ss])\n")
_DRAWN = frozenset(("m", "l", "c", "re", "h"))
_IDLE = frozenset("g gs rg k cs sc SC scn SCN w J j M ri i W W* DP MP".split(" "))


def read_pdf(data: bytes) -> Reading:
    """Return what a PDF of one page states.

    Raises:
        FileError: it is no PDF, has several pages, or holds what we do not read.

    """
    try:
        return _read(data)
    except FileError:
        raise
    except Exception as error:  # damaged bytes take pypdf, and us, anywhere
        raise _refuse(f"bytes that are no PDF we can read ({error})", "a PDF file") from None


def _read(data: bytes) -> Reading:
    if not data.rstrip().endswith(b"%%EOF"):
        raise _refuse("no %%EOF at its end", "a PDF file that was cut off lacks lines")
    try:
        page = _plain_page(data)
    except NotPlain:
        page = _page(data)
    left, bottom = page.corner
    begun = (_MM_PER_POINT, 0.0, 0.0, _MM_PER_POINT, -left * _MM_PER_POINT, -bottom * _MM_PER_POINT)
    walker = _Walker(page.names, page.inks, matrix=begun)
    try:
        if isinstance(page.content, str):
            walker.follow_text(page.content)
        else:
            walker.follow(page.content)
    except (ValueError, IndexError, TypeError) as error:
        raise _refuse(f"content that cannot be read ({error})", "a cut file") from None
    return Reading(
        paths=sound(walker.paths, "PDF file"),
        facts=facts_in(page.subject.splitlines()),
        size=(page.size[0] * _MM_PER_POINT, page.size[1] * _MM_PER_POINT),
        steps=page.steps,
        apart=page.apart,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Page:
    """What is read of a file's one page, whoever opened it; its corner and size in points.

    Its content is a text of numbers, names and operators alone, or what pypdf makes of another.
    """

    names: dict[str, str]
    inks: dict[str, str]
    content: str | Iterable[tuple[str, Any]]
    corner: tuple[float, float]
    size: tuple[float, float]
    subject: str
    steps: dict[str, tuple[str, str]]
    apart: frozenset[str]


def _plain_page(data: bytes) -> _Page:
    """Return the page of a file of the plainest kind.

    Raises:
        NotPlain: it is of another kind, or damaged, or has content of other kinds.

    """
    file = open_plain(data)
    resolve = file.resolve
    try:
        root = resolve(file.trailer["/Root"])
        (leaf,) = resolve(root["/Pages"])["/Kids"]
        page = resolve(leaf)
        left, bottom, right, top = (float(side) for side in page["/MediaBox"])
        stream = resolve(page["/Contents"])
        resources = resolve(page["/Resources"])
        properties, spaces = resources["/Properties"], resources["/ColorSpace"]
        info = resolve(file.trailer["/Info"])
        subject = info.get("/Subject", "")
        names = {tag: str(resolve(group).get("/Name", "")) for tag, group in properties.items()}
        inks = {tag: _ink(resolve(space)) for tag, space in spaces.items()}
        steps, apart = _steps(root, resolve), _not_printed(root, resolve)
    except (KeyError, TypeError, ValueError, AttributeError):
        raise NotPlain from None
    usual = isinstance(stream, Stream) and isinstance(subject, str)
    if not usual or "/UserUnit" in page or right < left or top < bottom:
        raise NotPlain
    if _NOT_PLAIN.search(stream.data):
        raise NotPlain
    return _Page(
        names=names,
        inks=inks,
        content=stream.data.decode("latin-1"),
        corner=(left, bottom),
        size=(right - left, top - bottom),
        subject=subject,
        steps=steps,
        apart=apart,
    )


def _page(data: bytes) -> _Page:
    """Return the page of any file that pypdf opens."""
    from pypdf import PdfReader
    from pypdf.generic import ContentStream

    logging.getLogger("pypdf").addHandler(_SILENT)  # what it mends, the comparison tells
    reader = PdfReader(io.BytesIO(data), strict=False)
    if len(reader.pages) != 1:
        raise _refuse(f"{len(reader.pages)} pages", "a cut file has one page")
    page = reader.pages[0]
    if "/UserUnit" in page:
        raise _refuse("a /UserUnit", "a cut file is in points of 1/72 in")
    resources: Any = page.get("/Resources") or {}
    properties: Any = resources.get("/Properties") or {}
    spaces: Any = resources.get("/ColorSpace") or {}
    contents = page.get_contents()
    content: str | Iterable[tuple[str, Any]] = ""
    if contents is not None:
        stream = contents.get_data()
        if _NOT_PLAIN.search(stream):
            found = ContentStream(contents, reader).operations
            content = ((operator.decode("latin-1"), operands) for operands, operator in found)
        else:  # numbers, names and operators only, as we write them: six times as fast
            content = stream.decode("latin-1")
    box = page.mediabox
    subject = reader.metadata.subject if reader.metadata else None
    root = reader.trailer["/Root"].get_object()
    return _Page(
        names={t: str(group.get_object().get("/Name", "")) for t, group in properties.items()},
        inks={tag: _ink(space.get_object()) for tag, space in spaces.items()},
        content=content,
        corner=(float(box.left), float(box.bottom)),
        size=(float(box.width), float(box.height)),
        subject=subject or "",
        steps=_steps(root, _of_pypdf),
        apart=_not_printed(root, _of_pypdf),
    )


def _of_pypdf(value: Any) -> Any:
    """Return what a reference of pypdf's stands for."""
    return value.get_object() if hasattr(value, "get_object") else value


def _ink(space: Any) -> str:
    """Return the name of a colour that stands for itself, or of the kind of colours."""
    named = isinstance(space, list) and len(space) > 1 and space[0] == "/Separation"
    return str(space[1] if named else space).lstrip("/")


def _operations(words: Iterable[str]) -> Iterator[tuple[str, list[str]]]:
    """Yield operators with their operands, of a content stream without strings and arrays."""
    operands: list[str] = []
    for word in words:
        if word[0] in "/+-.0123456789":
            operands.append(word)
        else:
            yield word, operands
            operands = []


def _steps(root: Any, resolve: Callable[[Any], Any]) -> dict[str, tuple[str, str]]:
    """Return group and type of each optional content group that has processing-step metadata."""
    steps = {}
    for ref in root.get("/OCProperties", {}).get("/OCGs", []):
        group = resolve(ref)
        data = group.get("/GTS_Metadata")
        if data is not None:
            kind, type_ = data.get("/GTS_ProcStepsGroup", ""), data.get("/GTS_ProcStepsType", "")
            steps[str(group["/Name"])] = (str(kind).lstrip("/"), str(type_).lstrip("/"))
    return steps


def _not_printed(root: Any, resolve: Callable[[Any], Any]) -> frozenset[str]:
    """Return the names of the groups that are off when the page is printed.

    A group's usage acts only through the automatic states of the default configuration.
    """
    layers = resolve(root.get("/OCProperties", {}))
    found = set()
    for state in resolve(resolve(layers.get("/D", {})).get("/AS", [])):
        usage = resolve(state)
        if usage.get("/Event") != "/Print" or "/Print" not in usage.get("/Category", []):
            continue
        for ref in usage.get("/OCGs", []):
            group = resolve(ref)
            said = group.get("/Usage", {}).get("/Print", {}).get("/PrintState")
            found |= {str(group.get("/Name", ""))} if said == "/OFF" else set()
    return frozenset(found)


@dataclass(slots=True)
class _Run:
    """One run of a path: its points, places midway along what is bent, whether it is closed."""

    points: list[Place]
    bends: dict[int, Place] = field(default_factory=dict)
    closed: bool = False


@dataclass(slots=True)
class _Walker:
    """Follows the operators of a content stream: matrix, layer, path."""

    names: dict[str, str]
    inks: dict[str, str]
    ink: str = "black"
    dashed: bool = False
    paths: list[ReadPath] = field(default_factory=list)
    matrix: Matrix = (_MM_PER_POINT, 0.0, 0.0, _MM_PER_POINT, 0.0, 0.0)
    """From the content's places to mm from the page's lower left corner (ISO 32000-1 §8.3.2.3)."""
    saved: list[tuple[Matrix, str, bool]] = field(default_factory=list)
    layers: list[str] = field(default_factory=list)
    runs: list[_Run] = field(default_factory=list)

    def follow_text(self, text: str) -> None:
        """Follow a content without strings and arrays, path by path.

        Most are lines from place to place, whose numbers are taken together: in half the time.
        """
        parts = _STROKED.split(text)
        for told, stroked in zip(parts[::2], parts[1::2], strict=False):
            words = told.split()
            if words[2::3] == ["m", *["l"] * (len(words) // 3 - 1)] and len(words) % 3 == 0:
                a, b, c, d, e, f = self.matrix
                places = zip(map(float, words[::3]), map(float, words[1::3]), strict=True)
                self.runs.append(_Run([(a * x + c * y + e, b * x + d * y + f) for x, y in places]))
            else:
                self.follow(_operations(words))
            self._paint(stroked)
        self.follow(_operations(parts[-1].split()))

    def follow(self, operations: Iterable[tuple[str, Any]]) -> None:
        """Follow operators one by one."""
        for operator, operands in operations:
            if operator in _DRAWN:
                self._draw(operator, *map(float, operands))
            else:
                self._take(operator, operands)

    def _draw(self, operator: str, *n: float) -> None:
        """Follow an operator that builds a path."""
        if operator == "m":
            self.runs.append(_Run([self._place(*n)]))
        elif operator == "re":
            x, y, w, h = n
            corners = ((x, y), (x + w, y), (x + w, y + h), (x, y + h))
            self.runs.append(_Run([self._place(*corner) for corner in corners], closed=True))
        elif not self.runs:
            raise _refuse(f"the operator {operator} before any m", "a path begins with m")
        elif operator == "l":
            self.runs[-1].points.append(self._place(*n))
        elif operator == "h":
            self.runs[-1].closed = True
        else:
            run = self.runs[-1]
            b, c, d = (self._place(*n[i : i + 2]) for i in (0, 2, 4))
            for end, middle in parts_of_curve(run.points[-1], b, c, d):
                run.bends[len(run.points) - 1] = middle
                run.points.append(end)

    def _place(self, x: float, y: float) -> Place:
        a, b, c, d, e, f = self.matrix
        return (a * x + c * y + e, b * x + d * y + f)

    def _take(self, operator: str, operands: Any) -> None:
        """Follow any other operator."""
        match operator:
            case "S" | "s" | "f" | "F" | "f*" | "B" | "B*" | "b" | "b*":
                self._paint(operator)
            case "q":
                self.saved.append((self.matrix, self.ink, self.dashed))
            case "Q":
                self.matrix, self.ink, self.dashed = self.saved.pop()
            case "CS":
                self.ink = self.inks.get(str(operands[0]), str(operands[0]))
            case "G" | "RG" | "K":
                self.ink = " ".join((*map(str, operands), operator))
            case "d":
                self.dashed = "".join(map(str, operands[:-1])).strip("[] ") != ""
            case "cm":
                self.matrix = _times(self.matrix, [float(n) for n in operands])
            case "BDC":
                group = str(operands[1]) if str(operands[0]) == "/OC" else ""
                self.layers.append(self.names.get(group) or self._layer)
            case "BMC":
                self.layers.append(self._layer)
            case "EMC":
                self.layers.pop()
            case "n":
                self.runs = []
            case _ if operator not in _IDLE:
                raise _refuse(f"the operator {operator}", "a cut file holds only stroked paths")

    @property
    def _layer(self) -> str:
        return self.layers[-1] if self.layers else ""

    def _paint(self, operator: str) -> None:
        layer = self._layer
        ink = "" if self.ink == layer else self.ink
        if operator in ("s", "b", "b*") and self.runs:
            self.runs[-1].closed = True
        for run in self.runs:
            points = tuple(run.points)
            if run.closed and len(points) > 2 and _are_one(points[0], points[-1]):
                points = points[:-1]
            bends = with_middles(points, run.bends, run.closed)
            self.paths.append(ReadPath(layer, points, bends, run.closed, ink, self.dashed))
        self.runs = []


def _are_one(a: Place, b: Place) -> bool:
    """Whether a run came back to where it began."""
    return abs(a[0] - b[0]) + abs(a[1] - b[1]) < 1e-9


def _times(m: Matrix, n: list[float]) -> Matrix:
    a, b, c, d, e, f = m
    return (
        n[0] * a + n[1] * c,
        n[0] * b + n[1] * d,
        n[2] * a + n[3] * c,
        n[2] * b + n[3] * d,
        n[4] * a + n[5] * c + e,
        n[4] * b + n[5] * d + f,
    )


def _refuse(found: str, needed: str) -> FileError:
    return FileError(found, needed, "make the file again from its slip", "PDF file")
