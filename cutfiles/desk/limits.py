"""What the desk takes: bytes, fields, seconds. More is refused in words, and the rest goes on."""

FORM_BYTES = 256 * 1024
"""Of a form without files."""
UPLOAD_BYTES = 32 * 1024 * 1024
"""Of a form with a file; lists and drawings have limits of their own, in what reads them."""
FIELDS = 400
"""Fields in one form."""
FILES = 4
"""Files in one form."""
HEAD_SECONDS = 10.0
"""So long may a client take over a request's head; then the line is dropped."""
BODY_SECONDS = 60.0
"""So long may it take over the body."""
DRAIN_SECONDS = 5.0
"""So long is what nobody reads of a refused body let go by before the answer."""
ANSWER_SECONDS = 900.0
"""So long may a request last in all, its answer read."""
CONNECTIONS = 64
"""So many clients at once; further ones are told to wait."""
QUICK_SECONDS = 20.0
"""So long may a live answer take: far more than any does."""
WORK_SECONDS = 300.0
"""So long may a work take that a page waits for."""
WAITING = 12
"""So many works may wait for their turn; the next one is refused."""
GONE_SECONDS = 120.0
"""So long after its last page was closed the desk ends."""
SILENT_SECONDS = 12 * 3600.0
"""A page that was not heard of for so long counts as closed, though it never said so."""
MOST_LISTS = 24
"""Lists open at once; the one that was left alone longest makes room for a new one."""
LISTS_BYTES = 128 * 1024 * 1024
"""Of all their files together."""
KEEP_SECONDS = 1.0
"""So often the books that are not saved are kept on the disk, where they changed."""
STEPS = 100
"""Steps that can be taken back."""
ASKED = 240
"""Cells asked about on one page; the rest follow when these are answered."""
ASKED_EACH = 60
"""Cells asked about for one cause."""
COLUMNS_ASKED = 60
"""Columns of a list that a page shows."""
CHANGES_SHOWN = 200
"""Lines of a list's ledger that a page shows; the whole is kept with an exhibit."""
BOOKS_SHOWN = 500
"""Rows of a list that a page shows as they were read."""
FILES_SHOWN = 200
"""Files or folders of the desk's folder that a page offers."""
