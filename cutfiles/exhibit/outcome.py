"""How each row of an exhibit's list ends: its support, its sheets, its stage, or its faults."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from cutfiles.bench.film import Film
from cutfiles.dataclass import dataclass
from cutfiles.disk.names import safe_name
from cutfiles.errors import Fault, Place
from cutfiles.exhibit.pieces import owner_of, pieces_of
from cutfiles.exhibit.results import SheetResult, SupportResult
from cutfiles.exhibit.stages import Stages, reached
from cutfiles.exhibit.state import Known
from cutfiles.exhibit.work import Done
from cutfiles.film.layout import Unplaced
from cutfiles.job.names import clashes, number_of, recorded
from cutfiles.lists.ledger import BookList, ListRow
from cutfiles.support.trials import Trial

NOT_LAID = "no film at hand carries the book, and what does not hold is not laid out for cutting"


def result_of(
    row: ListRow, made: tuple[Done, bool] | None, faults: tuple[Fault, ...], spares: int
) -> SupportResult:
    """Return how a row ended.

    Args:
        row: of the list.
        made: what came of it, and whether an earlier run made it so; None where nothing did.
        faults: that refuse it.
        spares: how many more of each support are cut.

    """
    if faults or made is None:
        return SupportResult(
            row=row.row,
            number=row.number,
            state="refused",
            copies=row.copies,
            values=row.values,
            faults=faults,
        )
    done, same = made
    return SupportResult(
        row=row.row,
        number=row.number,
        state="unchanged" if same else "made",
        copies=row.copies + spares,
        values=row.values,
        facts=done.facts,
    )


def clashing_names(books: BookList, known: Known, folder: Path) -> dict[int, tuple[Fault, ...]]:
    """Return faults of rows whose supports may share a file's name: with a row, or in the folder.

    What an earlier run made of the same list is not counted: it gives way.
    """
    rows = [row for row in books.rows if row.slip is not None]
    names = [safe_name(row.number) for row in rows]
    ours = {*names, *(safe_name(number) for number in known.supports)}
    others = [name for name in recorded(folder) if name not in ours]
    met: dict[int, list[str]] = {}
    for one, two in clashes([*names, *others]):
        for place, twin in ((one, two), (two, one)):
            if place >= len(rows):
                continue
            if twin < len(rows):
                met.setdefault(place, []).append(f"row {rows[twin].row}")
            elif number := number_of(folder / f"{others[twin - len(rows)]}.json"):
                met.setdefault(place, []).append(f'the support "{number}" in {folder.name}')
    return {
        rows[place].row: (
            Fault(
                Place(file=books.name, row=rows[place].row),
                f'the number "{rows[place].number}", whose files are named as those of '
                + ", ".join(twins),
                "each support has files of its own",
                "give one of them another number",
            ),
        )
        for place, twins in met.items()
    }


def is_laid(support: SupportResult, stages: Stages, *, anyway: bool) -> bool:
    """Whether a support's pieces are laid out for cutting: it holds, or may, and is not withdrawn.

    Args:
        support: as it was made.
        stages: what hands have marked.
        anyway: also what does not hold.

    """
    if support.facts is None or _is_withdrawn(support, stages):
        return False
    return anyway or not support.is_barred


def _is_withdrawn(support: SupportResult, stages: Stages) -> bool:
    mark = stages.of(support.number, support.facts.piece) if support.facts else None
    return mark is not None and mark.stage == "withdrawn"


@dataclass(frozen=True, slots=True, kw_only=True)
class Lie:
    """Where all pieces of an exhibit lie, and what is known of them.

    Attributes:
        sheets: as they ended.
        unplaced: pieces that lie on none.
        stages: what hands have marked.
        trials: the studio's.
        anyway: whether what does not hold is laid too.

    """

    sheets: Sequence[SheetResult]
    unplaced: Sequence[Unplaced]
    stages: Stages
    trials: Sequence[Trial]
    anyway: bool


def on_sheets(supports: Sequence[SupportResult], lie: Lie) -> tuple[SupportResult, ...]:
    """Say of each support on which sheets it lies, or why on none, and how far it is."""
    holding: dict[tuple[str, str], list[SheetResult]] = {}
    for sheet in lie.sheets:
        for key in dict.fromkeys(piece.key for piece in sheet.pieces):
            holding.setdefault(key, []).append(sheet)
    nowhere = {owner_of(one.piece.name)[0]: one for one in lie.unplaced}
    return tuple(_lying(support, lie, holding, nowhere) for support in supports)


def _lying(
    support: SupportResult,
    lie: Lie,
    holding: Mapping[tuple[str, str], Sequence[SheetResult]],
    nowhere: Mapping[str, Unplaced],
) -> SupportResult:
    facts = support.facts
    if facts is None:
        return support
    own = [sheet for piece in pieces_of(support, facts) for sheet in holding.get(piece.key, ())]
    sheets = tuple({sheet.number: sheet for sheet in own}.values())
    whole = bool(sheets) and support.number not in nowhere
    stood = [t for t in lie.trials if (t.support, t.result) == (support.number, "stood")]
    marks = lie.stages.cut
    return replace(
        support,
        sheets=tuple(sheet.number for sheet in sheets if not sheet.faults),
        unplaced=_why_nowhere(support, lie, sheets, nowhere),
        stage=reached(
            lie.stages.of(support.number, facts.piece),
            [marks[sheet.number] for sheet in sheets if sheet.number in marks],
            stood[-1] if stood and facts.state == "proved" else None,
            all_cut=whole and all(sheet.frozen for sheet in sheets),
        ),
    )


def _why_nowhere(
    support: SupportResult, lie: Lie, sheets: Sequence[SheetResult], nowhere: Mapping[str, Unplaced]
) -> str:
    if failed := [sheet.number for sheet in sheets if sheet.faults]:
        return f"{', '.join(failed)}, which holds it, could not be made"
    if one := nowhere.get(support.number):
        gauge = Film(gauge=one.piece.gauge).gauge_text
        return (
            f"a piece of {one.piece.width:.0f} × {one.piece.height:.0f} mm, {gauge}: {one.found}; "
            f"it needs {one.needed}"
        )
    if support.is_barred and not lie.anyway:
        return "" if _is_withdrawn(support, lie.stages) else NOT_LAID
    return ""
