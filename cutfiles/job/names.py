"""What the files of a support may be called, all of them, and which numbers would share a name.

"A1" has a picture ``A1.folded.svg``, and "A1.folded" would have a drawing of that name: the last
made would take the place of the other. So names are compared as whole sets, whether such a file is
made this time or not, and as file systems compare them that ignore case and composition.
"""

import json
import os
import re
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Literal, get_args

from cutfiles.disk.names import folded
from cutfiles.edits.edit import SUFFIX as EDITS
from cutfiles.errors import FileError, Place
from cutfiles.files.record import OWN_RECORD, RECORD
from cutfiles.machine.endings import ALIGNED, MARKS, PASS, PLAN
from cutfiles.machine.formats import FORMATS
from cutfiles.report.printed.cards import CARDS

PictureKind = Literal["standing", "flat", "folded"]
"""The pictures of a support; each is what the names of its files have after the number."""
STRAPS = ".straps"
"""What follows the number in the names of files of its straps."""
ALIGNMENT = ".alignment.svg"
"""What follows the name of a pass in the picture of how its sheet lay."""
MISFIT = ".misfit.svg"
"""What follows it in the picture of marks that were measured for it and do not fit."""
CUTTING, CUT_LOG = ".cutting.json", ".cutting.csv"
"""What follows what a plan's name begins with where it is kept how far its sheet has come."""
FOLDED_PAGE = ".folded.html"
"""What follows it in the name of the page that folds."""
EDITS_PICTURE = ".edits.svg"
"""What follows the name of an edited drawing in that of the picture of its edits."""


def _formats() -> set[str]:
    return {suffix for form in FORMATS.values() for suffix in (form.suffix, form.shared)}


def _others() -> set[str]:
    """Return the suffixes of all files that are no drawings."""
    pictures = {f".{kind}.{form}" for kind in get_args(PictureKind) for form in ("svg", "png")}
    cards = {end for card in CARDS.values() for end in (card.suffix, card.cut_suffix)}
    ends = (*plan_endings(), CUTTING, CUT_LOG)
    of_plan = {stem + end for stem in ("", STRAPS) for end in ends}
    own = {FOLDED_PAGE, RECORD, OWN_RECORD, EDITS, EDITS_PICTURE}
    return own | of_plan | pictures | cards


def plan_endings() -> tuple[str, ...]:
    """Return what the names of files have that come with a plan, besides its passes."""
    return (PLAN, MARKS, *(card.suffix for card in CARDS.values() if card.of_plan is not None))


def is_suffix(text: str) -> bool:
    """Whether a text may follow a support's number in the name of one of its files.

    >>> is_suffix(".straps.face-a.2.dxf"), is_suffix(".x.dxf")
    (True, False)
    """
    one_pass = rf"({re.escape(PASS)}[ab](\.[0-9]+)?({re.escape(ALIGNED)})?)?"
    drawn, others = ("|".join(map(re.escape, sorted(ends))) for ends in (_formats(), _others()))
    beside = "|".join(map(re.escape, (OWN_RECORD, ALIGNMENT, MISFIT)))
    known = rf"({re.escape(STRAPS)})?{one_pass}({drawn})|{others}|{one_pass}({beside})"
    return re.fullmatch(known, text) is not None


def ending(name: str, stem: str) -> str:
    """Return what a file's name has after the number of its support; empty where it is no such.

    Args:
        name: of the file.
        stem: what the names of the support's files begin with; a file that was renamed is taken
            by its own end.

    >>> ending("MS.face-1.svg", "MS.face-1"), ending("copy.straps.svg", "MS")
    ('.svg', '.straps.svg')

    """
    rest = name.removeprefix(stem)
    if rest != name and is_suffix(rest):
        return rest
    ends = (name[i:] for i, sign in enumerate(name) if sign == ".")
    return next((end for end in ends if is_suffix(end)), "")


def share_a_name(one: str, other: str) -> bool:
    """Whether supports whose files' names begin so may have files of one name.

    >>> share_a_name("A1", "A1.folded"), share_a_name("A1", "a1"), share_a_name("A1", "A1.x")
    (True, True, False)
    """
    short, long = sorted((folded(one), folded(other)), key=len)
    rest = long[len(short) :]
    return long.startswith(short) and (
        not rest or any(is_suffix(rest + tail) for tail in _formats() | _others())
    )


def clashes(names: Sequence[str]) -> Iterator[tuple[int, int]]:
    """Yield pairs of places in a list whose supports may have files of one name."""
    places: dict[str, list[int]] = {}
    for place, name in enumerate(names):
        places.setdefault(folded(name), []).append(place)
    for long, here in places.items():
        yield from ((one, two) for i, one in enumerate(here) for two in here[i + 1 :])
        for end in (i for i, sign in enumerate(long) if sign == "." and long[:i] in places):
            if share_a_name(long[:end], long):
                yield from ((one, two) for one in places[long[:end]] for two in here)


def recorded(folder: Path) -> list[str]:
    """Return what names in a folder begin with that may be a support's: those of its records."""
    try:
        return [name.removesuffix(RECORD) for name in os.listdir(folder) if name.endswith(RECORD)]
    except FileNotFoundError:
        return []


def number_of(record: Path) -> str | None:
    """Return the number of the support that a file is the record of, None where it is none."""
    try:
        said = json.loads(record.read_text(encoding="utf-8"))
        return str(said["number"]) if isinstance(said["files"], list) else None
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return None


def require_apart(folder: Path, name: str, number: str) -> None:
    """Refuse a support that may share a file's name with another one in the folder.

    Raises:
        FileError: names both.

    """
    for other in recorded(folder):
        if other == name or not share_a_name(name, other):
            continue
        found = number_of(folder / (other + RECORD))
        if found not in (None, number):
            raise shared(number, f'the support "{found}" in this folder')


def require_new(name: str, number: str, used: Mapping[str, str], place: Place | str) -> None:
    """Refuse a support that may share a file's name with another one of the same run.

    Args:
        name: what its files' names begin with.
        number: of it.
        used: of the others, what their files' names begin with, and where they were read.
        place: where it was read.

    Raises:
        FileError: names both.

    """
    for other, where in used.items():
        if folded(other) == folded(name):
            raise FileError(
                f'the number "{number}", which {where} has too',
                "each support has a number of its own",
                "give one of them another number",
                place,
            )
        if share_a_name(other, name):
            raise shared(number, f'"{other}" ({where})', place)


def shared(number: str, other: str, place: Place | str = "") -> FileError:
    """Return the refusal of a number whose files would be named as another's."""
    return FileError(
        f'the number "{number}", whose files may be named as those of {other}',
        "each support has files of its own",
        "give one of them another number",
        place,
    )
