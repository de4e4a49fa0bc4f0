"""A list of books as it is kept, read to slips, with a ledger of what was read otherwise.

In order: grid, cells, headers, rows, ledger.
"""
