"""How large a list of books may be; every limit of this room stands here."""

LARGEST_LIST = 50_000_000
"""A larger file is no list of books, bytes."""
LARGEST_UNPACKED = 500_000_000
"""A spreadsheet that unpacks to more is refused unread, bytes."""
MOST_ROWS = 100_000
MOST_COLUMNS = 400
MOST_CELLS = 10_000_000
"""From the first cell to the last of a worksheet, the empty ones too: they take memory as well."""
LONGEST_CELL = 4_000
"""A longer text is no cell of a list, characters."""
HEADER_WITHIN = 60
"""The header stands in one of the first rows of a list."""
LONGEST_HEADER = 200
"""A longer text is no name of a column, characters."""
LEAST_KNOWN = 3
"""A header has at least as many columns with names we know."""
MOST_COPIES = 99
MOST_NAMED = 12
"""A message about rows that share a number names so many others, and how many more there are."""
