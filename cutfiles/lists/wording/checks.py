"""Why a wording cannot be taken as the size of one closed book: what is asked, by key."""

import itertools
from collections.abc import Iterator
from typing import NamedTuple

from cutfiles.errors import ReadingError
from cutfiles.lists.wording.clauses import Clause, Flaw, Size
from cutfiles.lists.wording.senses import counts, is_roman, plain_word, senses_of
from cutfiles.units import MM_PER_INCH, read_length


class Ask(NamedTuple):
    """A question about a wording.

    Attributes:
        key: which one it is.
        needed: why it cannot be read.
        remedy: what to do.

    """

    key: str
    needed: str
    remedy: str


_CLOSED = "write height, width and thickness of the closed book"
ASKS = {
    one.key: one
    for one in (
        Ask("nothing", "a size: no number of it stands here", _CLOSED),
        Ask("long", "a size, not a description", _CLOSED),
        Ask(
            "feet", "a size: the mark ' says feet, and inches may be meant", 'write in, or " for it'
        ),
        Ask(
            "each", "the size of one book: this is of each of several, or an average", "measure it"
        ),
        Ask("various", "one size: this says that sizes differ", "measure this one"),
        Ask("folded", "the size of a book: this is of something folded", _CLOSED),
        Ask("held", "the size of the book: this may be of what holds it", _CLOSED),
        Ask(
            "set",
            "the size of one volume: this is a set",
            "write a row a volume, each with its size",
        ),
        Ask("several", "one size: several stand here", "write the one of the closed book"),
        Ask("loose", "the size of a bound book: these are sheets, parts or a score", _CLOSED),
        Ask("accompanied", "the size of the book alone: something goes with it", _CLOSED),
        Ask("number", "a size: a number in it is not written right", "read the source again"),
        Ask("range", "one size, not a range", "measure this one"),
        Ask("unit", "a size with its unit", "write its unit into the cell or the column's name"),
        Ask(
            "other",
            "the size of the closed book: this is of its leaf, image, frame or case, "
            "or of the book opened",
            _CLOSED,
        ),
        Ask("words", "a size and words that are known: one of these may change it", _CLOSED),
        Ask("units", "one size: its two units contradict each other", "measure it again"),
        Ask(
            "order",
            "height, width and thickness each by its name: in this order they are no book's",
            'write "H 203 x W 133 x T 34 mm"',
        ),
        Ask("round", "height, width and thickness: a diameter is none of them", _CLOSED),
        Ask("large", "the size of a book: no book is that tall", "read the source again"),
        Ask("height", "width and thickness too: this is one measure", "measure the rest"),
    )
}
"""Every question, by its key."""

INCH_STEP = MM_PER_INCH / 32
"""Half of the sixteenth to which inches are usually rounded, mm."""
LARGEST = 1000.0
"""No book is taller, mm; the slip has the same limit."""


def questions(clauses: list[Clause]) -> Iterator[str]:
    """Yield the keys of what must be asked whichever clause is the book's, the plainest first."""
    strict = [clause for clause in clauses if not clause.described]
    counted = [senses_of(word) for clause in strict for _, word in clause.counted]
    senses = set().union(*(clause.senses for clause in strict), *counted)
    sizes = [size for clause in clauses for size in clause.sizes]
    flaws = [flaw for clause in clauses for flaw in clause.flaws]
    if any(size.unit in ("'", "ft", "feet", "foot") for size in sizes):
        yield "feet"
    if "each" in senses:
        yield "each"
    if "folded" in senses:
        yield "folded"
    yield from _many(clauses, flaws)
    if "various" in senses:
        yield "various"
    if "loose" in senses:
        yield "loose"
    if any("+" in clause.words for clause in clauses):
        yield "accompanied"
    if not sizes:
        yield "nothing"
    if "number" in flaws or any(_stray(clause) for clause in clauses):
        yield "number"
    if "range" in flaws and any(clause.sizes for clause in clauses if "range" in clause.flaws):
        yield "range"
    if any(not size.unit for size in sizes):
        yield "unit"


def _many(clauses: list[Clause], flaws: list[Flaw]) -> Iterator[str]:
    """Yield the question about several things of one kind, by their count."""
    counted = [pair for clause in clauses for pair in clause.counted]
    for number, word in counted:
        if number != "1" and "loose" in senses_of(word):
            yield "several"
    if "alternative" in flaws:
        yield "several"
    if any("set" in clause.senses for clause in clauses):
        yield "set"
    for number, word in counted:
        if number != "1" and senses_of(word) & {"volumes", "book"}:
            yield "set"
    for clause in clauses:
        if "volumes" in clause.senses and any("-" in number for number, _ in clause.counted):
            yield "set"
        if clause.sizes and any(plain_word(word) in _VOLUMES for word in clause.words):
            yield "set"


_VOLUMES = frozenset(("volumes", "vols", "bände", "bde"))
"""Several, where a size stands beside them; a catalogue says so of a work still being published."""


def _stray(clause: Clause) -> bool:
    """Whether a number stands by words that count nothing."""
    return not clause.described and any(
        word and (not senses_of(word) or is_roman(word)) and not counts(word)
        for _, word in clause.counted
    )


def unknown(clause: Clause) -> list[str]:
    """Return the words of a clause that nobody can place; a catalogue's description has any."""
    return [] if clause.described else clause.unknown


def contradiction(size: Size, other: Size) -> bool:
    """Whether one size in two units differs by more than rounding.

    Each is taken as rounded to its last digit, inches to a sixteenth, and 0.3 % more.

    >>> contradiction(Size("9", "in"), Size("23.0", "cm"))
    False
    >>> contradiction(Size("8 1/2", "in"), Size("26.1", "cm"))
    True
    """
    one, two = length_of(size), length_of(other)
    return abs(one - two) > _step(size) + _step(other) + 0.003 * max(one, two)


def length_of(size: Size) -> float:
    """Return a size in mm.

    Raises:
        ReadingError: its number cannot be read.

    """
    return read_length(size.text)


def _step(size: Size) -> float:
    """Return half of what a size is rounded to, mm."""
    if is_imperial(size):
        return INCH_STEP
    decimals = len(size.number.replace(",", ".").partition(".")[2])
    return read_length(f"1 {size.unit}") / (2 * 10.0**decimals)


def is_imperial(size: Size) -> bool:
    """Whether a size is in inches."""
    return size.unit not in ("mm", "cm", "m") and abs(read_length(f"1 {size.unit}") - 25.4) < 1e-9


def readable(sizes: list[Size]) -> bool:
    """Whether every number is one."""
    try:
        return all(length_of(size) > 0 for size in sizes)
    except ReadingError:
        return False


def mixed(sizes: list[Size]) -> bool:
    """Whether inches and metric units stand in one row of sizes."""
    return len({is_imperial(size) for size in sizes}) > 1


def in_two_units(sizes: list[Size], others: list[Size]) -> bool:
    """Whether two rows of sizes may be the same in two units."""
    return len(sizes) == len(others) and all(
        is_imperial(one) != is_imperial(two) for one, two in zip(sizes, others, strict=True)
    )


def contradict(sizes: list[Size], others: list[Size]) -> bool:
    """Whether two rows of sizes in two units differ."""
    return any(itertools.starmap(contradiction, zip(sizes, others, strict=True)))
