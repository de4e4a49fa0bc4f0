"""Cautions, each once and short, where they matter; and which film may not go into a laser.

They stand beside, never instead of, the machine's manual, local codes and licensed practice.
"""

import re
from typing import NamedTuple

from cutfiles.bench.film import Film, Machine
from cutfiles.bench.slip import Slip
from cutfiles.errors import DesignError, Place

KNIFE = "knife: stand to cut, sharp blade, free hand out of its path; its manual comes first"
LASER = (
    "laser: extraction on, lid closed or eyewear for the wavelength, one person watching the whole "
    "run, means to put a fire out at hand; polyester gives strong fumes and a melted bead, which "
    "belongs away from the book; never PVC, chlorine-coated or unknown film; its manual and local "
    "codes come first"
)
BOOK = "a conservator decides whether and how far a book opens"
STATIC = "static can lift pigment and light leaves: discharge the film first"
CASE = "a case open to touch or tremors needs more than this"
_LOOSE = re.compile(
    r"pigment|pastel|gouache|charcoal|gilt|illuminat|paint|manuscript|iron-gall"
    r"|static",
    re.IGNORECASE,
)
_TOUCHED = re.compile(r"open to (the )?(touch|public)|within reach|tremor|earthquake|vibrat", re.I)
LIGHT_BOOK = 50.0
"""A book this light may be lifted by static, g (common practice, no source)."""


class Caution(NamedTuple):
    """One caution.

    Attributes:
        rule: knife, laser, book, static or case.
        text: what to beware of.

    """

    rule: str
    text: str


def cautions(slip: Slip, machine: Machine = "knife") -> tuple[Caution, ...]:
    """Return what to beware of with this book and this machine, each once.

    >>> from cutfiles.bench.slip import slip_from
    >>> slip = slip_from({"number": "A1", "units": "mm", "height": 203, "width": 133,
    ...                   "spine_width": 34, "opening_angle": 120})
    >>> [caution.rule for caution in cautions(slip, "laser")]
    ['laser', 'book']
    """
    book, said = slip.book, f"{slip.book.title} {slip.book.binding} {slip.book.note}"
    found = [Caution(machine, LASER if machine == "laser" else KNIFE), Caution("book", BOOK)]
    if _LOOSE.search(said) or (book.weight is not None and book.weight < LIGHT_BOOK):
        found.append(Caution("static", STATIC))
    case = slip.case
    if _TOUCHED.search(book.note) or any((case.depth, case.width, case.height)):
        found.append(Caution("case", CASE))
    return tuple(found)


def require_film_for(machine: Machine, film: Film, source: Place | None = None) -> None:
    """Refuse film for a laser that has a coat, or that nobody can name.

    Raises:
        DesignError: the film is marked as coated or unknown.

    """
    if machine == "laser" and film.coating != "uncoated":
        what = "a coated film" if film.coating == "coated" else "a film of unknown coating"
        raise DesignError(
            what,
            "a laser cuts uncoated polyester only: coats may give off chlorine",
            "use a knife, or take a film of which the maker says that it is uncoated and set "
            'coating = "uncoated"',
            (source or Place(file="slip")).at("support.coating"),
        )
