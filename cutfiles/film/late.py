"""Late work: pieces that change laid into an earlier layout, of which what is cut stays as it is.

A sheet that is cut is frozen: its pieces and places stay, whatever becomes of the list. Of the
others those pieces stay that are still wanted. A new piece goes where the old one of its support
lay, else into free film of another sheet that is not cut, else onto a new one. So one row that
changes changes two sheets at most where its old pieces lay on one: posts are brought beside their
strip where there is room. Else it is one sheet more than they lay on, at most.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

from cutfiles.bench.at_hand import Supply
from cutfiles.dataclass import dataclass
from cutfiles.errors import Defect
from cutfiles.film.free import Box, best_place, free_boxes, without
from cutfiles.film.layout import (
    UNIT,
    LaidSheet,
    Piece,
    Unplaced,
    inner,
    lay_out,
    left_of,
    lying_at,
    put_back,
    variants_of,
)
from cutfiles.film.layout_check import Ground, Lying, Wanted, layout_faults
from cutfiles.film.parts import Spread
from cutfiles.film.rules import Rules

REFILL = 400_000
"""Work spent on laying anew the sheets that one row changes anyway."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptSheet:
    """A sheet that keeps its number from run to run.

    Attributes:
        number: of the sheet.
        laid: what lies on it.
        frozen: whether it is cut, and stays as it is.

    """

    number: int
    laid: LaidSheet
    frozen: bool = False


@dataclass(frozen=True, slots=True)
class Relaid:
    """The sheets after late work, by number, and what lies on none."""

    sheets: tuple[KeptSheet, ...]
    unplaced: tuple[Unplaced, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """What is to be laid, on what, and how.

    Attributes:
        pieces: all that is wanted, what is cut already too.
        films: the film at hand, that of the earlier sheets among it.
        rules: margin, spacing, bed, effort.
        owner: of a piece's name, the support it belongs to.
        spread: does the nesting in several processes, where there are.

    """

    pieces: Sequence[Piece]
    films: Sequence[Supply]
    rules: Rules
    owner: Callable[[str], str]
    spread: Spread | None = None


def relay(before: Iterable[KeptSheet], work: Work, last: int = 0) -> Relaid:
    """Return an earlier layout brought to what is wanted now, checked.

    Args:
        before: the sheets of the earlier layout.
        work: what is wanted.
        last: the highest number that a sheet ever had: none is given twice.

    Raises:
        Defect: the layout failed its check.

    """
    one = _Relay(work, last)
    for sheet in sorted(before, key=lambda sheet: (not sheet.frozen, sheet.number)):
        one.keep(sheet)
    unplaced = one.place()
    sheets = tuple(one.sheets[n] for n in sorted(one.sheets) if one.sheets[n].laid.pieces)
    _check(sheets, unplaced, one)
    return Relaid(sheets, unplaced)


class _Relay:
    """One layout while it is changed."""

    def __init__(self, work: Work, last: int) -> None:
        self.work, self.last = work, last
        self.pool = {film.name: film for film in work.films}
        self.pieces = {piece.key: piece for piece in work.pieces}
        self.wanted = Counter({piece.key: piece.count for piece in work.pieces})
        self.cut: Counter[tuple[str, str]] = Counter()
        self.sheets: dict[int, KeptSheet] = {}
        self.left: dict[str, set[int]] = {}
        self.free: dict[int, list[Box]] = {}

    def keep(self, sheet: KeptSheet) -> None:
        """Keep a sheet with all that lies on it, or, where it is not cut, what is still wanted."""
        laid, stay = sheet.laid, []
        film = self.pool.get(laid.film.name)
        if not sheet.frozen and (film is None or not _has(film, laid)):
            return  # its film is gone: its pieces are laid anew
        for lying in laid.pieces:
            key = lying.key
            wanted = self.wanted[key] > 0
            if wanted and not sheet.frozen and self.pieces[key].apart and not laid.apart:
                wanted = False  # it needs a trial now: away from what is sure
            if wanted:
                self.wanted[key] -= 1
                self.cut[key] += sheet.frozen
            if wanted or sheet.frozen:
                stay.append(lying)
            else:
                self.left.setdefault(self.work.owner(lying.name), set()).add(sheet.number)
        if film is not None:
            self.pool[film.name] = left_of(film, [laid])
        self.sheets[sheet.number] = replace(sheet, laid=replace(laid, pieces=tuple(stay)))

    def place(self) -> tuple[Unplaced, ...]:
        """Lay all that lies nowhere yet, support by support, the largest first."""
        owners: dict[str, list[Piece]] = {}
        for key, count in (+self.wanted).items():
            piece = self.pieces[key]
            owners.setdefault(self.work.owner(piece.name), []).extend([piece] * count)
        by_size = sorted(owners, key=lambda name: (-sum(map(_area, owners[name])), name))
        rest: list[Piece] = []
        for owner in by_size:
            loose = owners[owner]
            if loose and not self._found(loose, sorted(self.left.get(owner, ()))):
                rest += loose
        return self._new(rest)

    def _found(self, loose: list[Piece], own: list[int]) -> bool:
        """Lay the pieces of one support on sheets there are; return whether that could be done."""
        open_ = [n for n, sheet in self.sheets.items() if not sheet.frozen]
        own = [n for n in own if n in open_ and self._alike(n, loose)]
        others = [n for n in sorted(open_) if n not in own and self._alike(n, loose)]
        return (
            self._on_one(loose, own)
            or (len(own) > 1 and self._on_any(loose, own))
            or (bool(own) and self._anew(loose, own))
            or (len(own) < 2 and self._on_one(loose, others))
        )

    def _alike(self, number: int, loose: list[Piece]) -> bool:
        """Whether pieces may lie on a sheet: its gauge, and trials among themselves."""
        laid = self.sheets[number].laid
        return all((p.gauge, p.apart) == (laid.gauge, laid.apart) for p in loose)

    def _on_one(self, loose: list[Piece], numbers: list[int]) -> bool:
        return any(self._on_any(loose, [number]) for number in numbers)

    def _on_any(self, loose: list[Piece], numbers: list[int]) -> bool:
        """Lay all pieces into free film of these sheets, or none."""
        free = {number: self._free(number) for number in numbers}
        found: dict[int, list[Lying]] = {number: [] for number in numbers}
        for piece in sorted(loose, key=lambda piece: (-_area(piece), piece.name)):
            for number in numbers:
                laid, rules = self.sheets[number].laid, self.work.rules
                variants = variants_of(piece, laid.film.ways, rules)
                place = best_place(free[number], variants)
                if place is not None:
                    free[number] = without(free[number], place)
                    at, size = (place.left, place.bottom), (place.width, place.height)
                    found[number].append(lying_at(piece, at, size, laid.film, rules))
                    break
            else:
                return False
        for number, more in found.items():
            if more:
                self._put(number, [*self.sheets[number].laid.pieces, *more])
                self.free[number] = free[number]
        return True

    def _free(self, number: int) -> list[Box]:
        if number not in self.free:
            laid, rules = self.sheets[number].laid, self.work.rules
            taken = [_box(lying, rules) for lying in laid.pieces]
            self.free[number] = free_boxes(
                inner(laid.width, rules), inner(laid.height, rules), taken
            )
        return self.free[number]

    def _put(self, number: int, pieces: Iterable[Lying]) -> None:
        sheet = self.sheets[number]
        ordered = tuple(sorted(pieces, key=lambda one: (one.bottom, one.left)))
        self.sheets[number] = replace(sheet, laid=replace(sheet.laid, pieces=ordered))

    def _anew(self, loose: list[Piece], own: list[int]) -> bool:
        """Lay sheets anew that change anyway, with new pieces; on no more sheets than before."""
        films = {self.sheets[number].laid.film.name for number in own}
        if len(films) > 1:
            return False
        laid = [self.sheets[number].laid for number in own]
        film = put_back(self.pool[films.pop()], laid)
        counts = Counter(piece.key for piece in loose)
        counts.update(lying.key for sheet in laid for lying in sheet.pieces)
        pieces = [
            replace(self.pieces[key], count=n, apart=laid[0].apart)
            for key, n in sorted(counts.items())
        ]
        effort = min(self.work.rules.effort, REFILL)
        done = lay_out(pieces, [film], replace(self.work.rules, effort=effort))
        if done.unplaced or len(done.sheets) > len(own):
            return False
        for number in own:
            del self.sheets[number]
            self.free.pop(number, None)
        for number, sheet in zip(own, done.sheets, strict=False):
            self.sheets[number] = KeptSheet(number=number, laid=sheet)
        self.pool[film.name] = left_of(film, done.sheets)
        return True

    def _new(self, rest: list[Piece]) -> tuple[Unplaced, ...]:
        """Lay pieces on new sheets, of film that is left."""
        counts = Counter(piece.key for piece in rest)
        pieces = [replace(p, count=counts[p.key]) for p in self.work.pieces if counts[p.key]]
        films = [self.pool[film.name] for film in self.work.films]
        done = lay_out(pieces, films, self.work.rules, self.work.spread)
        new = range(self.last + 1, self.last + 1 + len(done.sheets))
        for number, laid in zip(new, done.sheets, strict=True):
            self.sheets[number] = KeptSheet(number=number, laid=laid)
        self.last += len(done.sheets)
        self._gather(new)
        return done.unplaced

    def _gather(self, new: Sequence[int]) -> None:
        """Bring what belongs to one support onto the sheet of its largest piece, where it fits.

        What lies together changes one sheet when it changes, not two, and comes to hand at once.
        """
        where: dict[str, list[tuple[int, Lying]]] = {}
        for number in new:
            for lying in self.sheets[number].laid.pieces:
                where.setdefault(self.work.owner(lying.name), []).append((number, lying))
        for lies in where.values():
            home, largest = max(lies, key=lambda one: (one[1].width * one[1].height, -one[0]))
            away = [(number, lying) for number, lying in lies if number != home]
            if away and all(lying.key != largest.key for _, lying in away):
                self._bring(away, home)

    def _bring(self, away: Sequence[tuple[int, Lying]], home: int) -> None:
        """Lay pieces onto another sheet, all or none."""
        loose = [replace(self.pieces[lying.key], count=1) for _, lying in away]
        if not self._alike(home, loose) or not self._on_any(loose, [home]):
            return
        for number, lying in away:
            rest = [*self.sheets[number].laid.pieces]
            rest.remove(lying)
            self._put(number, rest)
            self.free.pop(number, None)


def _has(film: Supply, laid: LaidSheet) -> bool:
    """Whether there is as much of a film as a sheet takes."""
    if film.form == "roll":
        return film.length is None or film.length >= laid.height - 1e-6
    return film.count is None or film.count > 0


def _area(piece: Piece) -> float:
    return piece.width * piece.height


def _box(lying: Lying, rules: Rules) -> Box:
    width, height = (round((side + rules.spacing) * UNIT) for side in (lying.width, lying.height))
    left, bottom = (round((at - rules.margin) * UNIT) for at in (lying.left, lying.bottom))
    return Box(left, bottom, width, height)


def _check(sheets: Sequence[KeptSheet], unplaced: Sequence[Unplaced], one: _Relay) -> None:
    """Hold the sheets that are not cut, and the count of all pieces, against what is wanted."""
    open_ = [sheet for sheet in sheets if not sheet.frozen]
    lie = Counter(p.key for sheet in open_ for p in sheet.laid.pieces)
    missing = Counter(each.piece.key for each in unplaced)
    if lie + missing + one.cut != +Counter({p.key: p.count for p in one.work.pieces}):
        _defect("pieces that lie too often or nowhere")
    numbers = Counter(p.name for sheet in open_ for p in sheet.laid.pieces)
    wanted = {
        p.name: Wanted(numbers[p.name], p.width, p.height, (False, True))
        for p in one.work.pieces
        if numbers[p.name]
    }
    for sheet in open_:
        laid, rules = sheet.laid, one.work.rules
        ways = {p.name for p in laid.pieces if p.turned not in laid.film.ways}
        ground = Ground(f"sheet {sheet.number}", laid.width, laid.height, laid.pieces)
        here = Counter(p.name for p in laid.pieces)
        own = {name: wanted[name]._replace(number=count) for name, count in here.items()}
        faults = list(layout_faults(own, [ground], rules.margin, rules.spacing))
        if faults or ways:
            _defect("; ".join(faults[:5]) or f"{', '.join(ways)} turned against the grain")


def _defect(found: str) -> None:
    raise Defect(
        found,
        "late work lies once, inside and apart, and nothing that is cut moves",
        "nothing was written; please report this list",
        "layout",
    )
