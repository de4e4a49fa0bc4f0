"""The words of the trade as this program uses them: one word for each thing, one thing a word.

Texts for people, help, tables, pages and the handbook keep to them (`tests/test_words.py`).
"""

from typing import NamedTuple


class Term(NamedTuple):
    """One word.

    Attributes:
        word: as it is written.
        meaning: what it means here, and nothing else.
        never: what must not be said instead, or must not be called so.

    """

    word: str
    meaning: str
    never: tuple[str, ...] = ()


TERMS = (
    Term("slip", "the measuring slip of one book at one opening"),
    Term("joint", "where a board hangs on the spine; as a measure, its height above the table"),
    Term("rise", "height of a board's fore edge above its joint"),
    Term("slope", "angle of a board above the horizontal", ("inclination", "incline")),
    Term("opening angle", "between the boards", ("opening degree", "aperture")),
    Term("support", "what is made; a cradle is the support for an open book", ("book rest",)),
    Term("panel", "a flat piece of the strip", ("facet",)),
    Term("crease", "the line between two panels", ("bend line",)),
    Term("leg", "the panel from the fore edge down to the table", ("strut", "foot panel")),
    Term("base", "the panel on the table, where the leg ends"),
    Term("tab", "the end of the base panel, taped under the spine panel", ("glue flap", "lug")),
    Term("apex", "the crease under the fore edge"),
    Term("foot", "the crease where the leg meets the table"),
    Term("valley", "a crease that folds towards the book", ("inward fold",)),
    Term("mountain", "a crease that folds away from the book", ("outward fold",)),
    Term("book face", "the face of the film towards the book", ("top face", "front face")),
    Term("table face", "the face of the film away from the book", ("back face", "rear face")),
    Term("gauge", "thickness of one film", ("calliper", "caliper")),
    Term("flap", "a third of a strip folded in three, inner or outer; it goes under"),
    Term("pattern", "the support laid flat", ("net", "development")),
    Term("drawing", "what a file holds: one or more patterns with registration marks"),
    Term("sheet", "a piece of film", ("bench sheet", "printed sheet", "case sheet", "cut sheet")),
    Term("film at hand", "kinds of film, and what of them lies on the shelf", ("stock", "stocks")),
    Term("card", "what is printed for the bench or the case", ("print-out", "hand-out")),
    Term("half", "the part of the support under one board", ("wing", "wings")),
    Term("cutter", "one machine, knife plotter or laser", ("plotting machine",)),
    Term("cutter profile", "a cutter's description"),
    Term("end view", "the support seen from the tail", ("profile card", "end profile")),
    Term("pass", "what the machine does in one go with one face up"),
    Term("fold check", "whether a written file, folded, gives the support", ("fold proof",)),
    Term("proved", "of a piece that stood under its dummy", ("proved by folding",)),
)
"""Every word; what is never said instead stands beside it."""
