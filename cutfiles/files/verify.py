"""Compares a file with the drawing it should hold: count, role, closedness, every end point.

What was damaged is named: scaled, mirrored, moved, missing, doubled, on the wrong layer, closed.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import NamedTuple

from cutfiles.errors import DifferenceError, shown
from cutfiles.files.formats import Format, Options, write_drawing
from cutfiles.files.pairs import (
    Difference,
    Wanted,
    all_paired,
    box_read,
    in_order,
    matched,
    place_told,
    tell_lines,
    unpaired,
)
from cutfiles.files.readers.reading import Place, Reading, ReadPath
from cutfiles.files.sequence import tell_order
from cutfiles.film.drawing import Drawing
from cutfiles.pattern.facts import PROGRAM
from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.measure import box_of
from cutfiles.plane.shapes import Box, open_path
from cutfiles.words.scales import scale_told

_TURNS = (
    (1, 1, ""),
    (-1, 1, "mirrored left to right"),
    (1, -1, "mirrored head to tail"),
    (-1, -1, "turned by 180°"),
)
"""How a file may lie as a whole: its sense across and up, and what that is called."""


def compare(
    drawing: Drawing, data: bytes, form: Format, options: Options
) -> tuple[Difference, ...]:
    """Return how a file differs from the drawing it should hold; nothing where it does not.

    Raises:
        FileError: the file cannot be read as this format.

    """
    return differences(drawing, form.read(data), form, options)


def differences(
    drawing: Drawing, reading: Reading, form: Format, options: Options
) -> tuple[Difference, ...]:
    """Return how what a file states differs from the drawing; nothing where it does not."""
    prepared = form.prepared(drawing)
    if (other := of_another(prepared, reading.facts)) is not None:
        return (other,)
    wanted = _wanted(prepared, form, options)
    if (many := _too_many(wanted, reading)) is not None:
        return (many,)
    lines = _tell_lines(wanted, reading, form, options)
    stated = _statements(prepared, reading, form, options)
    return (*stated, *_apart(wanted, reading), *lines)


def of_another(drawing: Drawing, facts: Mapping[str, str]) -> Difference | None:
    """Return what is told of a file that states another number; its lines are another support's."""
    meant, stated = dict(drawing.facts).get("number"), facts.get("number")
    if meant is None or stated is None or stated == meant:
        return None
    said = f"this is the file of {shown(stated)}; the slip is of {shown(meant)}"
    return Difference("", "", said)


def _tell_lines(
    wanted: list[Wanted], reading: Reading, form: Format, options: Options
) -> Iterable[Difference]:
    """Return what of the lines of a file differs from the strokes it should hold."""
    ordered = sorted(wanted, key=lambda item: form.order(item.stroke, options))
    if in_order(ordered, reading.paths, form):
        return ()
    found = tuple(matched(wanted, reading.paths, form))
    left = unpaired(wanted, reading.paths, found)
    if not any(left):
        return tell_order(wanted, found, form, options)
    whole = _whole(wanted, reading, form)
    return [whole] if whole else tell_lines(wanted, left, form)


def _too_many(wanted: list[Wanted], reading: Reading) -> Difference | None:
    """Return what is told of a file with so much more in it that its lines are not told singly."""
    meant = sum(len(item.path.points) for item in wanted)
    found = sum(len(path.points) for path in reading.paths)
    if len(reading.paths) > 4 * len(wanted) + 900:
        return Difference("", "file", f"holds {len(reading.paths):,} lines, not {len(wanted):,}")
    if found > 40 * meant + 10_000:  # an arc of the pattern may be a hundred short lines
        return Difference("", "file", f"holds {found:,} places on lines, not about {meant:,}")
    return None


def whole_difference(
    drawing: Drawing, reading: Reading, form: Format, options: Options
) -> Difference | None:
    """Return what happened to a file as a whole: scaled, mirrored, turned; None if nothing did."""
    wanted = _wanted(form.prepared(drawing), form, options)
    if (many := _too_many(wanted, reading)) is not None:
        return many
    if all_paired(wanted, reading.paths, form):
        return None
    found = _whole(wanted, reading, form)
    return None if found is None or found.moved else found


def _wanted(prepared: Drawing, form: Format, options: Options) -> list[Wanted]:
    return [
        Wanted(layer, stroke)
        for stroke in prepared.strokes
        if (layer := form.layer(stroke, options))
    ]


class Written(NamedTuple):
    """A file as it was written, and what it states, read back."""

    data: bytes
    reading: Reading


def written(name: str, drawing: Drawing, form: Format, options: Options) -> Written:
    """Return a drawing in a format, read back and compared: nothing is delivered unread.

    Args:
        name: of the file, for messages.
        drawing: what to write.
        form: the format.
        options: what differs from cutter to cutter.

    Raises:
        FormatError: the format does not hold it.
        DifferenceError: it did not read back as it was meant.

    """
    prepared = form.prepared(drawing)  # once for writing and comparing
    data = write_drawing(prepared, form, options)
    reading: Reading = form.read(data)
    require_same(name, prepared, reading, form, options)
    return Written(data, reading)


def require_same(
    name: str, drawing: Drawing, reading: Reading, form: Format, options: Options
) -> None:
    """Raise where a file is not what it should be.

    Raises:
        DifferenceError: names file, layer, place and size of up to five differences.

    """
    found = differences(drawing, reading, form, options)
    if found:
        shown = "; ".join(str(difference) for difference in found[:5])
        more = f"; and {len(found) - 5} more" if len(found) > 5 else ""
        raise DifferenceError(
            shown + more,
            "the file must hold the pattern and nothing else",
            "do not cut it; make it again from its slip",
            name,
        )


# -- the whole file -----------------------------------------------------------------------------


def _statements(
    drawing: Drawing, reading: Reading, form: Format, options: Options
) -> Iterator[Difference]:
    """Size, facts, texts, processing steps and colours the file states."""
    if form.size:
        width, height = reading.size or (0.0, 0.0)
        if max(abs(width - drawing.width), abs(height - drawing.height)) > 2 * form.step:
            yield Difference(
                "",
                "drawing",
                f"is {width:.3f} × {height:.3f} mm, "
                f"should be {drawing.width:.3f} × {drawing.height:.3f} mm",
            )
    for name, value in drawing.facts:
        stated = reading.facts.get(name)
        if name != PROGRAM and stated != value:
            said = "is not stated" if stated is None else f'says "{stated}"'
            yield Difference("", f"statement {name}", f'{said}, should say "{value}"')
    if form.text == "kept":
        texts = Counter(text for _, text in reading.texts)
        wanted = Counter(note.text for note in drawing.notes)
        for text in wanted - texts:
            yield Difference("guide", f'text "{text}"', "is missing")
        for text in texts - wanted:
            yield Difference("guide", f'text "{text}"', "is not in the pattern")
    for layer, step in form.steps(drawing, options).items():
        stated_step = reading.steps.get(layer)
        if stated_step != step:
            said = "/".join(stated_step or ("none",))
            yield Difference(layer, "processing step", f"is {said}, should be {'/'.join(step)}")
    yield from _looks(drawing, reading, form, options)
    for name, mode in (form.modes(options) if form.modes else {}).items():
        found = reading.modes.get(name, "none")
        if found != mode:
            yield Difference("", name, f"is {found}, should be {mode}")


def _looks(
    drawing: Drawing, reading: Reading, form: Format, options: Options
) -> Iterator[Difference]:
    """Colours and kinds of line: a machine may pick its tool by them, or cut gaps."""
    told = set()
    for role in dict.fromkeys(stroke.role for stroke in drawing.strokes):
        layer, colour = form.layer(_any_stroke(role), options), form.colour(role, options)
        found = reading.colours.get(layer, "none")
        if colour and layer not in told and found.lower() != colour.lower():
            yield Difference(layer, "colour", f"is {found}, should be {colour}")
        told.add(layer)
    for path in reading.paths:
        if not (path.colour or path.dashed):
            continue
        place = f"a line that begins near {place_told(path.points[0])}"
        if path.colour:
            yield Difference(path.layer, place, f"is coloured {path.colour}, unlike its layer")
        if path.dashed:
            yield Difference(path.layer, place, "is drawn with gaps, should be whole")


def _apart(wanted: Iterable[Wanted], reading: Reading) -> Iterator[Difference]:
    """Guides must be left out by a program that takes all it prints; nothing else may be."""
    if reading.apart is None:
        return
    guides = {item.layer for item in wanted if item.stroke.role is Role.GUIDE}
    work = {item.layer for item in wanted if item.stroke.role is not Role.GUIDE}
    for layer in sorted(guides - work - reading.apart):
        yield Difference(layer, "layer", "is printed and worked, should be locked or not printed")
    for layer in sorted(work & reading.apart):
        yield Difference(layer, "layer", "is locked, frozen or not printed, should be worked")


def _any_stroke(role: str) -> Stroke:
    return Stroke(Role(role), "any", open_path((0.0, 0.0), (1.0, 0.0)))


def _whole(wanted: list[Wanted], reading: Reading, form: Format) -> Difference | None:
    """Return what happened to the file as a whole, if one thing explains all differences."""
    if not reading.paths:
        return Difference("", "file", "holds no lines")
    meant = box_of(item.path for item in wanted)
    found = box_read(reading.paths)
    if min(meant.width, meant.height, found.width, found.height) <= 0:
        return None
    factor = (found.width / meant.width + found.height / meant.height) / 2
    loose = replace(form, step=form.step * max(1.0, 1 / factor) * 2, curve=form.curve * 2)
    for across, up, name in _TURNS if len(wanted) == len(reading.paths) else ():
        undone = _undone(reading.paths, found, meant, factor, across, up)
        if not all_paired(wanted, undone, loose):
            continue
        said, moved = [name] if name else [], False
        if abs(factor - 1) > 1e-4:
            # a coarse step on a small piece leaves the factor only so sure
            sure = max(1e-3, 2 * form.step / max(found.width, found.height))
            said.append(f"{factor:.4g} times as large as it should be{scale_told(factor, sure)}")
        elif not name:
            dx, dy = found.left - meant.left, found.bottom - meant.bottom
            if max(abs(dx), abs(dy)) <= form.step:
                continue  # the file lies right: single lines are off
            said.append(f"moved by {dx:.3f} mm to the right and {dy:.3f} mm up")
            moved = True
        return Difference("", "whole file", "is " + " and ".join(said), moved)
    known = scale_told(factor, 5e-3)
    if known and abs(found.width * meant.height / (found.height * meant.width) - 1) < 5e-3:
        return Difference("", "whole file", f"is {factor:.4g} times as large{known}, and more")
    return None


def _undone(
    paths: Iterable[ReadPath], found: Box, meant: Box, factor: float, across: int, up: int
) -> list[ReadPath]:
    """Return paths as they were before the file was scaled, mirrored or moved."""
    here, there = found.centre, meant.centre

    def back(place: Place) -> Place:
        return (
            there.x + across * (place[0] - here.x) / factor,
            there.y + up * (place[1] - here.y) / factor,
        )

    return [
        ReadPath(
            path.layer, tuple(map(back, path.points)), tuple(map(back, path.bends)), path.closed
        )
        for path in paths
    ]
