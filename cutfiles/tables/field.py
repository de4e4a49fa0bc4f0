"""One field of a table that people write: how it is called, read and bounded."""

from typing import Literal, NamedTuple

KindName = Literal["text", "label", "length", "weight", "angle", "number", "choice"]


class Field(NamedTuple):
    """One field of a slip.

    Attributes:
        name: as in the slip; the command option is the same with hyphens.
        kind: how its value is read.
        help: one line that tells what to measure or choose.
        example: a right value, as written in a slip.
        least: smallest value allowed, mm, g or degrees.
        most: largest value allowed.
        choices: the words allowed, for the kind "choice".
        support: whether it stands under [support].

    """

    name: str
    kind: KindName
    help: str
    example: str = ""
    least: float = 0.0
    most: float = 0.0
    choices: tuple[str, ...] = ()
    support: bool = False

    @property
    def path(self) -> str:
        """Where it stands in the slip: ``height`` or ``support.gauge``."""
        return f"support.{self.name}" if self.support else self.name
