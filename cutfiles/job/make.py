"""The whole chain: slip → support → pattern → drawing → bytes → verified files.

>>> from cutfiles.bench.slip import slip_from
>>> made = make(slip_from({"number": "A1", "units": "mm", "height": 203, "width": 133,
...                        "spine_width": 34, "opening_angle": 120}), formats=["svg"], paper=None)
>>> [file.name for file in made.files]
['A1.svg', 'A1.standing.svg', 'A1.flat.svg', 'A1.folded.svg', 'A1.folded.html']
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Any, NamedTuple

from cutfiles.bench.film import Machine
from cutfiles.bench.slip import Slip
from cutfiles.disk.names import safe_name
from cutfiles.draft import Draft
from cutfiles.errors import DesignError, FormatError
from cutfiles.files.formats import FORMATS, Format, Options, check_bed, write_drawing
from cutfiles.files.made import File, Made
from cutfiles.files.readers.reading import Reading
from cutfiles.files.verify import written
from cutfiles.film.drawing import Drawing
from cutfiles.film.strips import strap_drawing
from cutfiles.findings import Finding
from cutfiles.job.names import FOLDED_PAGE, STRAPS, PictureKind
from cutfiles.job.order import Order, drafted, ordered
from cutfiles.machine.cutter import Cutter
from cutfiles.machine.formats import MAIN
from cutfiles.machine.passes import CutPlan
from cutfiles.report.printed.cards import CARDS, Card
from cutfiles.words.verdict import check_text

if TYPE_CHECKING:
    from cutfiles.edits.keep import Kept
    from cutfiles.files.fold_check import FoldedFile
    from cutfiles.report.printed.paper import PaperName


def require_carried(made: Draft) -> None:
    """Refuse a book that no film carries, and a strip whose layers bow further than they may.

    Raises:
        DesignError: names height or weight of a book beyond practice, or the film that bows, and
            what to do.

    """
    bows = made.verdict.bows
    if bows is not None:
        raise DesignError(
            check_text(bows, made.slip),
            "layers that the long folds hold cannot slip: what is too long bows",
            "make it of one layer, with edges hemmed, or of thinner film; files for a trial are "
            "made where that is asked",
            made.slip.source.at("support.layers"),
            "bows",
        )
    if not made.verdict.beyond:
        return
    check = made.verdict.governing
    raise DesignError(
        check_text(check, made.slip),
        "a folded film cradle is for smaller and lighter books",
        "choose another kind of support; files for a trial with a dummy, never with the book, are "
        "made where that is asked",
        made.slip.source.at(check.name),
        "anyway",
    )


def make(slip: Slip, order: Order | None = None, **changes: Any) -> Made:
    """Return a support with its cut files, read back and compared, and its pictures.

    Args:
        slip: what was measured and chosen.
        order: how it is made; without one, as usual.
        changes: what of the order is otherwise, by its names: ``formats=["svg"]``.

    Raises:
        DesignError: no cradle follows from the slip, no film carries the book, or its film may
            not be cut with a laser.
        SlipError: the slip raises questions, and they count as refusals.
        FormatError: the piece does not fit a named format, or the bed.
        DifferenceError: a file did not read back, or does not fold, as it was meant.

    """
    order = ordered(order, changes)
    made = drafted(slip, order)
    if not order.anyway:
        require_carried(made)
    chosen, options, machine, cutter = order.chosen, order.drawn, order.kind, order.cutter
    check_bed(made.drawing, options)
    planned = None if cutter is None else _planned(slip, made, cutter, order)
    shown = made.drawing if planned is None else planned.drawing
    name = safe_name(slip.book.number)
    findings = list(made.findings)
    if name != slip.book.number:
        findings.append(Finding("file-name", "number", f'the files are named "{name}"'))
    files, large, told = drawings(shown, name, chosen, options)
    if large and order.formats:
        raise large[0][1]
    findings += [Finding("format", form.key, f"not made: {error}") for form, error in large]
    # pens, and layers called as a cutter wants them, may not tell valleys from mountains
    checked = checked_drawing(made) if told is None else _folds(made, *told, options)
    findings += [finding for finding in checked.check.findings if finding not in findings]
    files += [_folded_file(checked, name, form) for form in _rows(chosen) if form.folded]
    if planned is not None:
        files += _passes(planned, name)
        findings += planned.findings
    files += _strap_files(made, name, chosen, options, findings)
    if cutter is not None:
        files += _strap_passes(made, name, cutter, order)
    files += _pictures(checked, name, order.png, machine)
    if order.paper is not None:
        for card in CARDS.values():
            files += _card(made, card, order.paper, machine) if card.usual else ()
        files += plan_cards(planned, name, order.paper)
    return Made(
        made,
        tuple(files),
        tuple(findings),
        checked.check.measures,
        machine,
        planned,
        _accepted_by(order.edits.get(slip.book.number)),
    )


def _accepted_by(kept: "Kept | None") -> Callable[[str], bool] | None:
    """Return what tells by its checksum the drawing that was accepted whole, if one was."""
    if kept is None or not kept.seal:
        return None
    from cutfiles.edits.sealed import is_of

    return partial(is_of, kept)


def _planned(slip: Slip, made: Draft, cutter: Cutter, order: Order) -> CutPlan:
    """Return what a cutter does with a support; all of that is loaded where there is one."""
    from cutfiles.job.fitting import planned

    return planned(slip, made, cutter, order)


def _passes(planned: CutPlan, name: str) -> tuple[File, ...]:
    """Return the files of all passes, read back and compared."""
    from cutfiles.files.passes import write_plan

    return write_plan(planned, name)


def checked_drawing(made: Draft) -> "FoldedFile":
    """Return the fold check of a support as it would be written, whatever files are made of it.

    Raises:
        DifferenceError: it does not fold into its support.

    """
    options, form = Options(), FORMATS[MAIN]
    name = safe_name(made.slip.book.number) + form.suffix
    data = write_drawing(made.drawing, form, options)
    return _folds(made, name, form, form.read(data), options)


def _folds(
    made: Draft, name: str, form: Format, reading: Reading, options: Options
) -> "FoldedFile":
    from cutfiles.files.fold_check import check_reading, require_folds

    checked = check_reading(reading, name, made, form, options, compared=True)
    require_folds(checked)
    return checked


def _folded_file(checked: "FoldedFile", name: str, form: Format) -> File:
    """Return the support as it folds, read back and compared with what folds."""
    from cutfiles.files.fold_check import require_same_folds

    data = form.write(checked, Options())
    if checked.check.folded is not None:
        require_same_folds(name + form.suffix, data, checked.check)
    return File(name + form.suffix, form.key, data, True)


def _rows(keys: Sequence[str]) -> list[Format]:
    return [FORMATS[key] for key in keys]


class Drawn(NamedTuple):
    """A drawing in several formats.

    Attributes:
        files: each read back and compared.
        large: formats that do not hold it, and why.
        told: the first that tells its folds: name, format, what was read back; all others were
            compared too and hold the same. None where none does.

    """

    files: list[File]
    large: list[tuple[Format, FormatError]]
    told: tuple[str, Format, Reading] | None


def drawings(drawing: Drawing, name: str, keys: Sequence[str], options: Options) -> Drawn:
    """Return a drawing in each format that holds it, read back and compared; of others, why not.

    Args:
        drawing: what to write.
        name: what the files' names begin with.
        keys: of the table of formats; a folded one is passed over: it is written from what folds.
        options: what differs from cutter to cutter.

    Raises:
        DifferenceError: a file did not read back as it was meant.

    """
    files: list[File] = []
    large: list[tuple[Format, FormatError]] = []
    told: tuple[str, Format, Reading] | None = None
    for form in (row for row in _rows(keys) if not row.folded):
        try:
            data, reading = written(name + form.suffix, drawing, form, options)
        except FormatError as error:
            # its traceback would hold all that was read until a full collection, 4 MB a sheet
            large.append((form, error.with_traceback(None)))
            continue
        files.append(File(name + form.suffix, form.key, data, True))
        if told is None and form.tells_folds(options):
            told = name + form.suffix, form, reading
    return Drawn(files, large, told)


def _strap_files(
    made: Draft, name: str, keys: Sequence[str], options: Options, findings: list[Finding]
) -> list[File]:
    """Return the cut files of straps that are strips of film; too long ones are told."""
    drawing = strap_drawing(made.support, made.pattern.facts)
    if drawing is None:
        return []
    files, large, _ = drawings(drawing, name + STRAPS, keys, options)
    findings += [Finding("format", form.key, f"straps not made: {why}") for form, why in large]
    return [replace(file, format=f"straps-{file.format}") for file in files]


def _strap_passes(made: Draft, name: str, cutter: Cutter, order: Order) -> tuple[File, ...]:
    """Return the passes of straps that are strips of film, for one cutter."""
    from cutfiles.machine.plan import plan

    drawing = strap_drawing(made.support, made.pattern.facts)
    if drawing is None:
        return ()
    planned = plan(drawing, cutter, order.lot)
    return _passes(planned, name + STRAPS) + plan_cards(planned, name + STRAPS, order.paper)


def plan_cards(planned: CutPlan | None, name: str, paper: "PaperName | None") -> tuple[File, ...]:
    """Return the printed cards of what a cutter does; none without one, or without paper."""
    if planned is None or paper is None:
        return ()
    return tuple(
        File(name + card.suffix, card.key, card.of_plan(planned, name, paper), None)
        for card in CARDS.values()
        if card.of_plan is not None
    )


def _pictures(checked: "FoldedFile", name: str, png: bool, machine: Machine) -> list[File]:
    from cutfiles.report.pages.folded_page import folded_page
    from cutfiles.report.pictures.flat import flat_picture
    from cutfiles.report.pictures.folded import solid_picture
    from cutfiles.report.pictures.standing import standing_picture

    made = checked.draft
    pictures: dict[PictureKind, bytes] = {
        "standing": standing_picture(made.support, made.verdict),
        "flat": flat_picture(made.pattern, made.support, made.verdict, machine),
        "folded": solid_picture(checked),
    }
    files = [File(f"{name}.{kind}.svg", kind, data, None) for kind, data in pictures.items()]
    files.append(File(name + FOLDED_PAGE, "folded-page", folded_page(checked), None))
    if png:
        from cutfiles.report.pictures.png import png_from_svg

        files += [
            File(f"{name}.{kind}.png", kind, png_from_svg(data), None)
            for kind, data in pictures.items()
        ]
    return files


def make_cards(
    slip: Slip, kinds: Sequence[str] = (), order: Order | None = None, **changes: Any
) -> Made:
    """Return a support with its printed cards: bench card, end-view card, template, labels.

    Args:
        slip: what was measured and chosen.
        kinds: which of the table of cards, by their keys; without them all.
        order: how they are made; without one, as usual.
        changes: what of the order is otherwise, by its names: ``paper="Letter"``.

    Raises:
        DesignError: no cradle follows from the slip, or its film may not be cut with a laser.
        SlipError: the slip raises questions, and they count as refusals.
        ValueError: there is no such card.

    """
    order = ordered(order, changes)
    made, paper = drafted(slip, order), order.paper or "A4"
    for kind in kinds:
        if kind not in CARDS:
            raise ValueError(f"{kind!r} is no card; there are {', '.join(CARDS)}")
    cards = [CARDS[kind] for kind in kinds or CARDS]
    of_plan = [card.key for card in cards if card.of_plan is not None]
    if kinds and of_plan and order.cutter is None:
        raise FormatError(
            f"the card {', '.join(of_plan)} without a cutter",
            "it shows what one machine does",
            "name the cutter too",
            slip.source,
        )
    files = [file for card in cards for file in _card(made, card, paper, order.kind)]
    if of_plan and order.cutter is not None:
        from cutfiles.machine.plan import plan

        planned = plan(made.drawing, order.cutter, order.lot)
        files += plan_cards(planned, safe_name(slip.book.number), paper)
    # without the plan: passes that were made lie there still
    return Made(made, tuple(files), made.findings, machine=order.kind)


def _card(made: Draft, card: Card, paper: "PaperName", machine: Machine) -> list[File]:
    """Return a printed card, and where it is cut as well the file it is cut from, verified."""
    name = safe_name(made.slip.book.number)
    files: list[File] = []
    if card.page is None:
        return files
    if card.drawing is not None:
        cut, form = name + card.cut_suffix, FORMATS[MAIN]
        data = written(cut, card.drawing(made), form, Options()).data
        files.append(File(cut, f"{card.key}-{form.key}", data, True))
    return [*files, File(name + card.suffix, card.key, card.page(made, paper, machine), None)]
