"""What comes out of the chain: a draft of the support, its files, and what they are called."""

import hashlib
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from cutfiles.bench.film import Machine
from cutfiles.dataclass import dataclass
from cutfiles.disk.names import safe_name
from cutfiles.draft import Draft
from cutfiles.findings import Finding
from cutfiles.machine.passes import CutPlan

if TYPE_CHECKING:
    from cutfiles.folding.shape import Measure


@dataclass(frozen=True, slots=True)
class File:
    """One file, ready to be delivered.

    Attributes:
        name: of the file, without a folder.
        format: key of the table of formats; ``standing``, ``flat``, ``folded`` for a picture; key
            of the table of cards for a printed card.
        data: its bytes.
        verified: True for a cut file that was read back and compared; None for a picture or sheet.

    """

    name: str
    format: str
    data: bytes
    verified: bool | None

    @property
    def sha256(self) -> str:
        """Checksum of its bytes."""
        return hashlib.sha256(self.data).hexdigest()

    @property
    def entry(self) -> dict[str, Any]:
        """What a record tells of it."""
        return {
            "path": self.name,
            "format": self.format,
            "sha256": self.sha256,
            "verified": self.verified,
        }


@dataclass(frozen=True, slots=True)
class Made:
    """A support with all its files, each cut file read back and compared.

    Attributes:
        draft: the support and its pattern.
        files: cut files first, then pictures.
        findings: what is worth knowing, of the draft and of the files.
        measures: of the support that the cut files fold into.
        machine: what it is to be cut with.
        plan: what one cutter does with it, where a cutter was named.
        replaces: whether a file of this checksum is a drawing that was accepted, and is held whole
            by the edits it is made with; None where none was.

    """

    draft: Draft
    files: tuple[File, ...]
    findings: tuple[Finding, ...]
    measures: tuple["Measure", ...] = ()
    machine: Machine = "knife"
    plan: CutPlan | None = None
    replaces: Callable[[str], bool] | None = None

    @property
    def name(self) -> str:
        """What all its files' names begin with."""
        return safe_name(self.draft.slip.book.number)
