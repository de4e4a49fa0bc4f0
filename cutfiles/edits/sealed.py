"""Whether kept edits hold all of a drawing, so that what is made from them may take its place.

The seal is a checksum of the drawing's bytes and of the edits as text: a drawing that was changed
again is not known by it any more, nor is any drawing once an edit was taken back.
"""

from dataclasses import replace

from cutfiles.disk.system import sum_of
from cutfiles.edits.edit import Edit, Kind
from cutfiles.edits.find import Found
from cutfiles.edits.keep import Kept, write_edits

_AS_DESIGNED: frozenset[Kind] = frozenset(
    {
        "whole",
        "restyled",
        "layer renamed",
        "drawn double",
        "joined",
        "marks left out",
        "guides left out",
    }
)
"""What is made as designed whatever was done, without anything that somebody drew being lost."""


def holds_all(found: Found) -> bool:
    """Whether the edits of a drawing, all of them accepted, hold whatever somebody drew in it."""
    return not found.aside and all(_is_held(edit) for edit in found.edits)


def _is_held(edit: Edit) -> bool:
    if edit.kind == "statements lost":
        return edit.state == "harmless"  # another support's number is to be looked at
    return bool(edit.changes) or edit.kind in _AS_DESIGNED


def sealed(kept: Kept, digest: str) -> Kept:
    """Return edits that know the drawing of this checksum as the one whose all they hold."""
    return replace(kept, seal=_seal(kept, digest))


def is_of(kept: Kept, digest: str) -> bool:
    """Whether the drawing of this checksum was accepted whole, and its edits are kept as then."""
    return kept.seal == _seal(kept, digest)


def _seal(kept: Kept, digest: str) -> str:
    return sum_of(f"{digest}\n{write_edits(replace(kept, seal=''))}".encode())
