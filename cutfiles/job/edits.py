"""An edited drawing held against its slip; its edits kept beside the slip, and found there."""

import os
from collections.abc import Collection, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from cutfiles.bench.slip import Slip
from cutfiles.dataclass import dataclass
from cutfiles.disk.files import update, write_new
from cutfiles.disk.names import safe_name
from cutfiles.disk.system import sum_of
from cutfiles.draft import Draft
from cutfiles.edits.edit import SUFFIX, Edit
from cutfiles.edits.find import Found, edits_in
from cutfiles.edits.keep import Kept, edits_text, kept_of, read_edits, write_edits
from cutfiles.edits.line import Line, Opened
from cutfiles.edits.opening import open_drawing
from cutfiles.edits.replay import placed_anew, replayed, same_edits
from cutfiles.edits.roles import role_named
from cutfiles.edits.sealed import holds_all, sealed
from cutfiles.edits.told import numbered
from cutfiles.errors import DifferenceError, FileError
from cutfiles.job.order import Order, ordered
from cutfiles.job.recheck import drafted_as, naming
from cutfiles.pattern.pattern import Role


@dataclass(frozen=True, slots=True)
class EditedFile:
    """An edited drawing, read.

    Attributes:
        name: of the file.
        draft: the support without edits.
        found: what was done to it.
        gone: edits that were kept before and are not in the drawing.
        sha256: checksum of the file; empty where some of its edits are left out.

    """

    name: str
    draft: Draft
    found: Found
    gone: tuple[Edit, ...] = ()
    sha256: str = ""

    @property
    def settled(self) -> bool:
        """Whether nothing is left to decide: all is harmless, or was accepted."""
        return self.found.state == "harmless"

    @property
    def kept(self) -> Kept:
        """The edits to be kept, tied to the pattern; they know the drawing they hold all of."""
        kept = kept_of(self.draft.slip.book.number, self.found.edits, self.draft.pattern)
        return sealed(kept, self.sha256) if self.sha256 and holds_all(self.found) else kept


def edited(
    data: bytes,
    name: str,
    slip: Slip,
    order: Order | None = None,
    roles: Mapping[str, Role] | None = None,
    **changes: Any,
) -> EditedFile:
    """Return what a person did to a drawing.

    Args:
        data: bytes of the file, as any program saved it.
        name: of the file, for messages.
        slip: it was made from.
        order: as when it was made; its kept edits are those accepted before.
        roles: what somebody said that the lines of a layer are, where no name of ours tells it.
        changes: what of the order is otherwise, by its names.

    Raises:
        FileError: it cannot be read, or is no drawing of this support.
        DesignError: no cradle follows from the slip.

    """
    order = ordered(order, changes)
    kept = order.edits.get(slip.book.number)
    options, said = order.drawn, roles or {}
    with naming(name):
        opened = _with_roles(open_drawing(data), said, options.layers)
        draft = drafted_as(slip, opened.facts, replace(order, edits={}))
        found = edits_in(
            opened,
            draft,
            options.layers,
            options.colours,
            lambda times: _with_roles(open_drawing(data, times), said, options.layers),
        )
    return as_kept(EditedFile(name, draft, found, sha256=sum_of(data)), kept)


def as_kept(file: EditedFile, kept: Kept | None) -> EditedFile:
    """Return an edited drawing with those of its edits marked that are kept, and what is gone."""
    if kept is None or not kept.edits:
        return file
    before = placed_anew(file.draft, kept)
    found = replace(file.found, edits=same_edits(file.found.edits, before))
    there = same_edits(before, found.edits)
    gone = tuple(one for one in there if not one.accepted)
    return replace(file, found=found, gone=gone)


def _with_roles(opened: Opened, said: Mapping[str, Role], layers: Mapping[str, str]) -> Opened:
    """Return a drawing whose lines carry the role that somebody said of their layer."""

    def named(line: Line) -> Line:
        role = said.get(line.layer)
        if role is None or any(role_named(name, layers) for name in line.names):
            return line
        return replace(line, names=(role.value, *line.names))

    return replace(opened, lines=tuple(named(line) for line in opened.lines)) if said else opened


def some_of(file: EditedFile, numbers: Collection[int]) -> EditedFile:
    """Return a drawing with some of its edits alone, by their numbers, judged without the others.

    Raises:
        DesignError: without the others one of them is not safe any more.

    """
    edits = tuple(edit for number, edit in numbered(file.found.edits) if number in numbers)
    whole = len(edits) == len(file.found.edits)
    found = replace(file.found, edits=edits)
    some = replace(file, found=found, sha256=file.sha256 if whole else "")
    if all(edit.state != "breaks the support" for edit in edits):
        replayed(file.draft, some.kept)
    return some


def edits_path(folder: str | os.PathLike[str], number: str) -> Path:
    """Return where the edits of a support are kept: beside its slip."""
    return Path(folder) / (safe_name(number) + SUFFIX)


def kept_beside(folder: str | os.PathLike[str], *numbers: str) -> dict[str, Kept]:
    """Return the edits that are kept in a folder, by the numbers of their supports.

    Raises:
        FileError: a file cannot be read, or is another support's.
        SlipError: it has faults.

    """
    paths = {number: edits_path(folder, number) for number in numbers}
    return {
        number: _kept_in(path, number) for number, path in paths.items() if os.path.lexists(path)
    }


def _kept_in(path: Path, number: str) -> Kept:
    kept = read_edits(path, path.name)
    if kept.number != number:
        raise FileError(
            f'edits of the support "{kept.number}"',
            f"they must be those of {number}",
            "move the file away, or correct its number",
            path.name,
        )
    return kept


def keep(file: EditedFile, folder: str | os.PathLike[str]) -> Path | None:
    """Write the edits of a drawing beside its slip, in place of those kept before.

    Returns the file; None, and nothing written, where there is nothing to keep: no edit changes
    what is made, none was kept before, and there is no drawing over which `make` may write.

    Raises:
        DifferenceError: an edit breaks the support.
        FileError: the file cannot be written.

    """
    breaks = [edit for edit in file.found.edits if edit.state == "breaks the support"]
    if breaks:
        raise DifferenceError(
            "; ".join(f"{edit.kind} ({edit.why})" for edit in breaks[:5]),
            "an edit that breaks the support is never accepted",
            "put it right in the drawing, then accept it",
            file.name,
        )
    path = edits_path(folder, file.draft.slip.book.number)
    kept = file.kept
    data = write_edits(kept).encode()
    if not os.path.lexists(path):
        if not kept.edits and not (kept.seal and file.found.edits):
            return None
        write_new(path, data, "a file of edits")
    else:
        update(path, data, sum_of(edits_text(path, path.name).encode()))
    return path
