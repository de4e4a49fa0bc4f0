"""Lists that are open on the desk: their files, and what was answered about them, step by step.

A page says which version it goes on from: one that goes on from an older one is refused, for
another window has gone on in the meantime. Nothing is lost on reload, back or undo.
"""

import secrets
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from cutfiles.desk.limits import LISTS_BYTES, MOST_LISTS, STEPS
from cutfiles.errors import ChangedError, FileError
from cutfiles.lists.headers import ColumnMapping

Told = Mapping[str, Any]
"""How a list is read, as `readings.told_of` gives it."""


@dataclass(frozen=True, slots=True)
class Step:
    """What was answered so far, and how the list is read with it."""

    known: ColumnMapping
    told: Told


@dataclass(slots=True)
class OpenList:
    """One list on the desk.

    Attributes:
        name: in addresses.
        file: name of its file.
        data: its bytes.
        steps: what was answered, step by step.
        at: which step counts.
        version: grows whenever something changes.
        saved: files of the desk's folder it was saved into, and their checksums then.
        to: the folder an exhibit of it was made into, empty before one is.

    """

    name: str
    file: str
    data: bytes
    steps: list[Step]
    at: int = 0
    version: int = 1
    saved: dict[str, str] = field(default_factory=dict)
    to: str = ""

    @property
    def known(self) -> ColumnMapping:
        """What was answered so far."""
        return self.steps[self.at].known

    @property
    def told(self) -> Told:
        """How it is read now."""
        return self.steps[self.at].told

    @property
    def stem(self) -> str:
        """Name of its file without the ending."""
        return self.file.rpartition(".")[0] or self.file

    def require(self, base: str) -> None:
        """Refuse to go on from another version than this one.

        Raises:
            ChangedError: another window has gone on.

        """
        if base != str(self.version):
            raise ChangedError(
                "an older version of this list",
                "it was changed since in another window",
                "go back to the list as it is now, and answer there",
            )

    def change(self, step: Step, base: str) -> None:
        """Go on to another step.

        Raises:
            ChangedError: another window has gone on.

        """
        self.require(base)
        del self.steps[self.at + 1 :]
        self.steps.append(step)
        del self.steps[: max(0, len(self.steps) - STEPS)]
        self.at = len(self.steps) - 1
        self.version += 1

    def move(self, by: int, base: str) -> None:
        """Take a step back (-1), or again (1); where there is none, nothing happens.

        Raises:
            ChangedError: another window has gone on.

        """
        self.require(base)
        if 0 <= self.at + by < len(self.steps):
            self.at += by
            self.version += 1


@dataclass(slots=True)
class Lists:
    """All lists that are open, the one looked at last at the end."""

    open: dict[str, OpenList] = field(default_factory=dict)

    def begin(self, file: str, data: bytes, step: Step) -> OpenList:
        """Return a new list; those left alone longest make room for it."""
        one = OpenList(secrets.token_urlsafe(6), file, data, [step])
        self.open[one.name] = one
        while len(self.open) > 1 and self._is_full():
            del self.open[next(iter(self.open))]
        return one

    def _is_full(self) -> bool:
        size = sum(len(one.data) for one in self.open.values())
        return len(self.open) > MOST_LISTS or size > LISTS_BYTES

    def find(self, name: str) -> OpenList:
        """Return a list by its name.

        Raises:
            FileError: it is no longer here.

        """
        if name not in self.open:
            raise FileError(
                "a list that is not on the desk",
                "it made room for others, or the desk was begun anew since",
                "open its file again; what was saved of it lies in the desk's folder",
            )
        one = self.open[name] = self.open.pop(name)
        return one
