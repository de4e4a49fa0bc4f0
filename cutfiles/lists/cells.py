"""How one cell of a list is read where it does not stand as a slip would have it.

Each rule takes a text and returns what it reads, or nothing where it does not apply; what changed
and by which rule goes into the ledger. A cell nobody can know the meaning of is refused.
"""

import re
from typing import NamedTuple

from cutfiles.lists.grid import Cell

BLANK = frozenset(
    (
        "tbc",
        "tba",
        "tbd",
        "tbm",
        "n/a",
        "na",
        "n.a.",
        "none",
        "unknown",
        "?",
        "??",
        "-",
        "--",
        "—",
        "–",
        "…",
        "...",
        "x",
        "to follow",
        "not measured",
        "to be confirmed",
        "to be measured",
    )
)
DITTO = frozenset(
    (
        "dto.",
        "dto",
        "ditto",
        "do.",
        '"',
        "''",
        "”",
        "“",
        '-"-',
        "-„-",
        "„",
        "id.",
        "idem",
        "same",
        "as above",
        "dito",
        "desgl.",
        "ibid.",
        "ibid",
        "ídem",
    )
)
_MOJIBAKE = re.compile("[\u00c2-\u00f4][\u0080-\u00bf\u0152-\u2122]")
_LIMIT = re.compile(
    r"^\s*(?:[<>≤≥]|(?:max\.?|min\.?|up to|at most|at least|no more than|under|over|höchstens|"
    r"maximal|mindestens|bis|unter|über|au plus|au moins|jusqu'à|hasta|máx\.?)\s)",
    re.IGNORECASE,
)
_RANGE = re.compile(r"^\s*\d+(?:[.,]\d+)?\s*(?:-|–|to)\s*\d+(?:[.,]\d+)?\s*\D*$")
_MONTHS = "jan feb mar apr may jun jul aug sep oct nov dec"
_DATE = re.compile(
    rf"^\s*(?:\d{{1,2}}[-. /](?:{_MONTHS.replace(' ', '|')})[a-z]*|"
    rf"(?:{_MONTHS.replace(' ', '|')})[a-z]*[-. /]\d{{1,4}}|"
    r"\d{4}-\d\d-\d\d(?: .*)?|\d{1,2}[./]\d{1,2}[./]\d{2,4})\s*$",
    re.IGNORECASE,
)
_WORDS_AFTER = re.compile(r"^(?P<measure>[^,;]*\d[^,;]*?)\s*[,;]\s+(?P<words>[^\d].*)$")
_SET = re.compile(r"\d\s?\(?[a-h]\s?(?:[-–—]|to|bis|&|\+|,)\s?[b-z]\)?\s*$", re.IGNORECASE)
_BROKEN = re.compile(r"^#(?:N/A|REF!|DIV/0!|VALUE!|NAME\?|NUM!|NULL!|#+)$")
_CLOSED = re.compile(
    r"\b(?:closed|shut|geschlossen|ferm[ée]e?|cerrad[oa]|fechad[oa]|chius[oa])\b", re.IGNORECASE
)
_COPIES = re.compile(r"\b(\d{1,2})\s*copies\b", re.IGNORECASE)
_FRACTION = re.compile(
    r"^(?:(?:\d+(?:\s*-\s*|\s+)?)?\d+\s*/\s*(?:2|4|8|16|32|64)|"
    r"\d*\s*[¼½¾⅛⅜⅝⅞])$"
)
_BARE = re.compile(r"^[\d\s.,/¼½¾⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞-]*\d*[\d¼½¾⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞]$")
_INCHES = re.compile(
    r"(?:\bin\b\.?|inch|[\"”“″]|''|\bft\b|foot|feet|zoll|pouces?|pulgadas?)", re.IGNORECASE
)
_METRIC = re.compile(r"\d\s*(?:mm|cm|m)\b", re.IGNORECASE)


class Change(NamedTuple):
    """One cell read differently from how it stood.

    Attributes:
        row: of the list, from 1 as in a spreadsheet.
        column: its header.
        found: the text that stood there.
        read: the text it was read as.
        rule: which rule read it so.
        worksheet: which one, where a list has several.

    """

    row: int
    column: str
    found: str
    read: str
    rule: str
    worksheet: str = ""


class Odd(NamedTuple):
    """A cell whose meaning cannot be known: why, and what to do."""

    needed: str
    remedy: str


def repaired(text: str) -> str:
    """Return a text with letters that went through the wrong code page put right.

    >>> repaired("list â€“ final")
    'list – final'
    """
    if not _MOJIBAKE.search(text):
        return text
    try:
        return text.encode("cp1252").decode("utf-8")
    except UnicodeError:
        return text


def is_blank(text: str) -> bool:
    """Whether a text only holds a place: "tbc", "n/a", "?"."""
    return text.strip().casefold() in BLANK


def is_ditto(text: str) -> bool:
    """Whether a text stands for the one above it."""
    return text.strip().casefold() in DITTO


def unguarded(text: str) -> str:
    """Return a text without the sign that keeps it from running as a formula.

    >>> unguarded("'=B4"), unguarded("'tis")
    ('=B4', "'tis")
    """
    return text[1:] if re.match(r"'+[=+\-@\t\r]", text) else text


def guarded(text: str) -> str:
    """Return a text that no spreadsheet runs as a formula.

    >>> guarded("=B4"), guarded("plain")
    ("'=B4", 'plain')
    """
    return "'" + text if re.match(r"'*[=+\-@\t\r]", text) else text


def odd_cell(cell: Cell) -> Odd | None:
    """Return why a cell of any kind cannot be known, or None."""
    if _BROKEN.match(cell.text):
        return Odd("a value; a spreadsheet's formula has failed", "correct it in the spreadsheet")
    return None


def odd_measure(cell: Cell, kind: str) -> Odd | None:
    """Return why a measure (length, weight or angle) cannot be known, or None."""
    text = cell.text
    if cell.kind == "date" or _DATE.match(text):
        return Odd(
            "a measure; a spreadsheet has turned it into a date",
            "measure again and write it with its unit, or put ' before it",
        )
    if _LIMIT.match(text):
        return Odd("a measure, not a limit", "measure it and write the number")
    if "?" in text:
        return Odd("a measure that is certain", "measure it and leave out the question mark")
    if kind == "angle" and _RANGE.match(text):
        return Odd("one angle, not a range", "write the angle it opens to by itself")
    if re.fullmatch(r"\s*[\d.]+[eE][+-]?\d+\s*", text):
        return Odd("a measure; a spreadsheet may have made this number", "measure it again")
    return None


def odd_opening(cell: Cell) -> Odd | None:
    """Return why the place a book is open at cannot be known, or None."""
    if cell.kind == "date" or _DATE.match(cell.text):
        return Odd(
            "the page shown; a spreadsheet has turned it into a date",
            'write the page as text, as in "p. 3-4"',
        )
    return None


def odd_number(cell: Cell) -> Odd | None:
    """Return why the number of a book cannot be known, or None.

    >>> odd_number(Cell("2019.12.3a-c", "text")).needed
    'one book a row: this numbers several'
    >>> odd_number(Cell("MS 12-14", "text"))
    """
    if _SET.search(cell.text):
        return Odd(
            "one book a row: this numbers several",
            "write a row for each, or the number of the one that is shown",
        )
    return None


def measure_and_words(text: str) -> tuple[str, str]:
    """Return a measure and the words that follow it.

    >>> measure_and_words("about 125, don't force")
    ('about 125', "don't force")
    """
    match = _WORDS_AFTER.match(text.strip())
    return (match["measure"], match["words"]) if match else (text, "")


def is_bare(text: str) -> bool:
    """Whether a measure is a number without a unit.

    >>> is_bare("5 1/4"), is_bare("1½"), is_bare("187 mm")
    (True, True, False)
    """
    return bool(_BARE.match(text.strip()))


def is_bare_fraction(text: str) -> bool:
    """Whether a measure is a number with a fraction as inches have it, and no unit."""
    return bool(_FRACTION.match(text.strip()))


def says_inches(text: str) -> bool:
    """Whether a measure states inches or feet."""
    return bool(_INCHES.search(text))


def says_metric(text: str) -> bool:
    """Whether a measure states a metric unit."""
    return bool(_METRIC.search(text))


def copies_in(note: str) -> int:
    """Return how many copies a note asks for, 0 where it says nothing.

    >>> copies_in("on loan, 2 copies")
    2
    """
    match = _COPIES.search(note)
    return int(match[1]) if match else 0


def is_closed(opening: str) -> bool:
    """Whether the book is shown closed: not a cradle."""
    return bool(_CLOSED.search(opening))
