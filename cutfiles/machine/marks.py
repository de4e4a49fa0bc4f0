"""Marks to measure: the table that comes with a plan, and what people write into it.

Places stand in it as the machine counts them: along its axes, from its origin, in what it shows.
"""

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import field, replace
from typing import Any, get_args

from cutfiles.dataclass import dataclass
from cutfiles.errors import FileError, ReadingError, shown
from cutfiles.machine.cutter import Bed, Corner, Shows, Toward
from cutfiles.machine.lying import NEEDED_MARKS, STEPS
from cutfiles.machine.passes import CutPlan, Mark, Pass
from cutfiles.machine.place import SEEN, Axes, machine_point, seen_point
from cutfiles.plane.shapes import Point
from cutfiles.units import read_length

COLUMNS = ("pass", "mark", "nominal x", "nominal y", "x", "y", "unit", "x axis", "y axis", "origin")
_WORDS: dict[str, tuple[str, ...]] = {
    "unit": get_args(Shows),
    "x axis": get_args(Toward),
    "y axis": get_args(Toward),
    "origin": get_args(Corner),
}
"""What may stand in the columns that say how places are counted; empty cells: the profile."""
_SAME = 0.02
"""Nominal places further from the plan's, mm, are those of another plan."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """The marks measured for one pass.

    Attributes:
        places: mark to where it was found, mm, on the pass's sheet as the operator sees it.
        axes: by which the machine's places were read.
        unit: in which they were read.

    """

    places: Mapping[str, Point] = field(default_factory=dict)
    axes: Axes = SEEN
    unit: Shows = "mm"


def to_measure(plan: CutPlan) -> tuple[Pass, ...]:
    """Return the passes before which marks can be measured: the first one makes them."""
    return tuple(one for one in plan.passes[1:] if len(one.marks) >= NEEDED_MARKS)


def marks_table(plan: CutPlan) -> bytes:
    """Return the table of marks to measure, as CSV; the same plan gives the same bytes."""
    bed, out = plan.cutter.bed, io.StringIO()
    rows = csv.writer(out, lineterminator="\n")
    rows.writerow(COLUMNS)
    for one in to_measure(plan):
        for mark in one.marks:
            counted = (bed.shows, bed.x_axis, bed.y_axis, bed.origin)
            rows.writerow((one.name, mark.name, *shown_place(mark, bed), "", "", *counted))
    return out.getvalue().encode()


def shown_place(mark: Mark, bed: Bed) -> tuple[str, str]:
    """Return what a machine shows where its tool stands over a mark that lies as planned."""
    x, y = machine_point(mark.at, bed)
    return _shown(x, bed.shows), _shown(y, bed.shows)


def filled_table(one: Pass, found: Mapping[str, tuple[str, str]]) -> str:
    """Return a table of the marks found for one pass, as CSV: mark to x and y, as written.

    It counts along the axes and in the unit of the profile.
    """
    out = io.StringIO()
    rows = csv.writer(out, lineterminator="\n")
    rows.writerow(("pass", "mark", "x", "y"))
    rows.writerows((one.name, mark, x, y) for mark, (x, y) in found.items())
    return out.getvalue()


def _shown(mm: float, unit: Shows) -> str:
    digits = {"mm": 2, "cm": 3, "in": 4, "0.025 mm": 0}[unit]
    return f"{round(mm / STEPS[unit], digits) + 0.0:.{digits}f}"


def read_marks(text: str, plan: CutPlan, source: str) -> dict[str, Measured]:
    """Return for each pass the marks that were measured, from a table of marks.

    Columns mark, x and y are needed; without one for the pass, it is the first with the other
    face up. A number with a unit of its own counts in that; a row without x and y is passed over.

    Args:
        text: of the CSV, with commas, semicolons or tabs.
        plan: what the marks are of.
        source: how messages call the table.

    Raises:
        FileError: there are no such columns, a cell cannot be read, or the table is of another
            plan; row and column are told.

    """
    found: dict[str, Measured] = {}
    for number, cells in _rows(text, source):
        place = f"{source}, row {number}"
        if not (cells.get("x") or cells.get("y")):
            continue
        one, name = _pass_of(cells, plan, place), cells.get("mark", "")
        bed = _bed_of(cells, plan.cutter.bed, place)
        so_far = found.get(one.name, Measured(axes=Axes(bed.x_axis, bed.y_axis), unit=bed.shows))
        if name in so_far.places:
            raise FileError(
                f'"{name}" a second time', "each mark stands once", "take one of the two out", place
            )
        _require_same(cells, one, name, plan.cutter.bed, place)
        x, y = (_length(cells.get(c, ""), bed.shows, f"{place}, mark {name}") for c in ("x", "y"))
        places = {**so_far.places, name: seen_point((x, y), bed)}
        found[one.name] = replace(so_far, places=places)
    if not found:
        raise FileError(
            "no measured place",
            "at least three marks of a pass are measured, in the columns x and y",
            "write down where the machine finds them",
            source,
        )
    return found


def _rows(text: str, source: str) -> list[tuple[int, dict[str, str]]]:
    """Return the rows under the head, by the names of their columns."""
    text = text.lstrip("\ufeff")
    first = text.partition("\n")[0]
    delimiter = next((sign for sign in ";\t" if sign in first), ",")
    rows = list(csv.reader(io.StringIO(text), delimiter=delimiter))
    head = [cell.strip().lower().replace("_", " ") for cell in rows[0]] if rows else []
    if not {"mark", "x", "y"} <= set(head):
        raise FileError(
            f"the columns {shown(', '.join(head))}",
            "measured marks have mark, x and y",
            "write them in the first row",
            source,
        )
    return [
        (number, {name: cell.strip() for name, cell in zip(head, row, strict=False)})
        for number, row in enumerate(rows[1:], 2)
    ]


def _pass_of(cells: Mapping[str, str], plan: CutPlan, place: str) -> Pass:
    """Return the pass of a row."""
    called = cells.get("pass", "")
    if not called:
        other = [one for one in plan.passes if one.key != plan.passes[0].key]
        return (other or plan.passes)[0]
    for one in plan.passes:
        if one.name == called:
            return one
    known = ", ".join(one.name for one in plan.passes)
    raise FileError(f"a pass {shown(called)}", f"the plan has {known}", "correct the row", place)


def _bed_of(cells: Mapping[str, str], bed: Bed, place: str) -> Bed:
    """Return the bed with the unit, axes and origin that a row says."""
    said: dict[str, Any] = {}
    for column, words in _WORDS.items():
        word = cells.get(column, "").lower()
        if word and word not in words:
            raise FileError(
                f"{shown(word)} as {column}",
                f"one of {', '.join(words)}",
                "correct the row, or leave the cell empty: then the profile says it",
                place,
            )
        said[{"unit": "shows"}.get(column, column.replace(" ", "_"))] = word
    bed = replace(bed, **{name: word for name, word in said.items() if word})
    if (bed.x_axis in ("right", "left")) == (bed.y_axis in ("right", "left")):
        raise FileError(
            f"axes {Axes(bed.x_axis, bed.y_axis).text}",
            "x and y run across one another",
            "look at the machine which way its numbers grow, and correct the row",
            place,
        )
    return bed


def _require_same(cells: Mapping[str, str], one: Pass, name: str, bed: Bed, place: str) -> None:
    """Refuse a row that was written for another plan: its nominal place is not this plan's."""
    mark: Mark | None = next((mark for mark in one.marks if mark.name == name), None)
    if mark is None:
        return  # an unknown name is told when the pass is aligned
    for column, part in zip(("nominal x", "nominal y"), machine_point(mark.at, bed), strict=True):
        try:
            said = _length(cells.get(column, ""), bed.shows, place)
        except FileError:
            continue  # nobody measured it, and a spreadsheet may have written it anew
        if abs(said - part) > _SAME:
            raise FileError(
                f"{name} with {column} {shown(cells[column])}",
                f"this plan has it at {_shown(part, bed.shows)}",
                "measure by the table that was written with this plan",
                place,
            )


def _length(text: str, unit: Shows, place: str) -> float:
    """Return a place as people write it, in mm; it may lie before the origin."""
    bare = text.lstrip("-−+ ")
    sign = -1.0 if text[:1] in ("-", "−") else 1.0
    try:
        if unit == "0.025 mm":
            plain = not any(c.isalpha() or c in "\"'" for c in bare)
            return sign * read_length(bare, "mm") * (STEPS[unit] if plain else 1.0)
        return sign * read_length(bare, unit)
    except ReadingError as error:
        fault = error.fault
        raise FileError(fault.found, fault.needed, fault.remedy, place) from None


def measured_of(found: Mapping[str, Measured], plan: CutPlan) -> Sequence[tuple[Pass, Measured]]:
    """Return the passes that were measured, in the order of the work."""
    return [(one, found[one.name]) for one in plan.passes if one.name in found]
