"""What many slips have alike is kept once: film and settings, a third of what a slip takes."""

from dataclasses import replace
from typing import TypeVar

from cutfiles.bench.slip import Slip

Part = TypeVar("Part")


class Alike:
    """Keeps parts of slips, each once.

    Parts are told apart as they are written: 3 and 3.0 are equal, but checksums tell them apart.
    """

    def __init__(self) -> None:
        self.kept: dict[str, object] = {}

    def slip(self, slip: Slip) -> Slip:
        """Return a slip whose film and settings are those of an earlier one, if it had the same."""
        return replace(
            slip,
            film=self._once(slip.film),
            choices=self._once(slip.choices),
            case=self._once(slip.case),
        )

    def _once(self, part: Part) -> Part:
        kept = self.kept.setdefault(repr(part), part)
        assert isinstance(kept, type(part))
        return kept
