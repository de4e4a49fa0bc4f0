"""Every refusal, in a tree by who can put it right.

CutfilesError            found; needed; remedy
├── ReadingError         a length, weight or angle that cannot be read (who wrote it)
├── SlipError            one or more faults of a slip, all together (who measured)
│   ├── FilmsError       the same of a table of films (who keeps the films)
│   └── WorkshopError    the same of a workshop file (who keeps the workshop)
├── CutterError          a cutter profile with faults, all together (who keeps the cutter)
├── DesignError          no cradle follows from a sound slip (who chooses the support)
├── FormatError          a piece too large for a format or the bed (who runs the cutter)
├── AlignError           measured marks that fit no sheet as it should lie (who turned it)
├── LineError            a line to a cutter that is refused, stalls or breaks (who runs the cutter)
├── FileError            a file not to be read or overwritten (who keeps the files)
│   └── ChangedError     another run is at work on it, or was since it was read (run again)
├── DifferenceError      a file does not hold the pattern it should (who changed the file)
└── Defect               one of our own checks failed on our own work (we)
"""

from dataclasses import replace
from typing import NamedTuple

from cutfiles.dataclass import dataclass


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Place:
    """Where something stands that people wrote, as data; `str` gives it as messages say it.

    Attributes:
        file: what messages call the file: ``slip A3.toml``.
        line: of the file, from 1, or 0.
        row: of a list, from 1, or 0.
        column: header of a list's column.
        table: a table of the file: ``support``, ``material``.
        index: which one of several tables of this name, from 1, or 0.
        field: its name.
        option: it was given by itself, in no file.

    >>> slip = Place(file="slip A3.toml")
    >>> str(slip.at("left_rise")), str(slip.at("support.gauge")), str(slip.at("film.name", 2))
    ('slip A3.toml, left_rise', 'slip A3.toml, support.gauge', 'slip A3.toml, film 2, name')
    >>> str(Place(file="list.csv", row=3, column="H", field="height"))
    'list.csv, row 3, column H'
    >>> str(Place(option=True).at("support.deck_lift"))
    'deck_lift as given'

    """

    file: str = ""
    line: int = 0
    row: int = 0
    column: str = ""
    table: str = ""
    index: int = 0
    field: str = ""
    option: bool = False

    def __str__(self) -> str:
        """Return the place in words."""
        if self.option:
            return f"{self.field} as given" if self.field else "options"
        named = f"{self.table} {self.index}, {self.field}" if self.index else self.path
        parts = (
            self.file,
            f"line {self.line}" if self.line else "",
            f"row {self.row}" if self.row else "",
            f"column {self.column}" if self.column else named.removesuffix(", "),
        )
        return ", ".join(part for part in parts if part)

    def __repr__(self) -> str:
        """Return the words in quotation marks: an exhibit's checksums count a place as its text."""
        return repr(str(self))

    @property
    def path(self) -> str:
        """Table and field with a dot between, as slips and profiles name them."""
        return ".".join(part for part in (self.table, self.field) if part)

    def at(self, path: str, index: int = 0) -> "Place":
        """Return the place of a field in this file or row, by its path."""
        table, _, field = path.rpartition(".")
        return replace(self, table=table, index=index, field=field)


def place_from(place: "Place | str") -> Place:
    """Return a place, of which a plain text names the file."""
    return place if isinstance(place, Place) else Place(file=place)


class Fault(NamedTuple):
    """One thing that is wrong, where it stands, and what to do.

    Attributes:
        place: file, row and field, as far as they are known.
        found: what stands there, with the original text in quotation marks.
        needed: what would be right.
        remedy: what the reader of the message can do.
        key: which remedy it is, where something else words it by its own means: ``unit`` (a
            bare number), ``fill-in`` (nothing stands there), ``opening`` (nothing says how far it
            opens), ``correct`` (out of range), ``name`` (no such field), and those that the
            terminal words in `cli.remedies`.

    """

    place: Place
    found: str
    needed: str
    remedy: str
    key: str = ""

    def __str__(self) -> str:
        """Return the whole message in one line, whatever stands in the text it quotes."""
        place, said = str(self.place), f"found {self.found}; {self.needed}; {self.remedy}"
        return _printable(f"{place}: {said}" if place else said)

    @property
    def words(self) -> dict[str, str]:
        """The message in its parts, for data."""
        said = {"found": self.found, "needed": self.needed, "remedy": self.remedy}
        return {"place": str(self.place)} | said


_LONGEST = 80


def shown(value: object) -> str:
    """Return a value as messages quote it, cut where it is long.

    >>> shown("203 mm"), len(shown("9" * 5000))
    ('"203 mm"', 82)
    """
    try:
        text = str(value)
    except ValueError:  # a whole number above the interpreter's limit of digits
        text = "a number of thousands of digits"
    except RecursionError:
        text = "lists nested in lists without end"
    return f'"{text}"' if len(text) <= _LONGEST else f'"{text[: _LONGEST - 1]}…"'


def reason(error: OSError) -> str:
    """Return why a file cannot be read or written, as messages say it.

    >>> reason(IsADirectoryError(21, "Is a directory"))
    'a folder'
    >>> reason(OSError("No answer from COM3"))
    'no answer from COM3'

    """
    if isinstance(error, IsADirectoryError):
        return "a folder"
    said = str(error)
    return (error.strerror or "").lower() or said[:1].lower() + said[1:] or "no such file"


def _printable(text: str) -> str:
    """Return the text with line ends, controls and signs that turn the writing made visible."""
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in text)


class CutfilesError(Exception):
    """A refusal: what was found, what is needed, what to do.

    Attributes:
        fault: the fault, or the first one where there are several.

    """

    def __init__(
        self, found: str, needed: str, remedy: str, place: Place | str = "", key: str = ""
    ) -> None:
        self.fault = Fault(place_from(place), found, needed, remedy, key)
        super().__init__(str(self.fault))

    @property
    def faults(self) -> tuple[Fault, ...]:
        """All faults, one unless a kind of refusal collects more."""
        return (self.fault,)


class ReadingError(CutfilesError):
    """A text that is no length, weight or angle."""


class SlipError(CutfilesError):
    """A slip with faults; all of them are told together."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        first = faults[0]
        super().__init__(first.found, first.needed, first.remedy, first.place, first.key)
        self._faults = faults

    @property
    def faults(self) -> tuple[Fault, ...]:
        """All faults of the slip, in the order of its fields."""
        return self._faults

    def __str__(self) -> str:
        """Return one line a fault."""
        return "\n".join(str(fault) for fault in self._faults)


class FilmsError(SlipError):
    """A table of films with faults; all of them are told together."""


class WorkshopError(SlipError):
    """A workshop file with faults; all of them are told together."""


class CutterError(SlipError):
    """A cutter profile with faults; all of them are told together."""


class DesignError(CutfilesError):
    """The measures are sound, but no cradle follows from them."""


class FormatError(CutfilesError):
    """A piece that a format, or the cutter's bed, cannot hold."""


class AlignError(CutfilesError):
    """Measured marks that fit no sheet as it should lie."""


class LineError(CutfilesError):
    """A line to a cutter that cannot be opened, takes no more, or breaks."""


class FileError(CutfilesError):
    """A file that cannot be read, is not what it should be, or must not be overwritten."""


class ChangedError(FileError):
    """A file that another run writes, or wrote since it was read: it may well go the next time."""


class DifferenceError(CutfilesError):
    """A file that does not hold what it should; names file, layer, place and size."""


class Defect(CutfilesError):
    """A check of our own failed on our own work: a fault of the program, not of the user."""
