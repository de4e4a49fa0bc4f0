"""Cells of a list as they were answered: read as if it stood there, and told in the ledger."""

from collections.abc import Mapping
from dataclasses import replace

from cutfiles.lists.cells import Change
from cutfiles.lists.grid import EMPTY, Cell, Grid
from cutfiles.lists.headers import CellAt, Column, Header
from cutfiles.lists.names import name_of


def answered(
    grid: Grid, header: Header, cells: Mapping[CellAt, str]
) -> tuple[Grid, Header, list[Change]]:
    """Return a grid with answers in the place of its cells, its header, and what changed.

    An answer about a field that no column holds has a column of its own behind the others.
    """
    own = {(row, path): text for (file, row, path), text in cells.items() if file == grid.name}
    own = {at: text for at, text in own.items() if header.row < at[0] <= len(grid.rows)}
    if not own:
        return grid, header, []
    held = {column.field for column in header.columns}
    added = dict.fromkeys(path for (_, path), text in own.items() if text and path not in held)
    columns = (*header.columns, *(Column(name_of(path), path) for path in added))
    places = {column.field: index for index, column in enumerate(columns) if column.field}
    rows = [list(row) for row in grid.rows]
    changes = []
    for (number, path), text in own.items():
        if path not in places:
            continue  # nothing, about a column that is not there
        row, index = rows[number - 1], places[path]
        row += [EMPTY] * (len(columns) - len(row))
        found = row[index].text
        if found != text:  # a cell answered as it stands stays one: a number, a merged cell
            changes.append(Change(number, columns[index].header, found, text, "answered"))
            row[index] = Cell(text)
    whole = replace(grid, rows=tuple(map(tuple, rows)))
    return whole, replace(header, columns=columns), changes
