"""Every refusal, in a tree by who can put it right.

CutfilesError            found; needed; remedy
├── ReadingError         a length, weight or angle that cannot be read (who wrote it)
├── SlipError            one or more faults of a slip, all together (who measured)
│   └── FilmsError       the same of a table of films (who keeps the films)
├── CutterError          a cutter profile with faults, all together (who keeps the cutter)
├── DesignError          no cradle follows from a sound slip (who chooses the support)
├── FormatError          a piece too large for a format or the bed (who runs the cutter)
├── AlignError           measured marks that fit no sheet as it should lie (who turned it)
├── LineError            a line to a cutter that is refused, stalls or breaks (who runs the cutter)
├── FileError            a file not to be read or overwritten (who keeps the files)
├── DifferenceError      a file does not hold the pattern it should (who changed the file)
└── Defect               one of our own checks failed on our own work (we)
"""

from typing import NamedTuple


class Fault(NamedTuple):
    """One thing that is wrong, where it stands, and what to do.

    Attributes:
        place: file, row and field, as far as they are known: ``slip A3.toml, left_rise``.
        found: what stands there, with the original text in quotation marks.
        needed: what would be right.
        remedy: what the reader of the message can do.

    """

    place: str
    found: str
    needed: str
    remedy: str

    def __str__(self) -> str:
        """Return the whole message in one line, whatever stands in the text it quotes."""
        said = f"found {self.found}; {self.needed}; {self.remedy}"
        return _printable(f"{self.place}: {said}" if self.place else said)


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
    return f'"{text}"' if len(text) <= _LONGEST else f'"{text[: _LONGEST - 1]}…"'


def reason(error: OSError) -> str:
    """Return why a file cannot be read or written, as messages say it.

    >>> reason(IsADirectoryError(21, "Is a directory"))
    'a folder'
    """
    if isinstance(error, IsADirectoryError):
        return "a folder"
    return (error.strerror or "no such file").lower()


def _printable(text: str) -> str:
    """Return the text with line ends, controls and signs that turn the writing made visible."""
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in text)


class CutfilesError(Exception):
    """A refusal: what was found, what is needed, what to do.

    Attributes:
        fault: the fault, or the first one where there are several.

    """

    def __init__(self, found: str, needed: str, remedy: str, place: str = "") -> None:
        self.fault = Fault(place, found, needed, remedy)
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
        super().__init__(first.found, first.needed, first.remedy, first.place)
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


class DifferenceError(CutfilesError):
    """A file that does not hold what it should; names file, layer, place and size."""


class Defect(CutfilesError):
    """A check of our own failed on our own work: a fault of the program, not of the user."""
