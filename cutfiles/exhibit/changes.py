"""What changed from one run to the next, and why: ``changes.txt``.

Each run that changes anything adds a part; a run that changes nothing adds none.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import field
from typing import Any

from cutfiles.dataclass import dataclass
from cutfiles.exhibit.compared import Compared
from cutfiles.exhibit.pieces import owner_of, owners
from cutfiles.exhibit.results import SupportFacts, SupportResult
from cutfiles.exhibit.sheets import sheet_name
from cutfiles.film.late import KeptSheet
from cutfiles.film.layout import Piece

CHANGES_FILE = "changes.txt"
Waste = tuple[int, str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Before:
    """What the last finished run left.

    Attributes:
        facts: of each support.
        sheets: of film.
        said: the parts of the report so far.
        rules: by which pieces were laid.
        name: the exhibit is booked by.
        last: the highest number that a sheet ever had.
        waste: pieces on sheets that are cut which were told to be waste: sheet, name, shape.
        saved: what the widths and lengths of film came to that were compared.

    """

    facts: Mapping[str, SupportFacts] = field(default_factory=dict)
    sheets: tuple[KeptSheet, ...] = ()
    said: tuple[str, ...] = ()
    rules: str = ""
    name: str = ""
    last: int = 0
    waste: frozenset[Waste] = frozenset()
    saved: Compared = Compared()


def what_changed(old: SupportFacts, new: SupportFacts) -> str:
    """Return what of a support is different, in a few words; empty where nothing is."""
    said = [
        f"{name} {getattr(old, key):g} → {getattr(new, key):g}{unit}"
        for key, name, unit in (
            ("width", "length", " mm"),
            ("height", "breadth", " mm"),
            ("gauge", "gauge", " mm"),
            ("opening_angle", "opening", "°"),
            ("left_slope", "left slope", "°"),
            ("right_slope", "right slope", "°"),
        )
        if getattr(old, key) != getattr(new, key)
    ]
    fell = new.fell if new.fell != old.fell else ""
    if old.piece == new.piece:
        return fell
    said = [", ".join(said) or "cut or scored otherwise"]
    if old.way != new.way:
        said.append(f"made of {_way_said(new.way)}, was {_way_said(old.way)}")
    if fell:
        said.append(fell)
    return "; ".join(said)


def _way_said(way: Sequence[Any]) -> str:
    """Return film, construction and edges of a support in words."""
    film, construction, edge, _ = way
    return f"{film}, {construction}, {edge}"


def changed_supports(before: Before, supports: Iterable[SupportResult]) -> Iterator[str]:
    """Yield what of each support is different since the last run, a line each."""
    for support in supports:
        old, new = before.facts.get(support.number), support.facts
        if old is not None and new is not None and (said := what_changed(old, new)):
            yield f"{support.number}: {said}"


def waste_on(sheets: Iterable[KeptSheet], pieces: Iterable[Piece]) -> frozenset[Waste]:
    """Return what lies on sheets that are cut and is no longer wanted."""
    wanted = {piece.key for piece in pieces}
    return frozenset(
        (sheet.number, lying.name, lying.shape)
        for sheet in sheets
        if sheet.frozen
        for lying in sheet.laid.pieces
        if lying.key not in wanted
    )


def change_report(
    before: Before,
    supports: Sequence[SupportResult],
    sheets: Sequence[KeptSheet],
    waste: frozenset[Waste],
    rules: str,
) -> str:
    """Return what this run changed and why; empty where nothing, or where it is the first."""
    if not before.name:
        return ""
    lines = [*_rows(before, supports)]
    if before.rules != rules:
        lines.append(f"  laid by other rules: {rules}; it was {before.rules}")
    lines += _sheets(before.sheets, sheets)
    for number in sorted({number for number, *_ in waste - before.waste}):
        own = dict.fromkeys(owner_of(name)[0] for n, name, _ in sorted(waste) if n == number)
        lines.append(f"  {sheet_name(number)} is cut and stays; waste on it: {', '.join(own)}")
    if not lines:
        return ""
    same = sum(not _differs(one, before.sheets) for one in sheets)
    lines.append(f"  {same} of {len(sheets)} sheets stay as they were")
    return "\n".join([f"Change {len(before.said) + 1}", *lines])


def _rows(before: Before, supports: Sequence[SupportResult]) -> Iterable[str]:
    there = {support.number for support in supports}
    for support in supports:
        old, new = before.facts.get(support.number), support.facts
        name = support.called
        if old is None and new is not None:
            yield f"  {name}: came late"
        elif old is not None and new is None:
            yield f"  {name}: can no longer be made, see report.txt"
        elif old is not None and new is not None and (said := what_changed(old, new)):
            yield f"  {name}: {said}"
    for number in before.facts:
        if number not in there:
            yield f"  {number}: no longer in the list"


def _differs(sheet: KeptSheet, before: Sequence[KeptSheet]) -> bool:
    old = next((one for one in before if one.number == sheet.number), None)
    return old is None or old.laid.pieces != sheet.laid.pieces


def _sheets(before: Sequence[KeptSheet], after: Sequence[KeptSheet]) -> Iterable[str]:
    """Yield what became of each sheet that is not as it was."""
    now = {sheet.number: sheet for sheet in after}
    for old in before:
        new = now.get(old.number)
        if new is None:
            yield f"  {sheet_name(old.number)}: gone; nothing was cut from it"
        elif old.laid.pieces != new.laid.pieces:
            yield f"  {sheet_name(old.number)}: {'; '.join(_parts(old, new))}"
    was = {sheet.number for sheet in before}
    for new in after:
        if new.number not in was:
            yield f"  {sheet_name(new.number)}: new, with {', '.join(owners(new.laid.pieces))}"


def _parts(old: KeptSheet, new: KeptSheet) -> Iterable[str]:
    """Yield what came off a sheet and what is new on it, by shape; and whether the rest moved."""
    one, two = (Counter(piece.key for piece in sheet.laid.pieces) for sheet in (old, new))
    gone, come = one - two, two - one
    if off := owners(piece for piece in old.laid.pieces if piece.key in gone):
        yield f"off it {', '.join(off)}"
    if on := owners(piece for piece in new.laid.pieces if piece.key in come):
        yield f"new on it {', '.join(on)}"
    if not _in_place(old, new):
        yield "the others moved"


def _in_place(old: KeptSheet, new: KeptSheet) -> bool:
    """Whether what lies on both sheets lies where it lay."""
    both = {piece.key for piece in old.laid.pieces} & {piece.key for piece in new.laid.pieces}
    lay, lie = ({piece for piece in sheet.laid.pieces if piece.key in both} for sheet in (old, new))
    return lay == lie


def changes_text(name: str, said: Sequence[str]) -> bytes:
    """Return the whole report, the latest change first."""
    head = f"What changed in {name} since it was first laid out; sheets that are cut never change."
    return ("\n\n".join([head, *reversed(said)]) + "\n").encode()
