"""Parts the wording of a size into clauses: numbers with their units and labels, and words.

    Overall (closed): 8 1/2 × 5 1/2 × 1 1/4 in. (21.6 × 14 × 3.2 cm)

is one clause of the words "Overall", "closed", of three sizes, and of a second wording of them.
"""

from collections.abc import Iterator
from dataclasses import field, replace
from typing import Literal

from cutfiles.dataclass import dataclass
from cutfiles.lists.wording.senses import AXES, Axis, Sense, axis_of, counts, senses_of
from cutfiles.lists.wording.tokens import Token
from cutfiles.units import WEIGHT

Flaw = Literal["number", "range", "alternative"]


@dataclass(frozen=True, slots=True)
class Size:
    """One number of a clause.

    Attributes:
        number: as it stands.
        unit: its unit, empty where none follows it.
        way: which way it measures, as far as a label says so.
        again: the same in another unit, in parentheses beside it.

    """

    number: str
    unit: str = ""
    way: Sense | None = None
    again: "Size | None" = None

    @property
    def text(self) -> str:
        """Number and unit."""
        return f"{self.number} {self.unit}".strip()


@dataclass(slots=True)
class Clause:
    """A piece of a wording that speaks of one thing; it grows while its tokens are read.

    Attributes:
        words: beside the sizes, as they stand.
        sizes: the numbers that are sizes.
        counted: numbers of leaves, volumes or other things, with the word that follows.
        again: a second wording of all sizes, in parentheses behind them.
        order: which way each size measures, where the clause says so as "H x W x D".
        flaws: what is wrong with its numbers.
        described: it belongs to a catalogue's description, whose words are many.

    """

    words: list[str] = field(default_factory=list)
    sizes: list[Size] = field(default_factory=list)
    counted: list[tuple[str, str]] = field(default_factory=list)
    again: list[Size] = field(default_factory=list)
    order: list[Sense] = field(default_factory=list)
    flaws: list[Flaw] = field(default_factory=list)
    described: bool = False

    @property
    def senses(self) -> set[Sense]:
        """What its words mean."""
        return set().union(*(senses_of(word) for word in self.words))

    @property
    def unknown(self) -> list[str]:
        """Words without a sense."""
        return [word for word in self.words if word != "[]" and not senses_of(word)]


def clauses_of(tokens: tuple[Token, ...]) -> list[Clause]:
    """Return the clauses of a wording, in order.

    >>> from cutfiles.lists.wording.tokens import tokens_of
    >>> first, second = clauses_of(tokens_of("Image: 6 x 4 in. Sheet: 8 x 5 in."))
    >>> first.words, [size.text for size in second.sizes]
    (['Image'], ['8', '5 in'])
    """
    found: list[Clause] = []
    for area, ends in _areas(tokens):
        extent, detail = _described(area) if ends == ";" else (area, [])
        found += [_Reading(run).clause for run in _runs(extent)]
        if detail:
            words = [token.text for token in detail if token.kind == "word"]
            found.append(Clause(words, described=True))
    return found


def _described(area: list[Token]) -> tuple[list[Token], list[Token]]:
    """Part a catalogue's extent from the details behind its colon: "1 v. : ill., maps ;"."""
    colons = [index for index, token in enumerate(area) if token.kind == "colon"]
    extent = area[: colons[0]] if colons else []
    if any(t.kind == "unit" for t in area) or not any(counts(t.text) for t in extent):
        return area, []
    return extent, area[colons[0] + 1 :]


def _areas(tokens: tuple[Token, ...]) -> Iterator[tuple[list[Token], str]]:
    """Yield the tokens between strong breaks, and the break that follows."""
    area: list[Token] = []
    depth = 0
    for token in tokens:
        depth += {"open": 1, "close": -1}.get(token.kind, 0)
        if token.kind == "break" and depth <= 0:
            yield area, token.text
            area = []
        else:
            area.append(token)
    yield area, ""


def _runs(area: list[Token]) -> Iterator[list[Token]]:
    """Yield the tokens of one clause each: parted at commas, and before a new label's words."""
    run: list[Token] = []
    depth = 0
    for token in area:
        depth += {"open": 1, "close": -1}.get(token.kind, 0)
        if depth > 0 or token.kind not in ("comma", "colon", "plus"):
            run.append(token)
        elif token.kind == "colon":
            before, label = _label_behind_sizes(run)
            if before:
                yield before
            run = [*label, token]
        else:
            yield run
            run = [token] if token.kind == "plus" else []
    yield run


def _label_behind_sizes(run: list[Token]) -> tuple[list[Token], list[Token]]:
    """Part a run that ends in a label from the sizes of the clause before it."""
    units = [index for index, token in enumerate(run) if token.kind in ("unit", "colon")]
    if not units or not any(token.kind == "number" for token in run):
        return [], run
    cut = units[-1] + 1
    depth = sum({"open": 1, "close": -1}.get(token.kind, 0) for token in run[:cut])
    while depth > 0 and cut < len(run):
        depth += {"open": 1, "close": -1}.get(run[cut].kind, 0)
        cut += 1
    return run[:cut], run[cut:]


class _Reading:
    """The tokens of one clause being read."""

    def __init__(self, tokens: list[Token]) -> None:
        self.tokens, self.at = tokens, 0
        self.clause = Clause()
        self.way: Sense | None = None
        self.listed = any(token.kind == "word" and counts(token.text) for token in tokens)
        while self.at < len(tokens):
            self._next()
        if self.way is not None:
            self._label(self.way)

    def _kind(self, ahead: int = 0) -> str:
        place = self.at + ahead
        return self.tokens[place].kind if 0 <= place < len(self.tokens) else ""

    def _text(self, ahead: int = 0) -> str:
        place = self.at + ahead
        return self.tokens[place].text if 0 <= place < len(self.tokens) else ""

    def _next(self) -> None:
        match self._kind():
            case "number":
                self._number()
            case "word":
                self._word()
            case "open":
                self._inside()
            case "unit":
                self._unit(self._text())
                self.at += 1
            case "plus":
                self.clause.words.append("+")
                self.at += 1
            case "times":
                if self._kind(-1) == "" or self._kind(1) not in ("number", "word", "open"):
                    self.clause.flaws.append("number")
                self.at += 1
            case "range":
                if self._kind(-1) == "number" or self._kind(1) == "number":
                    self.clause.flaws.append("range")
                self.at += 1
            case _:
                self.at += 1

    # -- numbers ----------------------------------------------------------------------------------

    def _number(self) -> None:
        number, ahead = self._text(), 1
        joined = self._kind(-1) == "times" or self._kind(1) == "times" or self.way is not None
        if self._kind(1) == "number":
            self.clause.flaws.append("number")
        if self._kind(1) == "unit":
            unit, ahead = self._text(1), 2
            if unit in ("'", "ft", "feet", "foot") and self._kind(2) == "number":
                number, unit, ahead = f"{number} {unit} {self._text(2)}", self._text(3), 4
            self._size(Size(number, unit, self.way))
        elif self._counted(joined) and self._kind(1) == "range" and self._kind(2) == "number":
            self.clause.counted.append((f"{number}-{self._text(2)}", ""))
            ahead = 3
        elif self._counted(joined):
            self.clause.counted.append((number, self._text(1) if self._kind(1) == "word" else ""))
        elif self._kind(1) == "range" and not joined and self._kind(2) == "number":
            self._size(Size(number))
        else:
            self._size(Size(number, "", self.way))
        self.at += ahead

    def _counted(self, joined: bool) -> bool:
        """Whether a number counts something: leaves, volumes, or what no measure has."""
        if joined:
            return False
        after = self._text(1) if self._kind(1) == "word" else ""
        before = self._text(-1) if self._kind(-1) == "word" else ""
        if after:
            return axis_of(after) in (None, "length") or bool(self.way) or counts(after)
        return self.listed or (bool(before) and counts(before))

    def _size(self, size: Size) -> None:
        self.clause.sizes.append(size)
        self.way = None

    def _unit(self, unit: str) -> None:
        """Give a unit that stands behind all of them to those that have none."""
        self.clause.sizes = [s if s.unit else replace(s, unit=unit) for s in self.clause.sizes]

    # -- words ------------------------------------------------------------------------------------

    def _word(self) -> None:
        way = axis_of(self._text())
        if self._text().casefold() == "x" and self._kind(1) == "number":
            self.clause.flaws.append("number")
        if way is None or (counts(self._text()) and self._kind(-1) == "number"):
            self.clause.words.append(self._text())
            self.at += 1
            return
        order = self._order()
        if len(order) > 1:
            self.clause.order = order
            self.at += 2 * len(order) - 1
            return
        self.at += 1
        if self._before_number():
            self.way = way
        else:
            self._label(way)

    def _before_number(self) -> bool:
        """Whether a number follows a label, with at most a sign and words between."""
        ahead = 0
        while self._kind(ahead) in ("word", "colon") and axis_of(self._text(ahead)) is None:
            ahead += 1
        return self._kind(ahead) == "number"

    def _order(self) -> list[Sense]:
        ways: list[Sense] = []
        ahead = 0
        while self._kind(ahead) == "word" and (way := axis_of(self._text(ahead))):
            ways.append(way)
            if self._kind(ahead + 1) != "times":
                break
            ahead += 2
        return ways

    def _label(self, way: Sense) -> None:
        """Name the way of the number before a label."""
        sizes = self.clause.sizes
        if sizes and sizes[-1].way is None:
            sizes[-1] = replace(sizes[-1], way=way)
        else:
            self.clause.words.append(way)
        self.way = None

    # -- parentheses ------------------------------------------------------------------------------

    def _inside(self) -> None:
        """Read what stands in parentheses: a unit, a label, another unit's sizes, or words."""
        end, depth = self.at + 1, 1
        while end < len(self.tokens) and depth:
            depth += {"open": 1, "close": -1}.get(self.tokens[end].kind, 0)
            end += 1
        inner = [t for t in self.tokens[self.at + 1 : end] if t.kind not in ("open", "close")]
        self.at = end
        if all(token.kind == "unit" for token in inner):
            for token in inner:
                self._unit(token.text)
            return
        parts = [_Reading(run).clause for run in _runs(inner)]
        for part in parts:
            self._take(part)

    def _take(self, part: Clause) -> None:
        clause = self.clause
        clause.flaws += part.flaws
        clause.counted += part.counted
        clause.order = clause.order or part.order
        for word in part.words:
            if word in (*AXES, "length", "round", "weight") and not part.sizes:
                self._before_label(word)
            else:
                clause.words.append(word)
        if not part.sizes:
            return
        ways = {size.way for size in clause.sizes}
        if not clause.sizes or (part.sizes[0].way and part.sizes[0].way not in ways):
            clause.sizes += part.sizes
        elif len(part.sizes) == 1:
            self._beside(part.sizes[0])
        elif (
            clause.again
            or len(part.sizes) != len(clause.sizes)
            or not any(size.unit for size in part.sizes)
        ):
            clause.flaws.append("alternative")
        else:
            clause.again = part.sizes

    def _before_label(self, word: str) -> None:
        way = axis_of(word)
        if self._kind() == "number" and not (
            self.clause.sizes and self.clause.sizes[-1].way is None
        ):
            self.way = way
        elif way is not None:
            self._label(way)

    def _beside(self, other: Size) -> None:
        size = self.clause.sizes[-1]
        if not size.unit or not other.unit or size.again:
            self.clause.flaws.append("alternative")
        else:
            self.clause.sizes[-1] = replace(size, again=other)


def is_weight(size: Size) -> bool:
    """Whether a number is a weight, by its unit."""
    return size.unit in WEIGHT.names


def ways_of(clause: Clause) -> list[Axis] | None:
    """Return which way each size of a clause measures where labels say so, else None.

    An empty list says that the labels contradict one another or are of no book.
    """
    named = clause.order if len(clause.order) == len(clause.sizes) else []
    said = [size.way for size in clause.sizes] if not named else list(named)
    if not any(said):
        return None
    if any(way not in (*AXES, None) for way in said):
        return []
    left = [axis for axis in AXES if axis not in said]
    full = [way if way in AXES else left.pop(0) if left else None for way in said]
    ways = [axis for way in full for axis in AXES if axis == way]
    partly = any(way is None for way in said) and ways != list(AXES[: len(ways)])
    return [] if len(set(ways)) < len(said) or partly else ways
