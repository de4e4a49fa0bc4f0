"""What a slip shows while it is filled in: plain data, worked out in a process of its own.

Two looks: the first while somebody types, the second, which takes a few times as long, once she
stops. Numbers come from where the records of files have theirs.
"""

import math
import os
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from cutfiles.bench.fields import FIELDS
from cutfiles.bench.slip import Slip, slip_from
from cutfiles.desk.remedies import MISSING, in_words, remedy_of
from cutfiles.disk import refusals
from cutfiles.draft import Draft
from cutfiles.errors import CutfilesError, Fault, Place, ReadingError
from cutfiles.findings import Finding
from cutfiles.job.order import Order, drafted
from cutfiles.lengths import Lengths
from cutfiles.report.pictures.standing import standing_picture
from cutfiles.report.text.check import LABELS, check_data
from cutfiles.report.text.made import support_data
from cutfiles.tables.field import Field
from cutfiles.tables.record import nested
from cutfiles.tables.value import read_value
from cutfiles.units import UNITS, Units, read_length
from cutfiles.words.verdict import check_state, check_text, verdict_data

Values = Mapping[str, str]
"""Field paths to texts, as somebody typed them; blank ones are left out."""
BY_PATH = {one.path: one for one in FIELDS}
PLACE = Place(file="slip")


def slip_of(values: Values, order: Order) -> Slip:
    """Return the slip that was filled in.

    Raises:
        SlipError: all its faults.

    """
    # where a table's name was given a value of its own, that is the fault to be told
    sound = {p: text for p, text in values.items() if p.rpartition(".")[0] not in values}
    return slip_from(nested(sound), PLACE, order.films)


def asked(values: Values, order: Order, folder: str) -> tuple[Slip, Order]:
    """Return the slip that was filled in, and the order with the edits that are kept beside it.

    Args:
        values: what was filled in.
        order: how things are made here.
        folder: the desk's, where slips are saved and edits kept; empty for no such edits.

    Raises:
        SlipError: all faults of the slip, or of the kept edits.
        FileError: the folder or the kept edits cannot be read.

    """
    slip = slip_of(values, order)
    if not folder:
        return slip, order
    with refusals.told(folder):
        os.scandir(folder).close()  # one that is gone is named, not taken for one without edits
    from cutfiles.job.edits import kept_beside

    kept = kept_beside(folder, slip.book.number)
    return slip, replace(order, edits={**order.edits, **kept})


def warm() -> None:
    """Load what a look takes, before anybody waits for it."""
    import cutfiles.job.edits  # noqa: F401

    values = {"number": "1", "units": "mm", "height": "203", "width": "133", "spine_width": "34"}
    second_look(values | {"opening_angle": "120"}, Order())


# -- while somebody types --------------------------------------------------------------------------


def first_look(values: Values, order: Order, folder: str = "") -> dict[str, Any]:
    """Return what is read of each field, what is wrong and asked, the picture and the verdict.

    Keys: read {path: words}, said {path: [{kind, text}]}, others [{kind, text}] (what belongs to no
    field that is shown), standing (SVG, or None), state, verdict (or ""), proof.
    """
    found: dict[str, Any] = {"standing": None, "state": None, "verdict": "", "proof": ""}
    said: list[tuple[str, str, str]] = []
    try:
        slip, order = asked(values, order, folder)
        draft = drafted(slip, order)
        found |= _standing(draft)
        if slip.book.number in order.edits:
            said.append(("", "note", "the edits of its drawing that were accepted are in it"))
        said += _findings(draft.findings)
    except CutfilesError as error:
        said += [_fault(fault) for fault in error.faults]
    own: dict[str, list[dict[str, str]]] = {}
    others: list[dict[str, str]] = []
    for path, kind, text in said:
        one = {"kind": kind, "text": text}
        (own.setdefault(path, []) if path in BY_PATH or path in values else others).append(one)
    return {"read": dict(_read_back(values)), "said": own, "others": others, **found}


def _standing(draft: Draft) -> dict[str, Any]:
    verdict = verdict_data(draft.verdict, draft.support)
    return {
        "standing": standing_picture(draft.support, draft.verdict),
        "state": draft.verdict.state,
        "verdict": in_words(verdict["sentence"]),
        "proof": in_words(verdict["proof"]),
        "changes": [in_words(change["message"]) for change in verdict["changes"]],
    }


def _fault(fault: Fault) -> tuple[str, str, str]:
    needed = in_words(fault.needed)
    if fault.key in MISSING:
        return fault.place.path, "missing", needed
    remedy = in_words(remedy_of(fault))
    return fault.place.path, "wrong", f"found {fault.words['found']}; {needed}; {remedy}"


def _findings(findings: tuple[Finding, ...]) -> Iterator[tuple[str, str, str]]:
    for one in findings:
        if one.rule != "strength":  # the verdict says it
            yield one.place, LABELS.get(one.severity, "note"), in_words(one.message)


def _read_back(values: Values) -> Iterator[tuple[str, str]]:
    """Yield how each measure was read, in words."""
    units = next((one for one in UNITS if one == values.get("units")), None)
    for path, text in values.items():
        one = BY_PATH.get(path)
        if one is not None and one.kind in ("length", "weight", "angle"):
            try:
                yield path, read_back(one, text, units)
            except ReadingError:
                continue  # its fault is told


def read_back(one: Field, text: str, units: Units | None) -> str:
    """Return a measure as it was read, its own words before it where they are others.

    Raises:
        ReadingError: it cannot be read.

    >>> read_back(BY_PATH["height"], "5 1/4", "in"), read_back(BY_PATH["height"], "203 mm", None)
    ('5 1/4 in = 133.4 mm', '203 mm')
    >>> read_back(BY_PATH["weight"], "1 lb 6 oz", None)
    '1 lb 6 oz = 624 g'

    """
    number = read_value(one, text, units)
    match one.kind:
        case "length":
            read = Lengths().measured(math.floor(round(number * 10, 6) + 0.5) / 10)
            said = f"{text.strip()} {units}" if _is_bare(text) else text.strip()
        case "weight":
            read, said = f"{number:.0f} g", text.strip()
        case _:
            return f"{number:.1f}".removesuffix(".0") + "°"
    return read if said == read else f"{said} = {read}"


def _is_bare(text: str) -> bool:
    """Whether a length says no unit of its own."""
    try:
        read_length(text)
    except ReadingError as error:
        return error.fault.key == "unit"
    return False


# -- once she stops --------------------------------------------------------------------------------


def second_look(values: Values, order: Order, folder: str = "") -> dict[str, Any] | None:
    """Return the folded view, the piece laid flat, and all that tells why; None without a cradle.

    Keys: folded, flat (SVG), numbers (see `support_data`), check (see `check_data`), checks [{text,
    state}], ways [{words, state, sure, grams, folds, made}].
    """
    from cutfiles.job.make import checked_drawing
    from cutfiles.report.pictures.flat import flat_picture
    from cutfiles.report.pictures.folded import solid_picture

    try:
        draft = drafted(*asked(values, order, folder))
        folded = solid_picture(checked_drawing(draft))
    except CutfilesError:
        return None  # the first look tells it
    verdict = draft.verdict
    return {
        "folded": folded,
        "flat": flat_picture(draft.pattern, draft.support, verdict, order.kind),
        "numbers": support_data(draft),
        "check": check_data(draft, order.kind),
        "checks": [
            {"text": in_words(check_text(check, draft.slip)), "state": check_state(check, verdict)}
            for check in verdict.checks
        ],
    }
