"""What is open on the desk: each under a name of its own, with a version, some with their steps.

A page says which version it goes on from: one that goes on from an older one is refused, for
another window has gone on in the meantime. Nothing is lost on reload, back or undo.
"""

import secrets
from dataclasses import field
from typing import ClassVar, Generic, TypeVar

from cutfiles.dataclass import dataclass
from cutfiles.errors import ChangedError, FileError


@dataclass(slots=True, kw_only=True)
class Sitting:
    """One thing that is open.

    Attributes:
        name: in addresses.
        version: grows whenever something changes.
        older: what is said to a page that goes on from another version: found, needed, remedy.

    """

    older: ClassVar[tuple[str, str, str]] = (
        "a page that was older",
        "another window, or a step back, has gone on since",
        "this is how it stands now: look at it, then go on from here",
    )
    name: str = field(default_factory=lambda: secrets.token_urlsafe(6))
    version: int = 1

    def require(self, base: object) -> None:
        """Refuse to go on from another version than this one.

        Raises:
            ChangedError: another window has gone on.

        """
        if base != str(self.version):
            raise ChangedError(*self.older)


T = TypeVar("T")


@dataclass(slots=True, kw_only=True)
class Stepped(Sitting, Generic[T]):
    """One thing that is open, whose steps can be taken back, and again.

    Attributes:
        most: steps kept.
        steps: how it stood, step by step.
        at: which step counts.
        last: what the last step changed: more of it is the same step; empty for nothing named.

    """

    most: ClassVar[int] = 100
    steps: list[T]
    at: int = 0
    last: str = ""

    @property
    def now(self) -> T:
        """The step that counts."""
        return self.steps[self.at]

    @property
    def can(self) -> dict[str, bool]:
        """Whether a step can be undone, or done again."""
        return {"undo": self.at > 0, "redo": self.at < len(self.steps) - 1}

    def go_on(self, step: T, base: str, changed: str = "") -> None:
        """Go on to another step; one that changes what the last one changed takes its place.

        Raises:
            ChangedError: another window has gone on.

        """
        self.require(base)
        same = bool(changed) and changed == self.last and self.at > 0
        del self.steps[self.at if same else self.at + 1 :]
        self.steps.append(step)
        del self.steps[: max(0, len(self.steps) - self.most)]
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


S = TypeVar("S", bound=Sitting)


@dataclass(slots=True, kw_only=True)
class Sittings(Generic[S]):
    """All of one kind that are open.

    Attributes:
        kind: what they are, in a word.
        most: how many are open at once.
        room: how room is made for one more.
        gone: why one may no longer be there.
        again: how one is opened again.
        open: them, by their names.

    """

    kind: str
    most: int
    room: str = "put one away"
    gone: str = "it was put away"
    again: str = "open it again; what was written into the folder is there"
    open: dict[str, S] = field(default_factory=dict)

    def add(self, one: S) -> S:
        """Put one on the desk.

        Raises:
            FileError: too many are open.

        """
        if len(self.open) >= self.most:
            raise FileError(
                f"{len(self.open)} {self.kind}s on the desk",
                f"at most {self.most} are open at once",
                self.room,
            )
        self.open[one.name] = one
        return one

    def find(self, name: str) -> S:
        """Return one by its name.

        Raises:
            FileError: it is no longer here.

        """
        if name not in self.open:
            raise FileError(
                f"a {self.kind} that is not on the desk",
                f"{self.gone}, or the desk was begun anew since",
                self.again,
            )
        return self.open[name]
