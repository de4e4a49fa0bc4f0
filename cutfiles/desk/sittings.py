"""What is open on the desk beside books: each under a name of its own, with a version.

A page says which version it goes on from: one that goes on from an older one is refused, for
another window has gone on in the meantime.
"""

import secrets
from dataclasses import dataclass, field
from typing import Generic, TypeVar

from cutfiles.errors import ChangedError, FileError


@dataclass(slots=True, kw_only=True)
class Sitting:
    """One thing that is open.

    Attributes:
        name: in addresses.
        version: grows whenever something changes.

    """

    name: str = field(default_factory=lambda: secrets.token_urlsafe(6))
    version: int = 1

    def require(self, base: object) -> None:
        """Refuse to go on from another version than this one.

        Raises:
            ChangedError: another window has gone on.

        """
        if base != str(self.version):
            raise ChangedError(
                "a page that was older",
                "another window, or a step back, has gone on since",
                "this is how it stands now: look at it, then go on from here",
            )


S = TypeVar("S", bound=Sitting)


@dataclass(slots=True)
class Sittings(Generic[S]):
    """All of one kind that are open.

    Attributes:
        kind: what they are, in a word.
        most: how many are open at once.
        open: them, by their names.

    """

    kind: str
    most: int
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
                "put one away",
            )
        self.open[one.name] = one
        return one

    def find(self, name: str) -> S:
        """Return one by its name.

        Raises:
            FileError: there is none: the desk was begun anew, or it was put away.

        """
        if name not in self.open:
            raise FileError(
                f"a {self.kind} that is not on the desk",
                "it was put away, or the desk was begun anew since",
                "open it again; what was written into the folder is there",
            )
        return self.open[name]
