"""Printed pages made in any process: what is drawn, and the file it goes to."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import Executor
from itertools import islice
from typing import Any, NamedTuple

from cutfiles.exhibit.workers import in_order
from cutfiles.report.printed.joined import joined


class Job(NamedTuple):
    """A PDF to be drawn: a function of a module, and what it is given, told when its turn comes."""

    draw: Callable[..., bytes]
    given: Callable[[], tuple[Any, ...]]


class Print(NamedTuple):
    """A file of one PDF, or of several joined under a title."""

    jobs: Sequence[Job]
    title: str = ""


def drawn(ready: tuple[Callable[..., bytes], tuple[Any, ...]]) -> bytes:
    """Return the PDF of a job: by what it is drawn, and what that is given."""
    draw, given = ready
    return draw(*given)


def printed(prints: Mapping[str, Print], pool: Executor | None) -> dict[str, Iterator[bytes]]:
    """Return the contents of files by their names, in parts: drawn while they are read.

    They must be read in the order of their names: what comes later is drawn meanwhile. What a job
    is given is asked for in that order too, few jobs ahead.
    """
    ready = ((job.draw, job.given()) for one in prints.values() for job in one.jobs)
    pages = in_order(pool, drawn, ready)
    return {name: _content(pages, one) for name, one in prints.items()}


def _content(pages: Iterator[bytes], one: Print) -> Iterator[bytes]:
    if len(one.jobs) == 1:
        yield next(pages)
    else:
        yield from joined(islice(pages, len(one.jobs)), one.title)
