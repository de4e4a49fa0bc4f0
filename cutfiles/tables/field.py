"""One field of a table that people write, and the table itself, as declared."""

from typing import Literal, NamedTuple

KindName = Literal[
    "text",
    "loose",
    "exact",
    "label",
    "length",
    "weight",
    "angle",
    "number",
    "whole",
    "choice",
    "word",
    "size",
]
"""A "loose" text may be written as a number; an "exact" one too, and keeps every sign and space."""
ANY = "*"
"""The name of a field that stands for any name: a table of free keys."""


class Field(NamedTuple):
    """One field of a table.

    Attributes:
        name: as in the file; the command option of a slip's is the same with hyphens.
        kind: how its value is read.
        help: one line that tells what to measure or choose; of a "word", what it must be.
        example: a right value, as written in a slip.
        least: smallest value allowed, mm, g or degrees.
        most: largest value allowed; of a text, how many characters.
        choices: the words allowed, for the kind "choice".
        table: the table it stands in, empty for the top.
        usual: what counts where nothing is written, as one would write it.
        needed: whether it must be there.
        many: whether its value is a list, each entry read by itself.
        pattern: what a "word" looks like, a regular expression.
        instead: one more word allowed, for which nothing is read.
        hint: one more thing to say to who corrects it.

    """

    name: str
    kind: KindName
    help: str
    example: str = ""
    least: float = 0.0
    most: float = 0.0
    choices: tuple[str, ...] = ()
    table: str = ""
    usual: str = ""
    needed: bool = False
    many: bool = False
    pattern: str = ""
    instead: str = ""
    hint: str = ""

    @property
    def path(self) -> str:
        """Where it stands: ``height`` or ``support.gauge``."""
        return f"{self.table}.{self.name}" if self.table else self.name


class Table(NamedTuple):
    """A file or a table of one, as declared.

    Attributes:
        kind: what it is, for messages: "a slip".
        fields: its fields, those of tables in it too.
        lists: arrays of tables in it, by name.
        correct: what to do about a value out of its range.
        see: what to do about an unknown field that is like no other.
        most: how many of it may stand in a list.
        noun: what its remedies call it where it says itself what its bare numbers count in.

    """

    kind: str
    fields: tuple[Field, ...]
    lists: tuple[tuple[str, "Table"], ...] = ()
    correct: str = "measure again and correct it"
    see: str = "correct or remove it"
    most: int = 1_000
    noun: str = ""
