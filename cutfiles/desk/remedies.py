"""What to do after a refusal, in the desk's words: buttons and fields by key of remedy."""

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


def remedy_of(fault: Fault) -> str:
    """Return what helps, in the desk's words."""
    return REMEDIES.get(fault.key, fault.remedy)


def told(error: CutfilesError) -> list[dict[str, str]]:
    """Return a refusal's faults as a page shows them: path, place, found, needed, remedy."""
    return [
        {**fault.words, "path": fault.place.path, "remedy": remedy_of(fault)}
        for fault in error.faults
    ]
