"""What an exhibit comes to: a result a row, a result a sheet, and the counts.

Lengths in mm, angles in degrees.
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import field, replace
from typing import Literal, Protocol

from cutfiles.bench.at_hand import Supply
from cutfiles.dataclass import dataclass
from cutfiles.disk.system import sum_of
from cutfiles.errors import Fault
from cutfiles.exhibit.films import KindsTold
from cutfiles.exhibit.stages import PLANNED, Reached
from cutfiles.film.compare import Saving
from cutfiles.film.layout import LaidSheet
from cutfiles.film.layout_check import Lying
from cutfiles.job.workshop import FOLD_MINUTES
from cutfiles.lists.ledger import BookList
from cutfiles.machine.time import time_text
from cutfiles.report.printed.labels import Label
from cutfiles.support.reuse import Stood
from cutfiles.support.states import State as VerdictState

State = Literal["made", "unchanged", "refused"]
View = tuple[tuple[Literal["board", "strip"], tuple[tuple[float, float], ...]], ...]
"""Lines of an end view: of a board or of the strip, from place to place, mm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What is known of a support at length: of all that is kept of it four fifths.

    Attributes:
        findings: what is worth knowing, one sentence each.
        picture: of the support and its book as a small SVG.
        view: the end view, line by line, the boards first, mm.
        labels: what stands on the label of each base.
        stood: as it stands, as far as fit asks.
        files: names and checksums.

    """

    findings: tuple[str, ...]
    picture: str
    view: View
    labels: tuple[Label, ...]
    stood: Stood
    files: Mapping[str, str]

    def told(self) -> "Told":
        """Return itself: it is at hand."""
        return self


class Teller(Protocol):
    """Tells what is known of a support at length: it is at hand, or read from disk each time."""

    def told(self) -> Told:
        """Return it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SupportFacts:
    """What is known of a support once it is made; kept from run to run.

    What is told at length is read from the exhibit's folder each time it is asked for, once it
    stands there: whoever asks several times takes `told` once.

    Attributes:
        key: checksum of all that its files depend on.
        width: length of the strip.
        height: breadth of the piece.
        gauge: of the film.
        layers: films on one another.
        opening_angle: between the boards.
        left_slope: of the left board.
        right_slope: of the right board.
        left_rise: of the left fore edge.
        right_rise: of the right fore edge.
        cut: length of all cuts.
        score: length of all scores.
        creases: folded by hand.
        tape: length of all tape.
        strap: length of the straps.
        straps: side, kind, width, cut length and place from the fore edge of each.
        dummy: weight of the dummy that proves it, g.
        state: whether the film carries the book; doubted only for want of a weight, a trial.
        way: how it is made: film, construction, edges, posts behind each leg.
        shape: checksum of what of the strip is cut and scored.
        verdict: the state in words, and that its weight is estimated where it is.
        posts: name, width, height, count and shape of the blanks behind each leg.
        fell: that a piece of it collapsed, where the last test of it says so.
        teller: of all that is told at length.

    """

    key: str
    width: float
    height: float
    gauge: float
    layers: int
    opening_angle: float
    left_slope: float
    right_slope: float
    left_rise: float
    right_rise: float
    cut: float
    score: float
    creases: int
    tape: float
    strap: float
    straps: tuple[tuple[str, str, float, float, float], ...]
    dummy: float
    state: VerdictState
    way: tuple[str, str, str, int]
    shape: str
    verdict: str = ""
    posts: tuple[tuple[str, float, float, int, str], ...] = ()
    fell: str = ""
    teller: Teller = field(compare=False, repr=False)

    @property
    def told(self) -> Told:
        """What is known of it at length.

        Raises:
            FileError: the folder no longer holds it: another run made the support otherwise.

        """
        return self.teller.told()

    @property
    def findings(self) -> tuple[str, ...]:
        """What is worth knowing, one sentence each."""
        return self.told.findings

    @property
    def picture(self) -> str:
        """The support and its book as a small SVG."""
        return self.told.picture

    @property
    def view(self) -> View:
        """The end view, line by line, the boards first, mm."""
        return self.told.view

    @property
    def labels(self) -> tuple[Label, ...]:
        """What stands on the label of each base."""
        return self.told.labels

    @property
    def stood(self) -> Stood:
        """It as it stands, as far as fit asks."""
        return self.told.stood

    @property
    def files(self) -> Mapping[str, str]:
        """Names and checksums."""
        return self.told.files

    def stood_in(self, exhibit: str) -> Stood:
        """Return it as it stands, as one of this exhibit."""
        return replace(self.stood, exhibit=exhibit)

    @property
    def piece(self) -> str:
        """Checksum of all that is cut of it: strip and posts."""
        return piece_of(self.shape, self.posts)


def piece_of(shape: str, posts: Iterable[Iterable[object]]) -> str:
    """Return the checksum of a strip's shape and its posts."""
    told = (shape, [tuple(post) for post in posts])
    return sum_of(repr(told).encode())[:8]


@dataclass(frozen=True, slots=True, kw_only=True)
class SupportResult:
    """How one row of the list ended.

    Attributes:
        row: of the list.
        number: of the support.
        state: made, unchanged since the last run, or refused.
        copies: how many are cut, spares among them.
        values: what the list says of it.
        faults: why it is refused.
        facts: of the support, None where it is refused.
        sheets: on which sheets it lies.
        unplaced: why it lies on none, or empty.
        stage: how far it is.

    """

    row: int
    number: str
    state: State
    copies: int
    values: Mapping[str, str]
    faults: tuple[Fault, ...] = ()
    facts: SupportFacts | None = None
    sheets: tuple[str, ...] = ()
    unplaced: str = ""
    stage: Reached = PLANNED

    @property
    def called(self) -> str:
        """Its number; of a row without one, which row it is."""
        return self.number or f"row {self.row}"

    @property
    def is_barred(self) -> bool:
        """Whether its film does not carry the book: it may be tried, and is never used."""
        return self.facts is not None and self.facts.state == "another support"

    @property
    def is_folded(self) -> bool:
        """Whether it is, or will be, folded: what does not hold is laid only where it is asked."""
        sure = self.facts is not None and not self.is_barred
        return self.stage.stage != "withdrawn" and (sure or bool(self.sheets))


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetResult:
    """One sheet of an exhibit.

    Attributes:
        number: of the sheet, what its files are named.
        film: what it is cut from.
        gauge: of the film.
        width: left to right.
        height: bottom to top; the length to cut off a roll.
        pieces: where each lies.
        used: share of its area covered by pieces.
        state: made, unchanged or refused.
        files: names and checksums.
        findings: what is worth knowing, as a format that cannot hold it.
        seconds: how long its passes take; 0 without a cutter profile.
        faults: why it is refused; it has no files then.
        frozen: whether it is cut, and stays as it is.
        apart: whether it holds trials, and nothing else.

    """

    number: str
    film: Supply
    gauge: float
    width: float
    height: float
    pieces: tuple[Lying, ...]
    used: float
    state: State
    files: Mapping[str, str]
    findings: tuple[str, ...] = ()
    seconds: float = 0.0
    faults: tuple[Fault, ...] = ()
    frozen: bool = False
    apart: bool = False

    @property
    def time(self) -> str:
        """How long its passes take, as text; empty without a cutter profile."""
        return time_text(self.seconds) if self.seconds else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ExhibitResult:
    """All of an exhibit.

    Attributes:
        name: of the exhibit.
        books: the list as read.
        supports: one a row of the list, in its order.
        sheets: in the order they are cut.
        removed: files of an earlier run that hold what is no longer so, and were removed.
        left: such files that were changed since, and stay.
        changed: one line a number that changed since the last run.
        films: the fewest kinds of film that serve all books that can be served.
        kinds: what they fold and cost, and what would cost least, where that is another choice.
        unserved: numbers of books for which no way at hand is adequate.
        report: what changed since the last run and why, one part a run.
        booked: the name its film is booked by.
        new_report: whether the last part of the report is of this run.
        shelf: film at hand, as the exhibit finds it.
        missing: sheets that pieces would take for which there is too little film.
        savings: widths and lengths that would take less film.
        reuse: which books fit supports that there are, a sentence each.
        cutter: the name of the machine the sheets are for, or empty.
        fold_minutes: for a crease folded by hand.

    """

    name: str
    books: BookList
    supports: tuple[SupportResult, ...]
    sheets: tuple[SheetResult, ...]
    removed: tuple[str, ...] = ()
    left: tuple[str, ...] = ()
    changed: tuple[str, ...] = ()
    films: tuple[str, ...] = ()
    kinds: tuple[KindsTold, ...] = ()
    unserved: tuple[str, ...] = ()
    report: tuple[str, ...] = ()
    booked: str = ""
    new_report: bool = False
    shelf: tuple[Supply, ...] = ()
    missing: tuple[LaidSheet, ...] = ()
    savings: tuple[Saving, ...] = ()
    reuse: tuple[str, ...] = ()
    cutter: str = ""
    fold_minutes: float = FOLD_MINUTES

    @property
    def counts(self) -> Mapping[str, int]:
        """How many rows were made, unchanged and refused; they add up to the rows."""
        found = Counter(support.state for support in self.supports)
        return {state: found[state] for state in ("made", "unchanged", "refused")}

    @property
    def complete(self) -> bool:
        """Whether every row has its support and every support its sheet."""
        bad = any(one.state == "refused" or one.unplaced for one in self.supports)
        return not bad and len(self.cut) == len(self.sheets)

    @property
    def cut(self) -> tuple[SheetResult, ...]:
        """The sheets that are ready to be cut."""
        return tuple(sheet for sheet in self.sheets if sheet.state != "refused")
