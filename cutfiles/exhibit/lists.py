"""What is written of an exhibit as a whole: tables, page, prints; those that are the same stay."""

from collections.abc import Iterator, Mapping
from concurrent.futures import Executor
from pathlib import Path
from typing import NamedTuple

from cutfiles.disk.sets import Content
from cutfiles.exhibit.changes import CHANGES_FILE, changes_text
from cutfiles.exhibit.jobs import printed
from cutfiles.exhibit.packs import MOUNTMAKER, mountmaker_table
from cutfiles.exhibit.page import PAGE, exhibit_page
from cutfiles.exhibit.plan import ExhibitPlan
from cutfiles.exhibit.prints import exhibit_prints
from cutfiles.exhibit.results import ExhibitResult
from cutfiles.exhibit.stages import STAGES_FILE
from cutfiles.exhibit.state import LISTS, Known
from cutfiles.exhibit.tables import exhibit_tables
from cutfiles.exhibit.work import Done


class Lists(NamedTuple):
    """What is written of an exhibit as a whole.

    Attributes:
        files: to be written, by their names, to be read in this order.
        keys: of all prints, checksums of all that they depend on.
        same: prints that are on disk as they would be drawn again.

    """

    files: dict[str, Content]
    keys: dict[str, str]
    same: dict[str, Done]

    def done(self, sums: Mapping[str, str]) -> Iterator[Done]:
        """Yield what there is, by the checksums of the files written: each print alone."""
        others = {name: sums[name] for name in self.files if name not in self.keys}
        yield Done(name=LISTS, key="", files=others)
        for name, key in self.keys.items():
            yield self.same.get(name) or Done(name=name, key=key, files={name: sums[name]})


def lists_of(
    done: ExhibitResult,
    plan: ExhibitPlan,
    known: Known,
    to: Path,
    pool: Executor | None = None,
    *,
    marked: bool = False,
) -> Lists:
    """Return what is written of an exhibit as a whole.

    Args:
        done: the exhibit.
        plan: what is wanted of it.
        known: what earlier runs made.
        to: the exhibit's folder.
        pool: to draw in.
        marked: whether hands have marked stages: the page leads to them.

    """
    files = exhibit_tables(done)
    if done.report:
        files[CHANGES_FILE] = changes_text(done.name, done.report)
    keys, same = dict[str, str](), dict[str, Done]()
    if plan.order.paper is not None:
        prints = exhibit_prints(done, to / "supports", plan.order.paper)
        keys = {name: one.key(name) for name, one in prints.items()}
        for name, key in keys.items():
            before = known.unchanged(LISTS, name, key, to)
            if before is not None and [*before.files] == [name]:
                same[name] = before
        files |= printed({name: one for name, one in prints.items() if name not in same}, pool)
        if left := mountmaker_table(done):
            files[f"{MOUNTMAKER}.csv"] = left
    beside = {*files, *same, *([STAGES_FILE] if marked else ())}
    files[PAGE] = exhibit_page(done, beside)
    return Lists(files, keys, same)
