"""Labels of several supports in one file, on pages of labels that come off."""

from collections.abc import Sequence

from cutfiles.draft import Draft
from cutfiles.files.made import File
from cutfiles.report.printed.labels import label_paper, labels_of
from cutfiles.report.printed.paper import PaperName

LABELS = "labels"
"""What the set of them is called."""


def labels_file(drafts: Sequence[Draft], paper: PaperName = "A4") -> File:
    """Return the labels of supports as one PDF, in their order, one for each base.

    Args:
        drafts: the supports.
        paper: A4 (24 labels of 70 × 37 mm) or Letter (30 of 2 5/8 × 1 in).

    """
    labels = [label for draft in drafts for label in labels_of(draft)]
    return File(f"{LABELS}.pdf", LABELS, label_paper(labels, paper), None)
