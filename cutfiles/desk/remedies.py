"""What to do after a refusal, in the desk's words: buttons and fields by key of remedy."""

import re

from cutfiles.bench.fields import FIELDS
from cutfiles.errors import CutfilesError, Fault

REMEDIES = {
    "anyway": "choose another kind of support; files for a trial with a dummy, never with the "
    'book, are made with "for a trial all the same" ticked',
    "bows": "make it of one layer, with edges hemmed, or of thinner film; files for a trial are "
    'made with "for a trial all the same" ticked',
    "own-films": "choose one of them",
    "replace": "rename that file or move it away, or choose another folder",
    "replace-record": "use another number or another folder",
}
"""Remedies by their keys (`Fault.key`) where something on the page is what helps."""


MISSING = frozenset({"fill-in", "opening"})
"""Keys of what nobody has filled in yet: on the way, not wrong."""
_NAMES = re.compile(r"\b(?:" + "|".join(one.name for one in FIELDS if "_" in one.name) + r")\b")


def in_words(text: str) -> str:
    """Return a text with the names of fields as the desk writes them.

    >>> in_words("the spine_width was used")
    'the spine width was used'

    """
    return _NAMES.sub(lambda found: found[0].replace("_", " "), text)


def remedy_of(fault: Fault) -> str:
    """Return what helps, in the desk's words."""
    return REMEDIES.get(fault.key, fault.remedy)


def words_of(fault: Fault) -> dict[str, str]:
    """Return a fault as a page shows it: path, place, found, needed, remedy."""
    return {**fault.words, "path": fault.place.path, "remedy": remedy_of(fault)}


def told(error: CutfilesError | None) -> list[dict[str, str]]:
    """Return a refusal's faults as a page shows them (`words_of`); none where nothing was."""
    return [words_of(fault) for fault in error.faults] if error else []
