"""Spreadsheets written by a library that is not ours, for tests that read them."""

from conftest import outside_module


def save_opendocument(path, sheets):
    """Write an OpenDocument file: the rows of each worksheet, by its name; numbers stay numbers."""
    opendocument = outside_module("odf.opendocument")
    outside_module("python_calamine")
    from odf.table import Table, TableCell, TableRow
    from odf.text import P

    document = opendocument.OpenDocumentSpreadsheet()
    for name, rows in sheets.items():
        table = Table(name=name)
        for line in rows:
            row = TableRow()
            for value in line:
                if isinstance(value, str):
                    cell = TableCell(valuetype="string")
                    cell.addElement(P(text=value))
                else:
                    cell = TableCell(valuetype="float", value=value)
                row.addElement(cell)
            table.addElement(row)
        document.spreadsheet.addElement(table)
    document.save(str(path))
