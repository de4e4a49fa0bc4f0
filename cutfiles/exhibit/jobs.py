"""Printed pages made in any process: what is drawn, and the file it goes to."""

import hashlib
from collections.abc import Callable, Iterable, Iterator, Mapping
from concurrent.futures import Executor
from itertools import chain, groupby
from operator import itemgetter
from typing import Any, NamedTuple

from cutfiles.exhibit.workers import in_order
from cutfiles.report.printed.joined import joined
from cutfiles.version import VERSION

Given = tuple[Any, ...]
"""What the function that draws a part is given."""
Part = tuple[str, bytes]
"""The name of a file, and a part of it."""


class Print(NamedTuple):
    """A file of one PDF, or of several parts joined under a title.

    Attributes:
        draw: a function of a module, which draws a part.
        given: tells what each part is given, one after another; the same each time it is asked.
        title: of the parts together.
        bare: a part that is the only one is the file as it was drawn.

    """

    draw: Callable[..., bytes]
    given: Callable[[], Iterable[Given]]
    title: str = ""
    bare: bool = True

    def key(self, name: str) -> str:
        """Return a checksum of all that the file of this name depends on."""
        told = hashlib.sha256(repr((VERSION, name, self.title)).encode())
        for given in self.given():
            told.update(repr(given).encode())
        return told.hexdigest()


def drawn(task: tuple[str, Callable[..., bytes], Given]) -> Part:
    """Return a part of a file: by its name, by what it is drawn, and what that is given."""
    name, draw, given = task
    return name, draw(*given)


def printed(prints: Mapping[str, Print], pool: Executor | None) -> dict[str, Iterator[bytes]]:
    """Return the contents of files by their names, in parts: drawn while they are read.

    They must be read in the order of their names: what comes later is drawn meanwhile. What a part
    is given is asked for in that order too, few parts ahead. Each file has one part or more.
    """
    tasks = ((name, one.draw, given) for name, one in prints.items() for given in one.given())
    files = groupby(in_order(pool, drawn, tasks), key=itemgetter(0))
    return {name: _content(files, one) for name, one in prints.items()}


def _content(files: Iterator[tuple[str, Iterator[Part]]], one: Print) -> Iterator[bytes]:
    _, own = next(files)
    parts = (part for _, part in own)
    first = next(parts)
    second = next(parts, None) if one.bare else b""
    if second is None:
        yield first
    else:
        yield from joined(filter(None, chain((first, second), parts)), one.title)
