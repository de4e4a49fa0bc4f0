"""Books that are open on the desk: what their slips say now, and what they said before."""

from collections.abc import Mapping
from dataclasses import field
from typing import Any, ClassVar

from cutfiles.bench.blank import blank_slip
from cutfiles.bench.fields import FIELDS
from cutfiles.bench.slip import SLIP_FILE
from cutfiles.dataclass import dataclass
from cutfiles.desk.sittings import Sittings, Stepped
from cutfiles.errors import FileError, Place
from cutfiles.tables.load import parse_toml, text_of

MOST_BOOKS = 60
"""Books open at once."""
MOST_FIELDS = 200
"""Fields that a slip may bring along, known or not."""
LONGEST = 4000
"""Of one field's text; what a field takes is told at the field."""
_PATHS = frozenset(one.path for one in FIELDS)
Values = Mapping[str, str]
"""What a slip says, by field path; blank fields are left out."""


@dataclass(slots=True, kw_only=True)
class Book(Stepped[Values]):
    """One book on the desk; a step is what its slip said, one field typed in is one step.

    Attributes:
        kept: what lies on a disk already: the slip that was opened, or as it was saved.
        saved: name of the file it was saved into, and its checksum then.
        taking: what was chosen for its files, by the names of the form's fields.
        made: what was made of it last, and where (`put_files`, and folder); None for nothing yet.
        compared: the slip it was held against last: name of its file, and what it says.

    """

    older: ClassVar[tuple[str, str, str]] = (
        "an older version of this book",
        "it was changed since in another window",
        "look at what it is now, or go on from this page as another book",
    )
    most: ClassVar[int] = 300
    kept: Values = field(default_factory=dict)
    saved: tuple[str, str] | None = None
    taking: Values = field(default_factory=dict)
    made: dict[str, Any] | None = None
    compared: tuple[str, Values] | None = None

    @property
    def values(self) -> Values:
        """What the slip says now."""
        return self.now

    @property
    def is_kept(self) -> bool:
        """Whether what it says now lies on a disk."""
        return self.values == self.kept

    def change(self, values: Values, changed: str, base: str) -> None:
        """Go on to other values, told the field that was typed in; the same ones are no step.

        Raises:
            ChangedError: another window has gone on.

        """
        self.require(base)
        if values != self.now:
            self.go_on(values, base, changed)


def no_books() -> Sittings[Book]:
    """Return the books of a desk that is begun."""
    return Sittings(
        kind="book",
        most=MOST_BOOKS,
        room="save one and put it away",
        again="go on with it from the page of books, or open its slip again",
    )


def values_of_form(form: Mapping[str, object], before: str = "slip.") -> dict[str, str]:
    """Return what a form says of a slip, or of what is to be made; blank fields are left out."""
    return {
        name.removeprefix(before): text.strip()[:LONGEST]
        for name, text in form.items()
        if name.startswith(before) and isinstance(text, str) and text.strip()
    }


def values_of_slip(name: str, data: bytes) -> dict[str, str]:
    """Return what a slip file says, each value as it stands there.

    Raises:
        FileError: it is no slip, or no text.

    """
    place = Place(file=f"slip {name[:80]}")
    text = text_of(data, place, SLIP_FILE)
    found: dict[str, str] = {}
    for key, value in parse_toml(text, place, SLIP_FILE).items():
        inner = value.items() if isinstance(value, dict) else ((None, value),)
        for name_inside, one in inner:
            found[key if name_inside is None else f"{key}.{name_inside}"] = _text(one)
    if len(found) > MOST_FIELDS:
        raise FileError(
            f"{len(found)} fields",
            f"a slip has at most {MOST_FIELDS}",
            "choose a slip, or take some out",
            place,
        )
    return {path: text for path, text in found.items() if text}


def _text(value: object) -> str:
    try:
        return (str(value).lower() if isinstance(value, bool) else str(value)).strip()[:LONGEST]
    except (ValueError, RecursionError):  # endless digits, lists nested without end
        return "a value without end"


def slip_text(values: Values) -> str:
    """Return a slip file that says the same, every field explained."""
    known = {path: values[path] for path in _PATHS & values.keys()}
    return blank_slip(values={"units": "", **known})
