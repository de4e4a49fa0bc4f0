"""The installation pack of an exhibit: a PDF a case, labels, the books left to the mountmaker."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from itertools import islice

from cutfiles.bench.film import Film
from cutfiles.bench.slip import Slip
from cutfiles.disk.names import safe_name
from cutfiles.exhibit.cards import Column, table_card
from cutfiles.exhibit.case_plan import Placed
from cutfiles.exhibit.install import install_pack
from cutfiles.exhibit.jobs import Given, Print
from cutfiles.exhibit.results import ExhibitResult, SupportFacts, SupportResult
from cutfiles.exhibit.tables import csv_bytes, in_case_order
from cutfiles.exhibit.totals import case_lines
from cutfiles.lengths import Lengths
from cutfiles.lists.cells import is_bare
from cutfiles.report.printed.labels import LABEL_PAPERS, LABELS_TITLE, Label, label_paper
from cutfiles.report.printed.paper import PaperName
from cutfiles.units import Units
from cutfiles.words.bench import do_nots
from cutfiles.words.counts import counted

MOUNTMAKER = "mountmaker"
_PAGES = 4
"""Pages of labels that are drawn together: one of them takes a second."""
_WHOLE = 50
"""Lines of a text that is printed whole: as many as a page of Letter holds."""
_SIZES = (
    *("height", "width", "left_width", "right_width", "thickness", "spine_width"),
    *("opening_angle", "left_slope", "right_slope", "left_rise", "right_rise", "weight"),
)


def packs(done: ExhibitResult, paper: PaperName, units: Units) -> dict[str, Print]:
    """Return what is printed to install an exhibit, by the names of its files."""
    cases: dict[str, list[SupportResult]] = {}
    slips = {row.row: row.slip for row in done.books.rows if row.slip}
    for support in in_case_order(done.supports):
        if support.stage.stage != "withdrawn":
            cases.setdefault(support.values.get("case", ""), []).append(support)
    files = {}
    for case, own in cases.items():
        given = partial(_pack, done, case, own, slips, paper, units)
        files[_name(f"install-{case}" if case else "install")] = Print(install_pack, given)
    if any(_labels(done)):
        files["labels.pdf"] = Print(label_paper, partial(_label_pages, done, paper), LABELS_TITLE)
    if any(left_to_mountmaker(done)):
        files[f"{MOUNTMAKER}.pdf"] = Print(mountmaker_card, partial(_left, done, paper))
    return files


def _pack(
    done: ExhibitResult,
    case: str,
    own: Sequence[SupportResult],
    slips: Mapping[int, Slip],
    paper: PaperName,
    units: Units,
) -> Iterator[Given]:
    """Yield what the pack of a case is given."""
    standing = [placed(support, slips.get(support.row), units) for support in own]
    yield done.name, case, standing, paper, case_lines(own, done.fold_minutes)


def _left(done: ExhibitResult, paper: PaperName) -> Iterator[Given]:
    """Yield what the mountmaker's card is given."""
    yield done.name, [*left_to_mountmaker(done)], paper, len(_unread_rows(done))


def _labels(done: ExhibitResult) -> Iterator[Label]:
    """Yield the labels of all that lies on sheets."""
    laid = ((s.facts, s.copies) for s in in_case_order(done.supports) if s.facts and s.sheets)
    return (label for facts, copies in laid for label in copies * facts.labels)


def _label_pages(done: ExhibitResult, paper: PaperName) -> Iterator[Given]:
    """Yield what label paper is given, some whole pages of labels at a time."""
    labels = _labels(done)
    many = _PAGES * LABEL_PAPERS[paper].columns * LABEL_PAPERS[paper].rows
    while own := [*islice(labels, many)]:
        yield own, paper


def _name(stem: str) -> str:
    return f"{safe_name(stem)}.pdf"


def placed(support: SupportResult, slip: Slip | None, units: Units) -> Placed:
    """Return a support as it is placed; what could not be made is placed too, and says so."""
    says, facts = support.values.get, support.facts
    one = Placed(
        number=support.called,
        title=says("title", ""),
        shelf_mark=says("shelf_mark", ""),
        opening=says("opening", ""),
        place=says("place", ""),
        depth=slip.book.height if slip else 0.0,
        lux=says("lux", ""),
        stage=support.stage.stage if facts else "no support of film",
        do_nots=do_nots(slip) if slip else (),
    )
    if not facts:
        return one
    if not support.is_barred:
        return _made(one, facts, support.copies, units)
    told = barred_text(support), _reason(support)
    barred = replace(one, stage="not to be used", view=facts.view, barred=told)
    return _made(barred, facts, support.copies, units) if support.is_folded else barred


def _made(one: Placed, facts: SupportFacts, copies: int, units: Units) -> Placed:
    film = Film(gauge=facts.gauge, layers=3 if facts.layers == 3 else 1).made_text
    told = Lengths(units).measured
    return replace(
        one,
        view=facts.view,
        supports=f"{f'{copies} of ' if copies > 1 else ''}{film}; {facts.verdict}",
        dummy=f"{facts.dummy:.0f} g for 24 h" if facts.state != "proved" else "proved",
        straps=tuple(
            f"{side}: {kind}, {told(width)} wide, cut {told(length)}, "
            f"{told(off)} from the fore edge"
            for side, kind, width, length, off in facts.straps
        ),
    )


# -- what no support of film carries ---------------------------------------------------------------

_HEAD = ("number", "title", "shelf_mark", "case", "opening", *_SIZES, "note", "reason")


def left_to_mountmaker(done: ExhibitResult) -> Iterator[tuple[str, ...]]:
    """Yield the books that are shown open and have no support of film, with measures and reason.

    Whose row could not be read as a slip stands there too, and says so.
    """
    closed = {row.row for row in done.books.rows if row.closed}
    unread = _unread_rows(done)
    for support in in_case_order(done.supports):
        says, facts = support.values.get, support.facts
        if support.row in closed or (facts and not support.is_barred):
            continue
        yield (
            support.called,
            *(says(name, "") for name in ("title", "shelf_mark", "case", "opening")),
            *(_measure(name, says(name, "")) for name in _SIZES),
            says("note", ""),
            _unread(support) if support.row in unread else _reason(support),
        )


def _unread_rows(done: ExhibitResult) -> set[int]:
    """Return the rows of open books that could not be read as slips."""
    return {row.row for row in done.books.rows if row.slip is None and not row.closed}


def barred_text(support: SupportResult) -> str:
    """Return what is done with a support that does not carry its book."""
    if support.is_folded:
        return "for a trial with its dummy only: not to be used"
    return "not to be used: see the mountmaker's card"


def _reason(support: SupportResult) -> str:
    """Return why a book has no support of film."""
    why = " / ".join(f"{fault.found}; {fault.needed}" for fault in support.faults)
    return why or support.unplaced or "no film carries it"


def _unread(support: SupportResult) -> str:
    """Return what of a row is first measured or corrected."""
    why = " / ".join(f"found {fault.found}; {fault.needed}" for fault in support.faults)
    return f"first measured or corrected: {why}"


def _measure(name: str, text: str) -> str:
    """Return a measure with its unit: a bare angle is in degrees."""
    return f"{text}°" if text and name.endswith(("angle", "slope")) and is_bare(text) else text


def mountmaker_table(done: ExhibitResult) -> bytes:
    """Return the books left to the mountmaker as CSV; nothing where there are none."""
    left = [*left_to_mountmaker(done)]
    return csv_bytes([_HEAD, *left]) if left else b""


def mountmaker_card(
    exhibit: str, rows: Sequence[Sequence[str]], paper: PaperName, unread: int
) -> bytes:
    """Return the books left to the mountmaker as PDF; so many of the rows could not be read."""
    columns = (
        Column("number", 1.4, bold=True),
        Column("title", 2.6),
        Column("case", 0.9),
        Column("opening", 1.8),
        Column("measures", 3.2, most=_WHOLE),
        Column("reason", 5.0, most=_WHOLE),
    )
    cells = []
    for row in rows:
        said = dict(zip(_HEAD, row, strict=True))
        sizes = [f"{name.replace('_', ' ')} {said[name]}" for name in _SIZES if said[name]]
        named = [said[name] for name in ("number", "title", "case", "opening")]
        cells.append([*named, ", ".join(sizes), said["reason"]])
    told = []
    if len(rows) > unread:
        told.append(f"{counted(len(rows) - unread, 'book')} for another support")
    if unread:
        told.append(f"{counted(unread, 'row')} to be measured or corrected first")
    foot = f"{', '.join(told)}; a conservator decides how far each opens"
    return table_card("For the mountmaker", exhibit, columns, cells, foot, paper)
