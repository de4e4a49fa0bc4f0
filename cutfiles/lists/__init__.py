"""A list of books as it is kept, read to slips, with a ledger of what was read otherwise.

In order: wording, grid, cells, headers, rows, ledger.
"""
