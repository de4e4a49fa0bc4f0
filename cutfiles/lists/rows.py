"""Reads one row of a list: every cell by the rules of `cells`, then the slip it makes."""

import re
from collections.abc import Mapping
from dataclasses import replace

from cutfiles.bench.approximate import about
from cutfiles.bench.at_hand import FilmKind
from cutfiles.bench.book import sounds_limp
from cutfiles.bench.fields import FIELDS, LEAST_OPENING
from cutfiles.bench.slip import Slip, slip_from
from cutfiles.errors import Fault, Place, ReadingError, SlipError
from cutfiles.lists import cells as rules
from cutfiles.lists.cells import Change
from cutfiles.lists.grid import EMPTY, Cell
from cutfiles.lists.headers import Column, ColumnMapping, Header
from cutfiles.lists.limits import LONGEST_CELL, MOST_COPIES
from cutfiles.lists.names import words_of
from cutfiles.lists.notes import most_in_notes
from cutfiles.lists.sizes import holds_several, is_twice, one_measure, sizes_in
from cutfiles.lists.wording.checks import Ask
from cutfiles.lists.wording.senses import AXES
from cutfiles.tables.record import nested
from cutfiles.units import read_angle

_KINDS = {one.path: one.kind for one in FIELDS} | {"size": "length"}
SLIP_FIELDS = frozenset(one.path for one in FIELDS)
"""What of a row is its slip's; the rest is the list's own."""
_TOTAL = re.compile(r"^\s*(?:grand\s+|sub)?-?\s*(?:totals?|sum|summe)\b\W*$", re.IGNORECASE)
_SIZED = frozenset((*AXES, "left_width", "right_width", "spine_width"))
"""What a cell of sizes would have given."""
_MEASURES = ("length", "weight", "angle")


def is_no_book(cells: tuple[Cell, ...], header: tuple[Cell, ...]) -> str:
    """Return why a row is no book, or an empty text where it may be one."""
    texts = [cell.text.strip() for cell in cells]
    if not any(texts):
        return "blank-row"
    if [t.casefold() for t in texts] == [c.text.strip().casefold() for c in header]:
        return "header-again"
    first = next(text for text in texts if text)
    if _TOTAL.match(first) and len([text for text in texts if text]) <= len(texts) / 2:
        return "totals-row"
    return ""


class RowReading:
    """One row being read: collects values, faults and the ledger, then makes the slip."""

    def __init__(
        self,
        name: str,
        row: int,
        header: Header,
        cells: tuple[Cell, ...],
        above: Mapping[str, str],
        known: ColumnMapping,
    ) -> None:
        self.place, self.row, self.known = Place(file=name, row=row), row, known
        self.columns = {column.field: column for column in header.columns if column.field}
        self.before = above
        self.values: dict[str, str] = {}
        self.extra: dict[str, str] = {}
        self.found: dict[str, str] = {}
        self.faults: list[Fault] = []
        self.asked: set[str] = set()
        self.ledger: list[Change] = []
        self.copies = 1
        self.repeated: dict[str, str] = {}
        self.given: dict[str, str] = {}
        for index, column in enumerate(header.columns):
            cell = cells[index] if index < len(cells) else EMPTY
            self._cell(index, column, cell)
        for index, cell in enumerate(cells[len(header.columns) :], start=len(header.columns)):
            self._cell(index, Column("", ""), cell)
        self.above = {**above, **self.values}
        self._repeats()
        self._sizes()
        self._bare_numbers()
        self._copies()
        self._cover()
        self.closed = rules.is_closed(self.values.get("opening", ""))

    # -- cells ------------------------------------------------------------------------------------

    def _cell(self, index: int, column: Column, cell: Cell) -> None:
        text = self._text(column, cell)
        if not text:
            return
        if not column.field:
            self.extra[column.header or f"column {index + 1}"] = text
            return
        self.found[column.field] = text
        if rules.is_ditto(text):
            above = self.before.get(column.field, "")
            if not above:
                self._fault(column, text, "something above it to repeat", "write it out")
                return
            self._told(column, text, above, "ditto")
            self.values[column.field] = self.repeated[column.field] = above
            return
        if rules.is_blank(text) and column.field != "number":
            self._told(column, text, "", "placeholder")
            return
        self.values[column.field] = self._value(column, Cell(text, cell.kind))

    def _text(self, column: Column, cell: Cell) -> str:
        """Return a cell's text: the wrong code page put right, the guard of a formula taken off."""
        if len(cell.text) > LONGEST_CELL:
            self._fault(
                column,
                cell.text[:60] + "…",
                f"a cell of at most {LONGEST_CELL} characters",
                "shorten it",
            )
            return ""
        text = rules.repaired(cell.text)
        if text != cell.text:
            self._told(column, cell.text, text, "wrong-code-page")
        plain = rules.unguarded(" ".join(text.split()))
        if cell.merged:
            self._told(column, "", plain, "merged-cell")
        if plain.startswith("=") and column.field not in _measured() and cell.text[:1] == "=":
            self._told(column, plain, plain, "formula-kept-as-text")
        if cell.kind == "number" and column.field == "shelf_mark":
            self._told(column, plain, plain, "number-may-have-lost-zeros")
        return plain

    def _value(self, column: Column, cell: Cell) -> str:
        """Return what a cell reads as; a cell nobody can know is a fault."""
        text, kind = cell.text, _KINDS.get(column.field, "text")
        odd = rules.odd_cell(cell)
        if odd is None and column.field == "opening":
            odd = rules.odd_opening(cell)
        if odd is None and column.field == "number":
            odd = rules.odd_number(cell)
        if odd is None and (
            column.field == "size" or (column.field == "height" and holds_several(text))
        ):
            return text
        if odd is None and kind == "length" and is_twice(text):
            return self._two_units(column, text)
        if kind in _MEASURES:
            measure, words = rules.measure_and_words(text)
            odd = odd or rules.odd_measure(Cell(measure, cell.kind), kind)
            plain = about(measure)
            if odd is None and words:
                self._told(column, text, measure, "words-to-note")
                note = self.values.get("note", "")
                self.values["note"] = f"{note}; {words}" if note else words
            if odd is None and plain != measure:
                self._told(column, measure, plain, "about")
            text = plain if odd is None else text
        if odd is not None:
            self._fault(column, text, odd.needed, odd.remedy)
        return text

    # -- cells together --------------------------------------------------------------------------

    def _two_units(self, column: Column, text: str) -> str:
        measure, ask = one_measure(text, column)
        if ask is None:
            self._told(column, text, measure, "two-units")
        else:
            self._ask(column, text, ask)
        return measure

    def _repeats(self) -> None:
        """Ask where a ditto repeats something else than when the mapping was saved."""
        for path, text in self.repeated.items():
            column = self.columns[path]
            before = self.known.repeated.get(repeated_key(self.values.get("number", ""), path))
            if before is not None and before != text:
                self._fault(
                    column,
                    self.found[path],
                    f'what it repeated before, "{before}"; now "{text}" stands above it',
                    "write it out",
                    "repeated",
                )

    def _sizes(self) -> None:
        """Part sizes that stand in one cell; a cell of its own goes before none of them."""
        for path in ("size", "height"):
            text = self.values.get(path, "")
            if not text or (path == "height" and not holds_several(text)):
                continue
            column = self.columns[path]
            read = sizes_in(text, column, self.known.bare)
            own = [name for name in read.values if name != path and self.values.get(name)]
            self.values.pop(path)
            if read.ask is not None:
                self._ask(column, text, read.ask)
            elif own:
                self._fault(
                    column,
                    text,
                    f"one measure, for {own[0]} has a cell of its own",
                    "write each measure into its own column",
                )
            else:
                self.values |= read.values
                self.found |= dict.fromkeys(read.values, text)
                if unit := self._unit_given(column, text):
                    self.given |= dict.fromkeys(read.values.keys() & {*AXES}, unit)
                said = ", ".join(f"{name} {measure}" for name, measure in read.values.items())
                self._told(column, text, said, read.rule)
                if read.about:
                    self._told(column, text, said, "about")

    def _unit_given(self, column: Column, text: str) -> str:
        """Return what the bare numbers of a cell count in, empty where it says so itself."""
        stated = rules.says_metric(text) or rules.says_inches(text)
        return "" if stated else column.unit or self.known.bare or ""

    def _ask(self, column: Column, text: str, ask: Ask) -> None:
        key = "bare-number" if ask.key == "unit" else f"size-{ask.key}"
        self.asked.add(column.field)
        self._fault(column, text, ask.needed, ask.remedy, key)

    def _bare_numbers(self) -> None:
        """Give bare lengths and weights their unit, where a column, the row or the user says it."""
        stated = [t for path, t in self.values.items() if _KINDS.get(path) == "length"]
        inches = any(map(rules.says_inches, stated)) and not any(map(rules.says_metric, stated))
        for path, text in list(self.values.items()):
            kind = _KINDS.get(path)
            if kind not in _MEASURES or not rules.is_bare(text):
                continue
            column = self.columns.get(path) or Column(path, path)
            if column.unit:
                self.given[path] = column.unit
                self.values[path] = f"{text} {column.unit}"
            elif kind == "length" and inches and rules.is_bare_fraction(text):
                self.values[path] = f"{text} in"
                self._told(column, text, f"{text} in", "fraction-in-a-row-of-inches")
            elif kind == "length" and self.known.bare and not path.startswith("support."):
                self.given[path] = self.known.bare
                self.values[path] = f"{text} {self.known.bare}"

    def _copies(self) -> None:
        note = self.values.get("note", "")
        text = self.values.get("copies", "")
        if text:
            if text.isdecimal() and 1 <= int(text) <= MOST_COPIES:
                self.copies = int(text)
                return
            self._fault(
                self.columns["copies"],
                text,
                f"a whole number from 1 to {MOST_COPIES}",
                "write how many supports are wanted",
            )
        elif count := rules.copies_in(note):
            self.copies = max(1, min(count, MOST_COPIES))
            column = self.columns.get("note") or Column("note", "note")
            self._told(column, note, f"{self.copies} copies", "copies-from-note")
            self.values["copies"] = str(self.copies)

    def _cover(self) -> None:
        binding = self.values.get("binding", "")
        if "cover" not in self.values and sounds_limp(binding):
            self._told(self.columns["binding"], binding, "cover limp", "cover-from-binding")
            self.values["cover"] = "limp"

    # -- the slip --------------------------------------------------------------------------------

    def slip(self, films: tuple[FilmKind, ...] = ()) -> Slip | None:
        """Return the row's slip, or None where it is refused."""
        if self.closed:
            self.faults = [
                Fault(
                    self._place(self.columns["opening"]),
                    f'"{self.values["opening"]}"',
                    "a cradle holds an open book",
                    "a closed book needs no cradle: choose another kind of support",
                )
            ]
            return None
        values = {path: text for path, text in self.values.items() if path in SLIP_FIELDS}
        if units := self._units():
            values["units"] = units
        slip = None
        try:
            slip = slip_from(nested(values), self.place, films)
        except SlipError as error:
            told = {fault.place for fault in self.faults}
            for fault in error.faults:
                if self.asked & {"size", "height"} and fault.place.path in _SIZED:
                    continue  # what is missing is what was asked about
                fault = self._in_list(fault)
                if fault.place not in told:
                    self.faults.append(fault)
                    told.add(fault.place)
        self._limits(slip)
        return None if self.faults else slip

    def _limits(self, slip: Slip | None) -> None:
        """Hold the opening against what notes allow."""
        for path, text in (("note", self.values.get("note", "")), *self.extra.items()):
            most = most_in_notes(text)
            if slip is not None and most is not None and slip.opening.opening_angle > most + 0.5:
                angle = self.columns.get("opening_angle") or Column("", "opening_angle")
                self.faults.append(
                    Fault(
                        self._place(angle),
                        f"{slip.opening.opening_angle:.0f}°",
                        f'at most {most:g}°, as its {path} says: "{text[:80]}"',
                        "ask who wrote the note, then correct one of them",
                        "note-limit",
                    )
                )

    def _units(self) -> str | None:
        """Return what the row's people think in; bare numbers have their units by now."""
        if "units" in self.values:
            return self.values["units"]
        stated = [t for path, t in self.values.items() if _KINDS.get(path) == "length"]
        if any(rules.is_bare(text) for text in stated):
            return None
        return "in" if sum(map(rules.says_inches, stated)) * 2 > len(stated) else "mm"

    def _in_list(self, fault: Fault) -> Fault:
        """Return a slip's fault as one of the list: row, column, original text."""
        path, needed, remedy, key = fault.place.path, fault.needed, fault.remedy, fault.key
        if fault.key == "opening":
            path = "opening_angle"  # what a list usually has
            needed = (
                "how far the book opens by itself is needed: an opening angle, or two rises or "
                "slopes"
            )
        column = self.columns.get(path)
        found, original = fault.found, self.found.get(path)
        if original is not None and f'"{original}"' not in found:
            found = f'"{original}", read as {found}'
        if fault.key == "unit":
            remedy = "write its unit into the cell or the column's name"
            key = ""
            if _KINDS.get(path) == "length" or not self._units():  # else more than that is said
                remedy += ", or say what bare numbers count in"
                key = "bare-number"
        elif fault.key in ("opening", "fill-in"):
            remedy = f"fill in the column {column.header}" if column else f"add a column {path}"
            if column is None and path in _SIZED and (sizes := self.columns.get("size")):
                remedy = f"write it into the column {sizes.header}, or {remedy}"
            if fault.key == "opening" and column is None and self._says_angle():
                remedy += (
                    f"; or is it in the column {self.columns['opening'].header}? That is read as "
                    'the page shown: call it "Opening angle"'
                )
        elif path == "opening_angle" and original and column and self._says_page(original):
            remedy += '; or is it the page shown? Then call the column "Page shown"'
        place = self._place(column) if column else self.place.at(path)
        return Fault(place, found, needed, remedy, key)

    def _says_page(self, text: str) -> bool:
        """Whether what was taken for an angle may be the page shown: letters, and none is told."""
        return "opening" not in self.columns and text.strip()[:1].isalpha()

    def _says_angle(self) -> bool:
        """Whether what was taken for the page shown may be how far the book opens."""
        column = self.columns.get("opening")
        if column is None or words_of(column.header)[-1:] != ["opening"]:
            return False
        try:
            return LEAST_OPENING <= read_angle(self.values.get("opening")) <= 180
        except ReadingError:
            return False

    def _place(self, column: Column) -> Place:
        return replace(self.place.at(column.field), column=column.header or column.field)

    def _fault(self, column: Column, text: str, needed: str, remedy: str, key: str = "") -> None:
        self.faults.append(Fault(self._place(column), f'"{text}"', needed, remedy, key))

    def _told(self, column: Column, found: str, read: str, rule: str) -> None:
        self.ledger.append(Change(self.row, column.header or column.field, found, read, rule))


def repeated_key(number: str, path: str) -> str:
    """Return the name under which a mapping keeps what a ditto repeated."""
    return f"{number} {path}".strip()


def _measured() -> frozenset[str]:
    return frozenset(path for path, kind in _KINDS.items() if kind in _MEASURES)
