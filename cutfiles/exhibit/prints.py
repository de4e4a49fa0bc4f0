"""An exhibit's printed cards: case card in order of installing, strap card, cut card."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from concurrent.futures import Executor
from pathlib import Path
from typing import Any

from cutfiles.bench.film import Film
from cutfiles.disk.sets import Content
from cutfiles.exhibit.cards import CaseRow, CutRow, StrapRow, case_card, cut_card, strap_card
from cutfiles.exhibit.jobs import Job, Print, printed
from cutfiles.exhibit.packs import MOUNTMAKER, mountmaker_table, packs
from cutfiles.exhibit.results import ExhibitResult, SheetResult
from cutfiles.exhibit.tables import in_case_order
from cutfiles.exhibit.totals import totals
from cutfiles.files.record import OWN_RECORD
from cutfiles.report.printed.cards import CARDS
from cutfiles.report.printed.joined import joined
from cutfiles.report.printed.paper import PaperName
from cutfiles.units import Units

_BENCH = CARDS["bench"].suffix


def exhibit_prints(
    done: ExhibitResult, folder: Path, paper: PaperName, pool: Executor | None = None
) -> dict[str, Content]:
    """Return what is printed for an exhibit, by the names of the files, to be read in this order.

    Args:
        done: the exhibit.
        folder: where the supports' own files lie.
        paper: of all pages.
        pool: to draw them in.

    """
    files: dict[str, Content] = dict(printed(_prints(done, paper), pool))
    if left := mountmaker_table(done):
        files[f"{MOUNTMAKER}.csv"] = left
    return files | _bench_cards(done, folder)


def _prints(done: ExhibitResult, paper: PaperName) -> dict[str, Print]:
    """Return what is to be drawn, by the names of the files."""
    told = [one.told for one in totals(done)]
    prints = {
        "case-card.pdf": _card(case_card, lambda: (done.name, case_rows(done), paper)),
        "cut-card.pdf": _card(cut_card, lambda: (done.name, cut_rows(done), paper, told)),
    }
    units = _units(done)
    if any(strap_rows_of(done)):
        prints["strap-card.pdf"] = _card(
            strap_card, lambda: (done.name, [*strap_rows_of(done)], paper, units)
        )
    return prints | packs(done, paper, units)


def _card(draw: Callable[..., bytes], given: Callable[[], tuple[Any, ...]]) -> Print:
    return Print([Job(draw, given)])


def _bench_cards(done: ExhibitResult, folder: Path) -> dict[str, Content]:
    """Return the bench cards of all supports as one PDF, in the order of installing, in parts."""
    cards = ((folder / name).read_bytes() for name in _bench_names(done))
    title = f"{done.name}, bench cards"
    return {"bench-cards.pdf": joined(cards, title)} if any(_bench_names(done)) else {}


def _bench_names(done: ExhibitResult) -> Iterator[str]:
    return (
        name
        for support in in_case_order(done.supports)
        if support.facts
        for name in support.facts.files
        if name.endswith(_BENCH)
    )


def case_rows(done: ExhibitResult) -> tuple[CaseRow, ...]:
    """Return what stands where, case by case; what could not be made stands there too."""
    rows = []
    for support in in_case_order(done.supports):
        says = support.values.get
        facts = support.facts
        mind = [facts.verdict if facts else "not made"]
        if facts and facts.straps:
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
            )
        )
    return tuple(rows)


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
    """Return the sheets of film in the order they are cut."""
    return tuple(_cut_row(sheet) for sheet in done.cut)


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
