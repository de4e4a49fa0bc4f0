"""What a form about a list answers: of its columns, as a mapping says it, and of its cells."""

from collections.abc import Mapping
from dataclasses import replace

from cutfiles.desk.lists import Told
from cutfiles.errors import FileError
from cutfiles.lists.headers import CellAt, ColumnMapping, known_fields
from cutfiles.lists.limits import LONGEST_CELL
from cutfiles.lists.mapping import ORDERS
from cutfiles.units import ANGLE, LENGTH, UNITS, WEIGHT

_UNITS = frozenset((*LENGTH.names, *WEIGHT.names, *ANGLE.names))
_FIELDS = frozenset(known_fields())
Form = Mapping[str, str]


def answered(known: ColumnMapping, told: Told, form: Form) -> ColumnMapping:
    """Return what is known of a list with a form's answers.

    Fields of the form, ``N`` the place of a header in ``told["headers"]``, ``C`` of a cause:
    ``field.N``, ``unit.N``, ``order.N`` (what a column holds), ``bare`` (all other lengths),
    ``header_row``, ``ask.unit.C.M``, ``ask.order.C.M`` (of the cause's columns), ``ask.row.C``
    (a unit behind its cells), ``cell.PART.ROW.FIELD``.

    Raises:
        FileError: an answer that the page's own form does not give.

    """
    columns, units, orders = dict(known.columns), dict(known.units), dict(known.orders)
    for index, column in enumerate(told["headers"]):
        header = column["header"]
        field = _one_of(form, f"field.{index}", {"", *_FIELDS}, column["field"])
        unit = _one_of(form, f"unit.{index}", {"", *_UNITS}, column["unit"])
        order = _one_of(form, f"order.{index}", {"", *ORDERS}, column["order"])
        if field != column["field"]:
            columns[header] = field
        if unit != column["unit"] and unit:
            units[header] = unit
        if order != column["order"] and order:
            orders[header] = ORDERS[order]
    cells = dict(known.cells)
    for number, cause in enumerate(told["causes"]):
        for index, (header, choices) in enumerate(cause["units"]):
            if unit := _one_of(form, f"ask.unit.{number}.{index}", {"", *choices}, ""):
                units[header] = unit
        for index, header in enumerate(cause["orders"]):
            if order := _one_of(form, f"ask.order.{number}.{index}", {"", *ORDERS}, ""):
                orders[header] = ORDERS[order]
        if unit := _one_of(form, f"ask.row.{number}", {"", *UNITS}, ""):
            cells |= {at: f"{text} {unit}" for at, text in cause["row_unit"]}
    cells |= _cells(told, form, taken={*cells} - {*known.cells})
    bare = _one_of(form, "bare", {"", *UNITS}, known.bare or "")
    return replace(
        known,
        columns=columns,
        units=units,
        orders=orders,
        header_row=_row(form.get("header_row", ""), known.header_row),
        bare=next((one for one in UNITS if one == bare), known.bare),
        cells=cells,
    )


def _cells(told: Told, form: Form, taken: set[CellAt]) -> dict[CellAt, str]:
    """Return the answers about cells, but for those that are answered otherwise just now."""
    parts = [name for name, _ in told["parts"]]
    found: dict[CellAt, str] = {}
    for name, text in form.items():
        if not name.startswith("cell."):
            continue
        _, part, row, path = [*name.split(".", 3), "", "", ""][:4]
        if not (_is_small(part) and _is_small(row) and int(part) < len(parts) and path in _FIELDS):
            raise _not_ours(name)
        at = parts[int(part)], int(row), path
        if at not in taken:
            found[at] = " ".join(text.split())[: LONGEST_CELL + 1]
    if form.get("add") and form.get("added"):
        part, row = form.get("part", ""), form.get("row", "")
        if not (_is_small(part) and _is_small(row) and int(part) < len(parts)):
            raise _not_ours("row")
        path = _one_of(form, "added", set(_FIELDS), "")
        found[parts[int(part)], int(row), path] = " ".join(form["add"].split())[:LONGEST_CELL]
    return found


def _one_of(form: Form, name: str, choices: set[str], otherwise: str) -> str:
    text = form.get(name, otherwise)
    if text not in choices:
        raise _not_ours(name)
    return text


def _row(text: str, otherwise: int) -> int:
    return int(text) if _is_small(text) and int(text) else otherwise


def _is_small(text: str) -> bool:
    return text.isascii() and text.isdecimal() and len(text) <= 6


def _not_ours(name: str) -> FileError:
    return FileError(
        f'an answer "{name[:60]}" that this list does not ask for',
        "answers come from the page's own form",
        "go back to the list and answer there",
    )
