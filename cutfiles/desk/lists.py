"""Lists that are open on the desk: their files, and what was answered about them, step by step."""

from collections.abc import Mapping
from dataclasses import field
from typing import Any, ClassVar

from cutfiles.dataclass import dataclass
from cutfiles.desk.limits import LISTS_BYTES, MOST_LISTS, STEPS
from cutfiles.desk.sittings import Sittings, Stepped
from cutfiles.lists.headers import ColumnMapping

Told = Mapping[str, Any]
"""How a list is read, as `readings.told_of` gives it."""


@dataclass(frozen=True, slots=True)
class Step:
    """What was answered so far, and how the list is read with it."""

    known: ColumnMapping
    told: Told


@dataclass(slots=True, kw_only=True)
class OpenList(Stepped[Step]):
    """One list on the desk.

    Attributes:
        file: name of its file.
        data: its bytes.
        saved: files of the desk's folder it was saved into, and their checksums then.
        round: names of the files that were put into a folder last to be taken round the books.
        to: the folder an exhibit of it was made into, empty before one is.

    """

    older: ClassVar[tuple[str, str, str]] = (
        "an older version of this list",
        "it was changed since in another window",
        "go back to the list as it is now, and answer there",
    )
    most: ClassVar[int] = STEPS
    file: str
    data: bytes
    saved: dict[str, str] = field(default_factory=dict)
    round: list[str] = field(default_factory=list)
    to: str = ""

    @property
    def known(self) -> ColumnMapping:
        """What was answered so far."""
        return self.now.known

    @property
    def told(self) -> Told:
        """How it is read now."""
        return self.now.told

    @property
    def stem(self) -> str:
        """Name of its file without the ending."""
        return self.file.rpartition(".")[0] or self.file


@dataclass(slots=True, kw_only=True)
class Lists(Sittings[OpenList]):
    """All lists that are open, the one looked at last at the end; the first makes room."""

    kind: str = "list"
    most: int = MOST_LISTS
    gone: str = "it made room for others"
    again: str = "open its file again; what was saved of it lies in the desk's folder"

    def add(self, one: OpenList) -> OpenList:
        """Put one on the desk; those left alone longest make room for it."""
        self.open[one.name] = one
        while len(self.open) > 1 and self._is_full():
            del self.open[next(iter(self.open))]
        return one

    def _is_full(self) -> bool:
        size = sum(len(one.data) for one in self.open.values())
        return len(self.open) > self.most or size > LISTS_BYTES

    def find(self, name: str) -> OpenList:
        """Return a list by its name, from now on the one looked at last.

        Raises:
            FileError: it is no longer here.

        """
        one = Sittings.find(self, name)
        self.open[name] = self.open.pop(name)
        return one
