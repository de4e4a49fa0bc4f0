"""What lives as long as a desk runs: its folder, its processes, the pages that are open."""

import asyncio
import os
from dataclasses import field
from pathlib import Path

from starlette.requests import Request

from cutfiles.dataclass import dataclass
from cutfiles.desk.books import Book, no_books
from cutfiles.desk.edited import Drawing
from cutfiles.desk.limits import GONE_SECONDS, SILENT_SECONDS
from cutfiles.desk.lists import Lists
from cutfiles.desk.sheets import Sheet
from cutfiles.desk.sittings import Sittings
from cutfiles.desk.unsaved import Offered, Unsaved, book_data
from cutfiles.desk.works import Job, Works
from cutfiles.disk.names import is_plain, safe_name
from cutfiles.errors import FileError, shown
from cutfiles.exhibit.plan import ExhibitPlan
from cutfiles.job.order import Order

_LONGEST_NAME = 255
"""Bytes of a name, for any file system."""


@dataclass(slots=True)
class Desk:
    """One run of the desk.

    Attributes:
        folder: the only one that anything is written into, or read from by name; only what the
            workshop's own plan names is kept up where it lies.
        plan: how things and exhibits are made in this workshop, where a page says nothing else.
        quick: what answers while somebody types.
        works: what takes longer: files, lists, drawings.
        lists: those that are open.
        keeping: held while books are kept on the disk.
        marking: held while an exhibit is marked: one window after the other.
        books: those that are open.
        unsaved: those that are not saved, on the disk.
        drawings: edited ones that are open.
        sheets: those at the machine.
        jobs: long works by the name their pages know them by.
        pages: pages that are open, and when they were last heard of.
        emptied: when the last page was closed; None while one is open, or none ever was.

    """

    folder: Path
    plan: ExhibitPlan = field(default_factory=lambda: ExhibitPlan(name=""))
    quick: Works = field(default_factory=Works)
    works: Works = field(default_factory=lambda: Works(2))
    lists: Lists = field(default_factory=Lists)
    marking: asyncio.Lock = field(default_factory=asyncio.Lock)
    keeping: asyncio.Lock = field(default_factory=asyncio.Lock)
    books: Sittings[Book] = field(default_factory=no_books)
    unsaved: Unsaved = field(init=False)
    drawings: Sittings[Drawing] = field(default_factory=lambda: Sittings(kind="drawing", most=12))
    sheets: Sittings[Sheet] = field(default_factory=lambda: Sittings(kind="sheet", most=24))
    jobs: dict[str, Job] = field(default_factory=dict)
    pages: dict[str, float] = field(default_factory=dict)
    emptied: float | None = None

    def __post_init__(self) -> None:
        """Look for books that are not saved in its folder."""
        self.unsaved = Unsaved(self.folder)

    @property
    def order(self) -> Order:
        """How things are made in this workshop, where a page does not say otherwise."""
        return self.plan.order

    # -- books that are not saved --------------------------------------------------------------

    async def keep(self) -> None:
        """Keep the books that are not saved on the disk, where they changed since."""
        async with self.keeping:
            books = {one.name: book_data(one) for one in self.books.open.values()}
            await asyncio.to_thread(self.unsaved.keep, books)

    async def offered(self) -> list[Offered]:
        """Return books that were open, here or before, and were not saved."""
        return await asyncio.to_thread(self.unsaved.offered, {*self.books.open})

    # -- pages that are open -------------------------------------------------------------------

    def heard(self, page: str) -> None:
        """Note that a page is open."""
        self.pages[page] = _now()
        self.emptied = None

    def closed(self, page: str) -> None:
        """Note that a page was closed."""
        if self.pages.pop(page, None) is not None and not self.pages:
            self.emptied = _now()

    @property
    def over(self) -> bool:
        """Whether its last page was closed long enough ago, and nothing is under way."""
        now = _now()
        for page, heard in list(self.pages.items()):
            if now - heard > SILENT_SECONDS:
                self.closed(page)
        running = any(job.state == "running" for job in self.jobs.values())
        busy = running or not (self.quick.idle and self.works.idle)
        return self.emptied is not None and not busy and now - self.emptied > GONE_SECONDS

    def end(self) -> None:
        """End all that is under way."""
        for job in self.jobs.values():
            if job.state == "running":
                job.stop()
        self.quick.end()
        self.works.end()

    # -- the folder ------------------------------------------------------------------------------

    def within(self, name: str) -> Path:
        """Return the path of a file or folder of the desk's folder, by its plain name.

        Raises:
            FileError: the name leads elsewhere, by itself or by a link, or no file system takes it.

        """
        if not is_plain(name) or safe_name(name) != name or len(name.encode()) > _LONGEST_NAME:
            raise FileError(
                shown(name),
                "a name in the desk's folder has no / \\ : and no dots at its ends",
                "use letters, digits, spaces and hyphens, not too many",
            )
        path = self.folder / name
        if Path(os.path.realpath(path)).parent != self.folder:
            raise FileError(
                f"{shown(name)}, a link",
                "nothing is read or written by a link that leads out of the desk's folder",
                "use another name, or remove the link",
            )
        return path


def _now() -> float:
    return asyncio.get_running_loop().time()


def desk_of(request: Request) -> Desk:
    """Return the desk that a request is of."""
    found: Desk = request.app.state.desk
    return found
