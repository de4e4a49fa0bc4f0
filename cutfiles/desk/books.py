"""Books that are open on the desk: what their slips say now, and what they said before.

A page says which version it goes on from: one that goes on from an older one is refused, for
another window has gone on in the meantime. Nothing is lost on reload, back or undo.
"""

import secrets
from collections.abc import Mapping
from dataclasses import dataclass, field

from cutfiles.bench.blank import blank_slip
from cutfiles.bench.fields import FIELDS
from cutfiles.bench.slip import SLIP_FILE
from cutfiles.errors import ChangedError, FileError, Place
from cutfiles.tables.load import LARGEST, parse_toml

MOST_BOOKS = 60
"""Books open at once."""
MOST_STEPS = 300
"""Steps that can be undone."""
MOST_FIELDS = 200
"""Fields that a slip may bring along, known or not."""
LONGEST = 4000
"""Of one field's text; what a field takes is told at the field."""
_PATHS = frozenset(one.path for one in FIELDS)
Values = Mapping[str, str]


@dataclass(slots=True)
class Book:
    """One book on the desk.

    Attributes:
        name: in addresses.
        steps: what its slip said, step by step; blank fields are left out.
        at: which step counts.
        version: grows whenever something changes.
        last: the field that the last step changed: more signs in it are the same step.
        saved: name of the file it was saved into, and its checksum then.

    """

    name: str
    steps: list[Values] = field(default_factory=lambda: [{}])
    at: int = 0
    version: int = 1
    last: str = ""
    saved: tuple[str, str] | None = None

    @property
    def values(self) -> Values:
        """What the slip says now."""
        return self.steps[self.at]

    @property
    def can(self) -> dict[str, bool]:
        """Whether a step can be undone, or done again."""
        return {"undo": self.at > 0, "redo": self.at < len(self.steps) - 1}

    def require(self, base: str) -> None:
        """Refuse to go on from another version than this one.

        Raises:
            ChangedError: another window has gone on.

        """
        if base != str(self.version):
            raise ChangedError(
                "an older version of this book",
                "it was changed since in another window",
                "look at what it is now, or go on from this page as another book",
            )

    def change(self, values: Values, changed: str, base: str) -> None:
        """Go on to other values; one field typed in is one step.

        Raises:
            ChangedError: another window has gone on.

        """
        self.require(base)
        if values == self.values:
            return
        if changed and changed == self.last and self.at:
            del self.steps[self.at :]
        else:
            del self.steps[self.at + 1 :]
        self.steps.append(values)
        del self.steps[: max(0, len(self.steps) - MOST_STEPS)]
        self.at, self.last = len(self.steps) - 1, changed
        self.version += 1

    def move(self, by: int, base: str) -> None:
        """Undo a step (-1), or do it again (1); where there is none, nothing happens.

        Raises:
            ChangedError: another window has gone on.

        """
        self.require(base)
        if 0 <= self.at + by < len(self.steps):
            self.at, self.last = self.at + by, ""
            self.version += 1


@dataclass(slots=True)
class Books:
    """All books that are open."""

    open: dict[str, Book] = field(default_factory=dict)

    def begin(self, values: Values) -> Book:
        """Return a new book.

        Raises:
            FileError: too many are open.

        """
        if len(self.open) >= MOST_BOOKS:
            raise FileError(
                f"{len(self.open)} books on the desk",
                f"at most {MOST_BOOKS} are open at once",
                "save one and put it away",
            )
        book = Book(secrets.token_urlsafe(6), [values])
        self.open[book.name] = book
        return book

    def find(self, name: str) -> Book:
        """Return a book by its name.

        Raises:
            FileError: there is none: the desk was begun anew, or the book was put away.

        """
        if name not in self.open:
            raise FileError(
                "a book that is not on the desk",
                "it was put away, or the desk was begun anew since",
                "open its slip again",
            )
        return self.open[name]


def values_of_form(form: Mapping[str, object]) -> dict[str, str]:
    """Return what a form says of a slip, blank fields left out."""
    return {
        name.removeprefix("slip."): text.strip()[:LONGEST]
        for name, text in form.items()
        if name.startswith("slip.") and isinstance(text, str) and text.strip()
    }


def values_of_slip(name: str, data: bytes) -> dict[str, str]:
    """Return what a slip file says, each value as it stands there.

    Raises:
        FileError: it is no slip, or no text.

    """
    place = Place(file=f"slip {name[:80]}")
    if len(data) > LARGEST:
        raise _too_much(f"{len(data)} bytes", LARGEST, place)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise FileError(
            f"a byte that is no UTF-8 text (at byte {error.start})",
            "a slip is UTF-8 text",
            'save it again with the encoding "UTF-8"',
            place,
        ) from None
    found: dict[str, str] = {}
    for key, value in parse_toml(text, place, SLIP_FILE).items():
        inner = value.items() if isinstance(value, dict) else ((None, value),)
        for name_inside, one in inner:
            found[key if name_inside is None else f"{key}.{name_inside}"] = _text(one)
    if len(found) > MOST_FIELDS:
        raise _too_much(f"{len(found)} fields", MOST_FIELDS, place)
    return {path: text for path, text in found.items() if text}


def _too_much(found: str, most: int, place: Place) -> FileError:
    return FileError(found, f"a slip has at most {most}", "choose a slip, or take some out", place)


def _text(value: object) -> str:
    try:
        return (str(value).lower() if isinstance(value, bool) else str(value)).strip()[:LONGEST]
    except (ValueError, RecursionError):  # endless digits, lists nested without end
        return "a value without end"


def slip_text(values: Values) -> str:
    """Return a slip file that says the same, every field explained."""
    known = {path: values[path] for path in _PATHS & values.keys()}
    return blank_slip(values={"units": "", **known})
