"""One order: all that says how things are made, and nothing about the book.

Command line, exhibit and Python share it.

>>> Order(formats=("svg",), paper=None).kind
'knife'
"""

from collections.abc import Mapping, Sequence
from dataclasses import field, replace
from typing import TYPE_CHECKING, Any

from cutfiles.bench.at_hand import FilmKind
from cutfiles.bench.film import Machine
from cutfiles.bench.questions import require_answers
from cutfiles.bench.slip import Slip
from cutfiles.dataclass import dataclass
from cutfiles.draft import Draft, draft_of
from cutfiles.machine.cutter import RANGE, Cutter
from cutfiles.machine.formats import usual_formats
from cutfiles.machine.options import Options, drawing_options
from cutfiles.support.trials import Trial
from cutfiles.words.cautions import require_film_for

if TYPE_CHECKING:
    from cutfiles.edits.keep import Kept
    from cutfiles.report.printed.paper import PaperName


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """How things are made.

    Attributes:
        formats: keys of the table of formats. Without them the usual ones are made, and one that
            cannot hold the piece is left out and told in the findings.
        options: what writers are told beside the sheet.
        cutter: the machine; its pass files are made too, and of the formats, which show the whole
            sheet for people, only few unless others are named.
        lot: the film lot, if a coupon was judged for it.
        machine: what it is to be cut with where no cutter is named, for cautions and for what
            film may be used.
        films: the films at hand, where a slip was not read with others; empty for the usual gauges.
        trials: the studio's load tests, which verdicts take up.
        paper: of all that is printed; None leaves it out.
        png: also make the pictures as PNG.
        strict: questions count as refusals.
        anyway: also make what no film carries: too tall or too heavy (`support.limits`).
        replace: also replace files that others made or changed.
        edits: kept edits of drawings, by the number of their support: they are done again.

    """

    formats: Sequence[str] | None = None
    options: Options = field(default_factory=Options)
    cutter: Cutter | None = None
    lot: str = ""
    machine: Machine = "knife"
    films: tuple[FilmKind, ...] = ()
    trials: tuple[Trial, ...] = ()
    paper: "PaperName | None" = "A4"
    png: bool = False
    strict: bool = False
    anyway: bool = False
    replace: bool = False
    edits: Mapping[str, "Kept"] = field(default_factory=dict)

    @property
    def kind(self) -> Machine:
        """What it is to be cut with."""
        return self.machine if self.cutter is None else self.cutter.kind

    @property
    def chosen(self) -> tuple[str, ...]:
        """The formats to be made: those named, else the usual ones."""
        return tuple(self.formats or usual_formats(self.cutter is not None))

    @property
    def drawn(self) -> Options:
        """What the writers of drawings for people are told: the cutter's names, colours and pens.

        A range that was named goes before the cutter's.
        """
        if self.cutter is None:
            return self.options
        own = drawing_options(self.cutter)
        unnamed = self.options.hpgl_range == RANGE
        return replace(
            self.options,
            pens=own.pens,
            hpgl_range=self.cutter.bed.range_most if unnamed else self.options.hpgl_range,
            layers=own.layers,
            colours=own.colours,
            method=own.method,
            side=own.side,
        )


def ordered(order: Order | None, changes: Mapping[str, Any]) -> Order:
    """Return an order, or the usual one, with some of it changed."""
    return replace(order or Order(), **changes)


def accepted(slip: Slip, order: Order) -> Slip:
    """Return a slip with the films at hand, before anything is made of it.

    Raises:
        SlipError: the slip raises questions, and they count as refusals.
        DesignError: its film may not be cut with a laser.

    """
    if order.strict:
        require_answers(slip)
    require_film_for(order.kind, slip.film, slip.source)
    return slip if slip.films else replace(slip, films=order.films)


def drafted(slip: Slip, order: Order) -> Draft:
    """Return the support of a slip as an order has it: film and construction chosen alike by all.

    Raises:
        SlipError: the slip raises questions, and they count as refusals.
        DesignError: no cradle follows from the slip, its film may not be cut with a laser, or a
            kept edit no longer fits.

    """
    draft = draft_of(accepted(slip, order), order.trials)
    kept = order.edits.get(slip.book.number)
    if kept is None:
        return draft
    from cutfiles.edits.replay import replayed

    return replayed(draft, kept)
