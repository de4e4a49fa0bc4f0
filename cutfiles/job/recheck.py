"""A file checked at a later time: compared with its slip, or folded."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from typing import Any

from cutfiles.bench.slip import Slip
from cutfiles.disk.names import safe_name
from cutfiles.draft import Draft
from cutfiles.errors import FileError, SlipError
from cutfiles.files.fold_check import FoldedFile, check_folded, check_reading
from cutfiles.files.formats import FORMATS, Format
from cutfiles.files.pairs import Difference
from cutfiles.files.readers.reading import Reading
from cutfiles.files.verify import compare, of_another
from cutfiles.film.drawing import Drawing
from cutfiles.film.strips import strap_drawing
from cutfiles.job.names import STRAPS, ending
from cutfiles.job.order import Order, accepted, drafted, ordered
from cutfiles.machine.endings import PASS
from cutfiles.machine.formats import recognised
from cutfiles.machine.options import Options
from cutfiles.pattern.facts import slip_of_facts
from cutfiles.report.printed.cards import CARDS
from cutfiles.support.settle import as_stated
from cutfiles.support.tried import tried_by


def verify_data(
    data: bytes, name: str, slip: Slip, order: Order | None = None, **changes: Any
) -> tuple[Difference, ...]:
    """Return how a file's bytes differ from what its slip asks for; nothing where they do not.

    Args:
        data: the bytes of the file.
        name: of the file; its ending helps to tell the format, and what it should hold: the
            pattern, straps of film, or a card that is cut.
        slip: what the file should hold.
        order: as when it was made; pass files of its cutter are known by their names.
        changes: what of the order is otherwise, by its names.

    Raises:
        FileError: it is in none of our formats, or cannot be read.

    """
    order = ordered(order, changes)
    with naming(name):
        form = format_of(data, name)
        facts = form.read(data).facts
        made = drafted_as(slip, facts, order)
        if form.folded:
            if (other := of_another(made.drawing, facts)) is not None:
                return (other,)
            findings = check_folded(data, name, made, form).check.findings
            stops = [finding for finding in findings if finding.severity == "stop"]
            return tuple(Difference("", stop.place, stop.message) for stop in stops)
        rest = ending(name, safe_name(slip.book.number))
        for card in CARDS.values():
            if card.drawing is not None and rest == card.cut_suffix:
                # it is cut from card, whatever cuts the film
                return compare(card.drawing(made), data, form, Options())
        drawing = _strap_sheet(name, made) if rest.startswith(STRAPS) else made.drawing
        if order.cutter is not None:
            from cutfiles.files.passes import verify_pass
            from cutfiles.machine.plan import plan

            planned = plan(drawing, order.cutter, order.lot)
            if PASS in rest:
                return verify_pass(planned, name, data, name.removesuffix(rest[rest.index(PASS) :]))
            drawing = planned.drawing
        return compare(drawing, data, form, order.drawn)


def fold_data(
    data: bytes, name: str, slip: Slip | None = None, order: Order | None = None, **changes: Any
) -> FoldedFile:
    """Return the fold check of a file: its scores folded, held against its support.

    Args:
        data: the bytes of the file.
        name: of the file; its ending helps to tell the format.
        slip: what it should become; without one, the measures that the file states.
        order: as when it was made.
        changes: what of the order is otherwise, by its names.

    Raises:
        FileError: it is in no format we read, neither states its measures nor comes with a slip,
            or holds no whole support: straps, or one of several passes.
        DesignError: no cradle follows from the measures.

    """
    order = ordered(order, changes)
    with naming(name):
        form = format_of(data, name)
        reading: Reading = form.read(data)
    rest = ending(name, safe_name(slip.book.number if slip else reading.facts.get("number", "")))
    if rest.startswith(STRAPS):
        raise FileError(
            "straps, which do not fold",
            "a file that holds the support's pattern is needed",
            "compare straps with their slip instead",
            name,
            "compare-straps",
        )
    if "coupon" in reading.facts:
        raise FileError(
            "a coupon, which becomes no support",
            "a file that holds a support's pattern is needed",
            "make the coupon again: each of its files is folded then",
            name,
        )
    slip = slip or _slip_of(reading, name)
    made = drafted_as(slip, reading.facts, order)
    if form.folded:
        with naming(name):
            return check_folded(data, name, made, form)
    with naming(name):
        checked = check_reading(reading, name, made, form, order.drawn)
    if PASS in rest and not checked.check.folds:  # one of two passes holds half of the scores
        raise FileError(
            "a pass that does not fold by itself",
            "a file that holds all scores and the outline is needed",
            "compare a pass with its slip and its cutter's profile; fold the whole drawing, the "
            "file without the pass in its name",
            name,
            "compare-pass",
        )
    return checked


def drafted_as(slip: Slip, facts: Mapping[str, str], order: Order) -> Draft:
    """Return the support of a slip; what the slip leaves open is made as a file's facts state.

    Raises:
        SlipError: the slip raises questions, and they count as refusals.
        DesignError: no cradle follows from it, or a kept edit no longer fits.

    """
    if "gauge" in facts and "layers" in facts:
        with suppress(SlipError):
            stated = slip_of_facts(facts, "statements of the file")
            slip = as_stated(accepted(slip, order), stated, tried_by(order.trials))
    return drafted(slip, order)


def _slip_of(reading: Reading, name: str) -> Slip:
    """Return the slip of the measures that a file states."""
    try:
        return slip_of_facts(reading.facts, f"statements of {name}")
    except SlipError:
        raise FileError(
            "a file that does not state the measures it was made from",
            "a slip is needed to tell what it should become",
            "name its slip too",
            name,
            "name-slip",
        ) from None


def _strap_sheet(name: str, made: Draft) -> Drawing:
    """Return the support's straps of film; where it has none a file of straps is refused."""
    drawing = strap_drawing(made.support, made.pattern.facts)
    if drawing is None:
        raise FileError(
            "a file of straps",
            "the support of this slip has no straps of film",
            "do not cut it; name the slip it was made from",
            name,
        )
    return drawing


@contextmanager
def naming(name: str) -> Iterator[None]:
    """Let the refusal of a file say its name; readers see only bytes."""
    try:
        yield
    except FileError as error:
        fault = error.fault
        raise FileError(fault.found, fault.needed, fault.remedy, name, fault.key) from None


def format_of(data: bytes, name: str) -> Format:
    """Return a file's format.

    Raises:
        FileError: it is in none of ours.

    """
    form = recognised(data, name)
    if form is None:
        titles = ", ".join(row.title for row in FORMATS.values())
        raise FileError(
            "a file in none of our formats", f"we read {titles}", "name a cut file", name
        )
    return form
