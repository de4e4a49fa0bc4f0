"""An exhibit's printed cards: case card in order of installing, strap card, cut card."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from functools import partial
from pathlib import Path
from typing import Literal

from cutfiles.bench.film import Film
from cutfiles.exhibit.cards import CaseRow, CutRow, StrapRow, case_card, cut_card, strap_card
from cutfiles.exhibit.jobs import Print
from cutfiles.exhibit.packs import barred_text, packs
from cutfiles.exhibit.results import ExhibitResult, SheetResult, SupportResult
from cutfiles.exhibit.tables import in_case_order
from cutfiles.exhibit.totals import totals
from cutfiles.files.record import OWN_RECORD
from cutfiles.report.printed.cards import CARDS
from cutfiles.report.printed.paper import PaperName
from cutfiles.units import Units

_BENCH = CARDS["bench"].suffix


def exhibit_prints(done: ExhibitResult, folder: Path, paper: PaperName) -> dict[str, Print]:
    """Return what is printed for an exhibit, by the names of the files, to be read in this order.

    Args:
        done: the exhibit.
        folder: where the supports' own files lie.
        paper: of all pages.

    """
    told = [one.told for one in totals(done)]
    if cut := [sheet.number for sheet in done.cut if sheet.frozen]:
        told.append("cut already, and not on this card: " + ", ".join(cut))
    prints = {"case-card.pdf": Print(case_card, lambda: [(done.name, case_rows(done), paper)])}
    if not cut or len(cut) < len(done.cut):  # else all is cut
        prints["cut-card.pdf"] = Print(cut_card, lambda: [(done.name, cut_rows(done), paper, told)])
    units = _units(done)
    if any(strap_rows_of(done)):
        prints["strap-card.pdf"] = Print(
            strap_card, lambda: [(done.name, [*strap_rows_of(done)], paper, units)]
        )
    prints |= packs(done, paper, units)
    if any(_bench_cards(done)):
        # in the order of installing, each as it was printed
        prints["bench-cards.pdf"] = Print(
            partial(_bench_card, folder),
            partial(_bench_cards, done),
            f"{done.name}, bench cards",
            bare=False,
        )
    return prints


def _bench_cards(done: ExhibitResult) -> Iterator[tuple[str, str]]:
    """Yield name and checksum of the bench card of each support."""
    for support in in_case_order(done.supports):
        for name, checksum in support.facts.files.items() if support.facts else ():
            if name.endswith(_BENCH):
                yield name, checksum


def _bench_card(folder: Path, name: str, checksum: str) -> bytes:
    del checksum  # so that another card is another print
    return (folder / name).read_bytes()


def case_rows(done: ExhibitResult) -> tuple[CaseRow, ...]:
    """Return what stands where, case by case; what could not be made stands there too."""
    rows = []
    for support in in_case_order(done.supports):
        says = support.values.get
        facts = support.facts
        if support.stage.stage == "withdrawn":
            continue
        mind = [facts.verdict if facts else "not made"]
        if support.is_barred:
            mind.append(barred_text(support))
        if facts and facts.straps and support.is_folded:
            mind.append("straps")
        if says("note"):
            mind.append(says("note", ""))
        rows.append(
            CaseRow(
                case=says("case", ""),
                place=says("place", ""),
                number=support.called,
                title=says("title", ""),
                opening=says("opening", ""),
                note=" · ".join(part for part in mind if part),
                of=_standing_of(support),
            )
        )
    return tuple(rows)


def _standing_of(support: SupportResult) -> Literal["support", "trial", "nothing"]:
    if not support.facts or not support.is_folded:
        return "nothing"
    return "trial" if support.is_barred else "support"


def strap_rows_of(done: ExhibitResult) -> Iterator[StrapRow]:
    """Yield every strap to cut, case by case: of all that is, or will be, folded."""
    return (
        StrapRow(
            number=support.number,
            side=side,
            kind=kind,
            width=width,
            cut_length=length,
            from_fore_edge=off,
            title=support.values.get("title", ""),
        )
        for support in in_case_order(done.supports)
        if support.facts and support.is_folded
        for side, kind, width, length, off in support.facts.straps
    )


def cut_rows(done: ExhibitResult) -> tuple[CutRow, ...]:
    """Return the sheets of film in the order they are cut, those left out that are cut already."""
    return tuple(_cut_row(sheet) for sheet in done.cut if not sheet.frozen)


def _cut_row(sheet: SheetResult) -> CutRow:
    return CutRow(
        sheet=sheet.number,
        film=f"{sheet.film.name}, {Film(gauge=sheet.gauge).gauge_text}",
        size=f"{sheet.width:.0f} × {sheet.height:.0f} mm",
        pieces=_counted(piece.name for piece in sheet.pieces),
        files=", ".join(sorted(_endings(sheet.files, sheet.number))),
        time=sheet.time,
    )


def _counted(names: Iterable[str]) -> str:
    """Return names in order, each once, with how often where it is more than once."""
    counts = Counter(names).items()
    return ", ".join(name if count == 1 else f"{name} ({count} ×)" for name, count in counts)


def _endings(files: Mapping[str, str], number: str) -> list[str]:
    own = number + OWN_RECORD
    return [name.removeprefix(f"{number}.") for name in files if name != own]


def _units(done: ExhibitResult) -> Units:
    """Return inches where every book was measured in inches."""
    units = {row.slip.units for row in done.books.rows if row.slip}
    return "in" if units == {"in"} else "mm"
