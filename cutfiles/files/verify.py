"""Compares a file with the sheet it should hold: count, role, closedness, every end point.

What was damaged is named: scaled, mirrored, moved, missing, doubled, on the wrong layer, closed.
"""

import math
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from cutfiles.errors import DifferenceError
from cutfiles.files.formats import Format, Options
from cutfiles.files.readers.reading import Place, Reading, ReadPath
from cutfiles.film.drawing import Drawing
from cutfiles.pattern.facts import PROGRAM
from cutfiles.pattern.pattern import Role, Stroke
from cutfiles.plane.measure import (
    box_of,
    distance,
    distance_to_path,
    is_near,
    path_length,
    point_along,
)
from cutfiles.plane.shapes import Box, Path, Segment, open_path

KNOWN_SCALES = {
    25.4: "inches were taken for millimetres",
    1 / 25.4: "millimetres were taken for inches",
    10.0: "centimetres were taken for millimetres",
    0.1: "millimetres were taken for centimetres",
    72 / 25.4: "points were taken for millimetres",
    25.4 / 72: "millimetres were taken for points",
    96 / 25.4: "pixels at 96 an inch were taken for millimetres",
    25.4 / 96: "millimetres were taken for pixels at 96 an inch",
    90 / 25.4: "pixels at 90 an inch were taken for millimetres",
    96 / 72: "96 was taken for 72 an inch",
    72 / 96: "72 was taken for 96 an inch",
    96 / 90: "96 was taken for 90 an inch",
    90 / 96: "90 was taken for 96 an inch",
}


@dataclass(frozen=True, slots=True)
class Difference:
    """One way in which a file is not what it should be.

    Attributes:
        layer: as the file calls it, or empty where it concerns the whole file.
        place: which line, or where, mm on the sheet.
        message: what is different, with its size.
        moved: the whole file lies elsewhere, and nothing else is different.

    """

    layer: str
    place: str
    message: str
    moved: bool = False

    def __str__(self) -> str:
        """Return layer, place and what is different."""
        return ": ".join(part for part in (self.layer, self.place, self.message) if part)


@dataclass(frozen=True, slots=True)
class _Wanted:
    """One stroke the file should hold."""

    layer: str
    stroke: Stroke

    @property
    def path(self) -> Path:
        return self.stroke.path


def compare(sheet: Drawing, data: bytes, form: Format, options: Options) -> tuple[Difference, ...]:
    """Return how a file differs from the sheet it should hold; nothing where it does not.

    Raises:
        FileError: the file cannot be read as this format.

    """
    reading: Reading = form.read(data)
    prepared = form.prepared(sheet)
    wanted = _wanted(prepared, form, options)
    found = list(_lines(wanted, reading.paths, form))
    whole = _whole(wanted, reading, form) if found else None
    lines = [whole] if whole else found
    return (*_statements(prepared, reading, form, options), *lines)


def whole_difference(
    sheet: Drawing, reading: Reading, form: Format, options: Options
) -> Difference | None:
    """Return what happened to a file as a whole: scaled, mirrored, turned; None if nothing did."""
    wanted = _wanted(form.prepared(sheet), form, options)
    if not any(_lines(wanted, reading.paths, form)):
        return None
    found = _whole(wanted, reading, form)
    return None if found is None or found.moved else found


def _wanted(prepared: Drawing, form: Format, options: Options) -> list[_Wanted]:
    return [
        _Wanted(layer, stroke)
        for stroke in prepared.strokes
        if (layer := form.layer(stroke, options))
    ]


def require_same(name: str, sheet: Drawing, data: bytes, form: Format, options: Options) -> None:
    """Raise where a file is not what it should be.

    Raises:
        DifferenceError: names file, layer, place and size of up to five differences.

    """
    differences = compare(sheet, data, form, options)
    if differences:
        shown = "; ".join(str(difference) for difference in differences[:5])
        more = f"; and {len(differences) - 5} more" if len(differences) > 5 else ""
        raise DifferenceError(
            shown + more,
            "the file must hold the pattern and nothing else",
            "do not cut it; make it again from its slip",
            name,
        )


# -- the whole file -----------------------------------------------------------------------------


def _statements(
    sheet: Drawing, reading: Reading, form: Format, options: Options
) -> Iterator[Difference]:
    """Size, facts, texts, processing steps and colours the file states."""
    if form.size:
        width, height = reading.size or (0.0, 0.0)
        if max(abs(width - sheet.width), abs(height - sheet.height)) > 2 * form.step:
            yield Difference(
                "",
                "sheet",
                f"is {width:.3f} × {height:.3f} mm, "
                f"should be {sheet.width:.3f} × {sheet.height:.3f} mm",
            )
    for name, value in sheet.facts:
        stated = reading.facts.get(name)
        if name != PROGRAM and stated != value:
            said = "is not stated" if stated is None else f'says "{stated}"'
            yield Difference("", f"statement {name}", f'{said}, should say "{value}"')
    if form.text == "kept":
        texts = Counter(text for _, text in reading.texts)
        wanted = Counter(note.text for note in sheet.notes)
        for text in wanted - texts:
            yield Difference("guide", f'text "{text}"', "is missing")
        for text in texts - wanted:
            yield Difference("guide", f'text "{text}"', "is not in the pattern")
    for layer, step in form.steps(sheet, options).items():
        stated_step = reading.steps.get(layer)
        if stated_step != step:
            said = "/".join(stated_step or ("none",))
            yield Difference(layer, "processing step", f"is {said}, should be {'/'.join(step)}")
    if form.coloured:
        for role, colour in options.colours.items():
            layer = form.layer(_any_stroke(role), options)
            found = reading.colours.get(layer, "none").upper()
            if found != colour.upper():
                yield Difference(layer, "colour", f"is {found}, should be {colour.upper()}")


def _any_stroke(role: str) -> Stroke:
    return Stroke(Role(role), "any", open_path((0.0, 0.0), (1.0, 0.0)))


def _whole(wanted: list[_Wanted], reading: Reading, form: Format) -> Difference | None:
    """Return what happened to the file as a whole, if one thing explains all differences."""
    if not reading.paths:
        return Difference("", "file", "holds no lines")
    meant = box_of(item.path for item in wanted)
    found = _box(reading.paths)
    if min(meant.width, meant.height, found.width, found.height) <= 0:
        return None
    factor = (found.width / meant.width + found.height / meant.height) / 2
    for across, up, name in (
        (1, 1, ""),
        (-1, 1, "mirrored left to right"),
        (1, -1, "mirrored head to tail"),
        (-1, -1, "turned by 180°"),
    ):
        undone = [_undo(path, found, meant, factor, across, up) for path in reading.paths]
        loose = replace(form, step=form.step * max(1.0, 1 / factor) * 2, curve=form.curve * 2)
        if any(_lines(wanted, undone, loose)):
            continue
        said, moved = [name] if name else [], False
        if abs(factor - 1) > 1e-4:
            # a coarse step on a small piece leaves the factor only so sure
            sure = max(1e-3, 2 * form.step / max(found.width, found.height))
            said.append(f"{factor:.4g} times as large as it should be{_known_scale(factor, sure)}")
        elif not name:
            dx, dy = found.left - meant.left, found.bottom - meant.bottom
            if max(abs(dx), abs(dy)) <= form.step:
                continue  # the file lies right: single lines are off
            said.append(f"moved by {dx:.3f} mm to the right and {dy:.3f} mm up")
            moved = True
        return Difference("", "whole file", "is " + " and ".join(said), moved)
    known = _known_scale(factor, 5e-3)
    if known and abs(found.width * meant.height / (found.height * meant.width) - 1) < 5e-3:
        return Difference("", "whole file", f"is {factor:.4g} times as large{known}, and more")
    return None


def _known_scale(factor: float, within: float) -> str:
    """Return how a file comes to be scaled like this, in brackets, or nothing."""
    return next(
        (f" ({why})" for k, why in KNOWN_SCALES.items() if abs(factor / k - 1) < within), ""
    )


def _undo(path: ReadPath, found: Box, meant: Box, factor: float, across: int, up: int) -> ReadPath:
    """Return a path as it was before the file was scaled, mirrored or moved."""

    def back(place: Place) -> Place:
        return (
            meant.centre.x + across * (place[0] - found.centre.x) / factor,
            meant.centre.y + up * (place[1] - found.centre.y) / factor,
        )

    return ReadPath(
        path.layer, tuple(map(back, path.points)), tuple(map(back, path.middles)), path.closed
    )


def _box(paths: Iterable[ReadPath]) -> Box:
    places = [place for path in paths for place in (*path.points, *path.middles)]
    xs, ys = [x for x, _ in places], [y for _, y in places]
    return Box(min(xs), min(ys), max(xs), max(ys))


# -- line by line -------------------------------------------------------------------------------


def _lines(wanted: list[_Wanted], paths: Iterable[ReadPath], form: Format) -> Iterator[Difference]:
    """Pair what should be there with what is; tell what is left over on either side."""
    missing, extra = _pair(wanted, list(paths), form)
    for item in missing:
        yield _explain(item, extra, form)
    for path in extra:
        twin = any(item.layer == path.layer and _same(item.path, path, form) for item in wanted)
        message = "is doubled" if twin else "is not in the pattern"
        yield Difference(
            path.layer,
            _place(path.points[0]),
            f"a line of {_read_length(path):.2f} mm that begins there {message}",
        )


def _pair(
    wanted: list[_Wanted], paths: list[ReadPath], form: Format
) -> tuple[list[_Wanted], list[ReadPath]]:
    """Return strokes without a path and paths without a stroke, in their order."""
    queues: dict[str, list[ReadPath]] = {}
    for path in paths:
        queues.setdefault(path.layer, []).append(path)
    missing: list[_Wanted] = []
    for item in wanted:
        queue = queues.get(item.layer, [])
        hit = next((i for i, path in enumerate(queue) if _same(item.path, path, form)), None)
        if hit is None:
            missing.append(item)
        else:
            del queue[hit]
    extra = [path for queue in queues.values() for path in queue]
    return missing, extra


def _explain(item: _Wanted, extra: list[ReadPath], form: Format) -> Difference:
    """Say what became of a stroke; takes the path that explains it out of `extra`."""
    name = item.stroke.name
    for path in extra:
        if path.layer != item.layer and _same(item.path, path, form):
            extra.remove(path)
            return Difference(path.layer, name, f"should be on layer {item.layer}")
    near = [path for path in extra if path.layer == item.layer]
    for path in near:
        if path.closed != item.path.closed and _same_places(item.path, path, form):
            extra.remove(path)
            is_, should = ("closed", "open") if path.closed else ("open", "closed")
            return Difference(item.layer, name, f"is {is_}, should be {should}")
    scored = sorted(near, key=lambda path: _apart(item.path, path))
    if scored and (apart := _apart(item.path, scored[0])) < path_length(item.path):
        extra.remove(scored[0])
        return Difference(
            item.layer, name, f"is off by {apart:.3f} mm near {_place(scored[0].points[0])}"
        )
    return Difference(item.layer, f"{name} at {_place(item.path.points[0])}", "is missing")


def _same(path: Path, read: ReadPath, form: Format) -> bool:
    return path.closed == read.closed and _same_places(path, read, form)


def _same_places(path: Path, read: ReadPath, form: Format) -> bool:
    """Whether two paths run through the same places, however a format breaks up their arcs.

    Each vertex of the one is a vertex of the other or lies on it, each middle lies on it, and both
    are equally long, so that nothing is left out or run over twice.
    """
    step = 0.75 * form.step + 1e-9
    curve = 0.75 * form.step + form.curve + 1e-9
    if distance(read.points[0], path.points[0]) > step and not any(
        distance(read.points[0], point) <= step for point in path.points
    ):
        return False
    if len(path.points) == len(read.points) and path.closed == read.closed:
        # broken up as we did: ends meet ends, and an arc is known by its middle
        ends = zip(path.points, read.points, strict=True)
        if all(distance(a, b) <= step for a, b in ends) and all(
            distance(point_along(segment, 0.5), middle) <= step + _bent(segment, form)
            for segment, middle in zip(path.segments(), read.middles, strict=True)
        ):
            return True
    for point in path.points:
        if not any(distance(point, place) <= step for place in read.points):
            return False
    places = (*read.points, *read.middles)
    if not is_near(places, path, curve):
        return False
    slack = 2 * curve * (len(read.points) + 1)
    meant = path_length(path)
    if path.closed != read.closed:
        meant += distance(path.points[0], path.points[-1]) * (1 if read.closed else -1)
    return abs(_read_length(read) - meant) <= slack


def _bent(segment: Segment, form: Format) -> float:
    """Return what the middle of an arc may be off beyond a place of its own, mm.

    Both ends are rounded: the chord turns, and the middle with it, the more the rounder the arc.
    """
    return form.curve + 0.75 * form.step * abs(segment.bulge) if segment.bulge else 0.0


def _apart(path: Path, read: ReadPath) -> float:
    """Return how far the places of one path lie from the other at the most, mm."""
    return max(
        max(distance_to_path(place, path) for place in (*read.points, *read.middles)),
        max(min(distance(point, place) for place in read.points) for point in path.points),
    )


def _read_length(path: ReadPath) -> float:
    """Return a path's length, its curved segments measured as arcs through their middles."""
    ends = [*path.points[1:], path.points[0]] if path.closed else path.points[1:]
    return math.fsum(
        _arc_length(start, middle, end)
        for start, middle, end in zip(path.points, path.middles, ends, strict=False)
    )


def _arc_length(start: Place, middle: Place, end: Place) -> float:
    chord = distance(start, end)
    half = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    rise = distance(middle, half)
    if chord == 0 or rise < 1e-6 * chord:
        return chord
    turn = 4 * math.atan(2 * rise / chord)
    return chord * turn / (2 * math.sin(turn / 2))


def _place(place: Place) -> str:
    return f"({place[0]:.2f}, {place[1]:.2f})"
