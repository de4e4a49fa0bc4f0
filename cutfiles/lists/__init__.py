"""A list of books as it is kept, read to slips, with a ledger of what was read otherwise.

In order: wording, limits, extent, grid, cells, names, headers, mapping,
answers, sizes, notes, rows, scale, causes, ledger, spreadsheet,
rounds.
"""
