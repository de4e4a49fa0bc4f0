"""The table of cards: one row says all that the house knows of a printed card of one support.

A new card is a function that draws it and one row here; making, the command that prints cards and
its help, names of files, tables and records follow. What draws is loaded when it is called.
"""

from collections.abc import Callable

from cutfiles.bench.film import Machine
from cutfiles.dataclass import dataclass
from cutfiles.draft import Draft
from cutfiles.film.drawing import Drawing
from cutfiles.machine.formats import FORMATS, MAIN
from cutfiles.machine.passes import CutPlan
from cutfiles.report.printed.paper import PaperName


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """One row of the table.

    Attributes:
        key: how it is asked for and recorded; its file's name ends in ``.KEY.pdf``.
        told: what it is for, one line.
        page: function from draft, paper and machine to PDF; None for a card of a cutter's plan.
        of_plan: function from a plan, what its files' names begin with, and paper to PDF; such a
            card is made wherever a cutter is named, of straps, coupons and exhibit sheets too.
        drawing: function from a draft to what a machine cuts the card itself from, if any does.
        usual: whether it is made together with the cut files.
        once: what it was called once, still understood.

    """

    key: str
    told: str
    page: Callable[[Draft, PaperName, Machine], bytes] | None = None
    of_plan: Callable[[CutPlan, str, PaperName], bytes] | None = None
    drawing: Callable[[Draft], Drawing] | None = None
    usual: bool = False
    once: str = ""

    @property
    def suffix(self) -> str:
        """What its file's name has after the support's number."""
        return f".{self.key}.pdf"

    @property
    def cut_suffix(self) -> str:
        """What the name of the file has that it is cut from."""
        return f".{self.key}{FORMATS[MAIN].suffix}"


def _bench(draft: Draft, paper: PaperName, machine: Machine) -> bytes:
    from cutfiles.report.printed.bench_card import bench_card

    return bench_card(draft, paper, machine=machine)


def _passes(plan: CutPlan, stem: str, paper: PaperName) -> bytes:
    from cutfiles.report.printed.pass_card import pass_card

    return pass_card(plan, stem, paper)


def _end_view(draft: Draft, paper: PaperName, _: Machine) -> bytes:
    from cutfiles.report.printed.end_view_card import end_view_card

    return end_view_card(draft, paper)


def _end_view_drawing(draft: Draft) -> Drawing:
    from cutfiles.report.printed.end_view_card import card_drawing

    return card_drawing(draft)


def _template(draft: Draft, paper: PaperName, _: Machine) -> bytes:
    from cutfiles.report.printed.template import template

    return template(draft, paper)


def _labels(draft: Draft, paper: PaperName, _: Machine) -> bytes:
    from cutfiles.report.printed.labels import labels_page

    return labels_page([draft], paper)


CARDS: dict[str, Card] = {
    card.key: card
    for card in (
        Card(
            key="bench",
            told="a page to fold, tape and prove it by, a page for the fitting",
            page=_bench,
            usual=True,
        ),
        Card(
            key="passes",
            told="with a cutter: each pass as it lies on the bed, its tools, marks and steps",
            of_plan=_passes,
            usual=True,
        ),
        Card(
            key="end-view",
            told="the end view at 1:1, to hold to the book's tail; also as SVG",
            page=_end_view,
            drawing=_end_view_drawing,
            once="profile",
        ),
        Card(
            key="template",
            told="the pattern at 1:1 over several pages, for working by hand",
            page=_template,
        ),
        Card(
            key="labels",
            told="for the underside of the bases, with a code anyone can read",
            page=_labels,
        ),
    )
}
"""The printed cards of one support, in the order of the work."""
