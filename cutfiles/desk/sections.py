"""The fields of a slip as the desk shows them: in the order of measuring, under headings.

All comes from the table of fields; a new field stands under the heading before it by itself.
"""

from typing import NamedTuple

from cutfiles.bench.fields import MEASURES, SETTINGS
from cutfiles.desk.looks import BY_PATH, Values
from cutfiles.desk.remedies import in_words
from cutfiles.tables.field import Field

_BEGIN = {
    "number": ("Which book", True),
    "height": ("The boards", True),
    "spine_width": ("The spine", True),
    "left_rise": ("How far it opens by itself", True),
    "left_joint": ("Joints that are not level", False),
    "left_slope": ("Angles, instead of rises", False),
    "spine_tilt": ("To check the others", False),
    "left_side": ("Worth knowing", True),
    "case_depth": ("The case", False),
}
"""The field that each heading begins with, and whether it is open from the first."""
SUPPORT = "The support"


class Shown(NamedTuple):
    """One field as it is shown.

    Attributes:
        path: of the field.
        label: its name in words.
        help: what to measure or choose.
        example: how it may be written.
        choices: to choose from, if it is not written.
        usual: what counts where nothing is said.
        long: whether it takes lines of text.

    """

    path: str
    label: str
    help: str
    example: str
    choices: tuple[str, ...]
    usual: str
    long: bool


class Section(NamedTuple):
    """Fields under one heading; whether they are shown from the first."""

    heading: str
    first: bool
    fields: tuple[Shown, ...]


def sections(values: Values) -> list[Section]:
    """Return all fields under their headings; of a slip's own words for none of them, a last one.

    >>> [section.heading for section in sections({})][:3]
    ['Which book', 'The boards', 'The spine']
    """
    found: list[tuple[str, bool, list[Shown]]] = []
    for one in MEASURES:
        if one.name in _BEGIN:
            found.append((*_BEGIN[one.name], []))
        found[-1][2].append(_shown(one))
    found.append((SUPPORT, False, [_shown(one) for one in SETTINGS]))
    if unknown := [path for path in values if path not in BY_PATH]:
        fields = [_unknown(path) for path in unknown]
        found.insert(0, ("No fields of a slip: empty them to take them out", True, fields))
    return [Section(heading, first, tuple(fields)) for heading, first, fields in found]


def _shown(one: Field) -> Shown:
    example = "" if one.choices else one.example
    long = one.name == "note"
    return Shown(
        one.path, in_words(one.name), in_words(one.help), example, one.choices, one.usual, long
    )


def _unknown(path: str) -> Shown:
    return Shown(path, path, "a slip has no such field", "", (), "", False)
