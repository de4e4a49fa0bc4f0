"""Lays out all pieces of an exhibit on the film at hand: offcuts first, then sheets, then rolls.

Pieces of one gauge share film. A roll is cut into sheets of several lengths, none longer than the
cutter takes, so that they take as little of it as found. `layout_check` checks every layout.
"""

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from cutfiles.bench.at_hand import LEAST_SIDE, Supply
from cutfiles.dataclass import dataclass
from cutfiles.errors import Defect
from cutfiles.film.layout_check import Ground, Lying, Wanted, layout_faults
from cutfiles.film.parts import Ahead, Part, Spread, pack, parts_of
from cutfiles.film.rules import Rules
from cutfiles.film.skyline import Lies, Variants, top_of

SMALLEST_OFFCUT = 300.0
"""A shorter rest of a sheet is no offcut, mm (common practice, no source)."""
UNIT = 1000
"""Whole numbers of the search in a millimetre."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One pattern to be cut.

    Attributes:
        name: of its support.
        width: of the pattern, mm.
        height: of the pattern, mm.
        gauge: of its film, mm.
        count: how many are needed, spares among them.
        shape: tells pieces of one name apart that are cut or scored otherwise.
        apart: whether it is for a trial, and lies on no sheet with pieces that are sure.

    """

    name: str
    width: float
    height: float
    gauge: float
    count: int = 1
    shape: str = ""
    apart: bool = False

    @property
    def key(self) -> tuple[str, str]:
        """Name and shape: what makes two pieces one and the same."""
        return self.name, self.shape


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidSheet:
    """One sheet with its pieces, mm.

    Attributes:
        film: what it is cut from.
        gauge: of the film, mm.
        width: left to right.
        height: bottom to top; of a roll, the length to cut off.
        pieces: where each lies.
        apart: whether it holds trials, and nothing else.

    """

    film: Supply
    gauge: float
    width: float
    height: float
    pieces: tuple[Lying, ...]
    apart: bool = False

    @property
    def used(self) -> float:
        """Share of its area that is covered by pieces."""
        return sum(p.width * p.height for p in self.pieces) / (self.width * self.height)


@dataclass(frozen=True, slots=True)
class Unplaced:
    """A piece that fits no film at hand, and the nearest film that would do."""

    piece: Piece
    found: str
    needed: str


@dataclass(frozen=True, slots=True)
class Layout:
    """All sheets of an exhibit, and the pieces that lie on none."""

    sheets: tuple[LaidSheet, ...]
    unplaced: tuple[Unplaced, ...]


def lay_out(
    pieces: Sequence[Piece], films: Sequence[Supply], rules: Rules, spread: Spread | None = None
) -> Layout:
    """Return a layout of all pieces, checked.

    Args:
        pieces: what is to be cut.
        films: the film at hand, in the order it should be used.
        rules: margin, spacing, bed, effort.
        spread: does what can be foreseen in several processes; the layout is the same.

    Raises:
        Defect: the layout failed its check.

    """
    sheets: list[LaidSheet] = []
    unplaced: list[Unplaced] = []
    pool = {film.name: film for film in films}
    groups = {
        group: [piece for piece in pieces if (piece.gauge, piece.apart) == group]
        for group in sorted({(piece.gauge, piece.apart) for piece in pieces})
    }
    ahead: Ahead = {}
    if spread is not None:
        parts = [part for some in groups.values() for part in _foreseen(some, films, rules)]
        ahead = dict(zip(parts, spread(pack, parts), strict=True))
    for (gauge, apart), some in groups.items():
        own = [pool[film.name] for film in films if film.holds(gauge)]
        done, rest = _one_gauge(gauge, some, own, rules, ahead)
        _check(done, some, rest, rules)
        for name in {sheet.film.name for sheet in done}:
            pool[name] = left_of(pool[name], done)
        sheets += [replace(sheet, apart=apart) for sheet in done]
        unplaced += [_unplaced(piece, own, rules) for piece in rest]
    return Layout(tuple(sheets), tuple(unplaced))


def _foreseen(pieces: list[Piece], films: Sequence[Supply], rules: Rules) -> list[Part]:
    """Return the parts that pieces of one gauge are nested in first, all film still there."""
    single = _single(pieces)
    for film in films:
        if fits := _fitting([p for p in single if film.holds(p.gauge)], film, rules):
            return [part for _, part in _parts(fits, film, rules)]
    return []


def _single(pieces: Iterable[Piece]) -> list[Piece]:
    """Return pieces one by one, the largest first."""
    single = [piece for piece in pieces for _ in range(piece.count)]
    return sorted(single, key=lambda p: (-p.width * p.height, p.name))


def _fitting(pieces: list[Piece], film: Supply, rules: Rules) -> list[Piece]:
    """Return the pieces that fit a film, none where nothing of it is left."""
    if film.count == 0 or film.length == 0:
        return []
    return [piece for piece in pieces if ways_of(piece, film, rules)]


def _one_gauge(
    gauge: float, pieces: list[Piece], films: list[Supply], rules: Rules, ahead: Ahead
) -> tuple[list[LaidSheet], list[Piece]]:
    """Return sheets of one gauge, and the pieces for which no film was left."""
    single = _single(pieces)
    sheets: list[LaidSheet] = []
    for film in films:
        if not single:
            break
        if not (fits := _fitting(single, film, rules)):
            continue
        done = _on_film(gauge, fits, film, rules, ahead)
        sheets += done
        laid = Counter(lying.name for sheet in done for lying in sheet.pieces)
        rest = []
        for piece in single:
            if laid[piece.name] and piece in fits:
                laid[piece.name] -= 1
            else:
                rest.append(piece)
        single = rest
    return sheets, single


def room(film: Supply, rules: Rules) -> tuple[float, float]:
    """Return width and height of the largest sheet of a film the cutter takes, mm."""
    width = film.width
    height = film.length if film.length is not None else math.inf
    if film.form == "roll":
        height = min(height, rules.longest)
    if rules.bed:
        width, height = min(width, rules.bed[0]), min(height, rules.bed[1])
    return width, height


def ways_of(piece: Piece, film: Supply, rules: Rules) -> tuple[bool, ...]:
    """Return how a piece may lie on a film, as drawn (False) or turned (True)."""
    width, height = (side - 2 * rules.margin for side in room(film, rules))
    sizes = {False: (piece.width, piece.height), True: (piece.height, piece.width)}
    return tuple(
        turned for turned in film.ways if sizes[turned][0] <= width and sizes[turned][1] <= height
    )


def _on_film(
    gauge: float, pieces: list[Piece], film: Supply, rules: Rules, ahead: Ahead
) -> list[LaidSheet]:
    """Lay as many pieces as there is film for; what was nested ahead is taken as it is."""
    packed: list[Lies] = []
    for which, part in _parts(pieces, film, rules):
        done = ahead[part] if part in ahead else pack(part)
        packed += [tuple((which[k], x, y, w, h) for k, x, y, w, h in one) for one in done]
    packed.sort(key=lambda one: -sum(w * h for _, _, _, w, h in one))
    if film.form == "roll":
        return _roll(gauge, pieces, film, rules, packed)
    height = room(film, rules)[1]
    return [_sheet(gauge, pieces, film, rules, one, height) for one in packed[: film.count]]


def _parts(pieces: list[Piece], film: Supply, rules: Rules) -> Iterator[tuple[range, Part]]:
    """Yield the parts that pieces are nested in on a film, and which pieces are in each."""
    across, up = (inner(side, rules) for side in room(film, rules))
    variants = [variants_of(piece, ways_of(piece, film, rules), rules) for piece in pieces]
    margins = round((2 * rules.margin - rules.spacing) * UNIT) if film.form == "roll" else None
    for which in parts_of(len(pieces)):
        own = tuple(variants[k] for k in which)
        yield which, Part(own, across, up, rules.effort, margins)


def _roll(
    gauge: float, pieces: list[Piece], film: Supply, rules: Rules, packed: list[Lies]
) -> list[LaidSheet]:
    """Return lengths of a roll, each as short as found, as long as there is roll left."""
    sheets: list[LaidSheet] = []
    left = film.length if film.length is not None else math.inf
    for one in packed:
        height = top_of(one) / UNIT - rules.spacing + 2 * rules.margin
        height = max(math.ceil(height), LEAST_SIDE)
        if height > left:
            continue
        left -= height
        sheets.append(_sheet(gauge, pieces, film, rules, one, height))
    return sheets


def inner(side: float, rules: Rules) -> int:
    """Return the room between margins in whole numbers (`UNIT`), a spacing more for the last."""
    return math.floor((side - 2 * rules.margin + rules.spacing) * UNIT + 1e-6)


def variants_of(piece: Piece, ways: tuple[bool, ...], rules: Rules) -> Variants:
    """Return how large a piece is with the room beside it (`UNIT`), lying in these ways."""
    width = math.ceil((piece.width + rules.spacing) * UNIT - 1e-6)
    height = math.ceil((piece.height + rules.spacing) * UNIT - 1e-6)
    turned = {False: (width, height), True: (height, width)}
    return tuple(dict.fromkeys(turned[way] for way in ways))


def _sheet(
    gauge: float, pieces: list[Piece], film: Supply, rules: Rules, placed: Lies, height: float
) -> LaidSheet:
    lying = tuple(
        lying_at(pieces[k], (x, y), (w, h), film, rules)
        for k, x, y, w, h in sorted(placed, key=lambda one: (one[2], one[1]))
    )
    width = room(film, rules)[0]
    return LaidSheet(film=film, gauge=gauge, width=width, height=height, pieces=lying)


def lying_at(
    piece: Piece, at: tuple[int, int], size: tuple[int, int], film: Supply, rules: Rules
) -> Lying:
    """Return a piece as it lies, mm.

    Args:
        piece: as drawn.
        at: left and bottom, from the margins (`UNIT`).
        size: with the room beside it (`UNIT`): it tells whether the piece is turned.
        film: what it lies on: a square piece is turned only where it must be.
        rules: margin and spacing.

    """
    turned = size != variants_of(piece, (False,), rules)[0] or False not in film.ways
    wide, tall = (piece.height, piece.width) if turned else (piece.width, piece.height)
    left, bottom = (rules.margin + place / UNIT for place in at)
    return Lying(piece.name, left, bottom, wide, tall, turned, piece.shape)


def _check(sheets: list[LaidSheet], pieces: list[Piece], rest: list[Piece], rules: Rules) -> None:
    missing = Counter(piece.name for piece in rest)
    for film in {sheet.film.name: sheet.film for sheet in sheets}.values():
        own = [sheet for sheet in sheets if sheet.film.name == film.name]
        laid = Counter(p.name for sheet in own for p in sheet.pieces)
        missing += laid
        if film.form == "roll" and film.length is not None:
            over = sum(sheet.height for sheet in own) > film.length + 1e-6
        else:
            over = film.count is not None and len(own) > film.count and film.form != "roll"
        if over:
            _defect(f"more of {film.name} than there is")
        wanted = {
            piece.name: Wanted(laid[piece.name], piece.width, piece.height, film.ways)
            for piece in pieces
        }
        grounds = [
            Ground(f"sheet {i}", sheet.width, sheet.height, sheet.pieces)
            for i, sheet in enumerate(own, start=1)
        ]
        if faults := list(layout_faults(wanted, grounds, rules.margin, rules.spacing)):
            _defect("; ".join(faults[:5]))
    if missing != Counter({piece.name: piece.count for piece in pieces}):
        _defect("pieces that lie too often or nowhere")


def _defect(found: str) -> None:
    raise Defect(
        found,
        "a layout holds each piece once, inside and apart",
        "nothing was written; please report this list",
        "layout",
    )


def film_taken(sheets: Iterable[LaidSheet]) -> dict[str, float]:
    """Return how much of each film sheets take: pieces, or mm of a roll."""
    taken: dict[str, float] = {}
    for sheet in sheets:
        amount = sheet.height if sheet.film.form == "roll" else 1.0
        taken[sheet.film.name] = taken.get(sheet.film.name, 0.0) + amount
    return taken


def left_of(film: Supply, sheets: Sequence[LaidSheet]) -> Supply:
    """Return what is left of a film after sheets were taken off it, at least nothing."""
    return _with_more(film, -film_taken(sheets).get(film.name, 0.0))


def put_back(film: Supply, sheets: Sequence[LaidSheet]) -> Supply:
    """Return a film with what sheets took off it."""
    return _with_more(film, film_taken(sheets).get(film.name, 0.0))


def _with_more(film: Supply, more: float) -> Supply:
    if film.form == "roll":
        return film if film.length is None else replace(film, length=max(0.0, film.length + more))
    return film if film.count is None else replace(film, count=max(0, film.count + round(more)))


def offcuts(sheets: Mapping[int, LaidSheet], rules: Rules, exhibit: str) -> Iterator[Supply]:
    """Yield the rests worth keeping: a strip across a sheet's top, or beside what a roll held.

    Args:
        sheets: by their numbers.
        rules: of the layout.
        exhibit: what its film is booked by.

    """
    for i, sheet in sheets.items():
        rest = _rest(sheet, rules)
        if rest is not None:
            width, length = rest
            yield Supply(
                form="offcut",
                name=f"{exhibit}, rest of sheet {i}",
                gauge=sheet.gauge,
                width=width,
                length=length,
                count=1,
                creases=sheet.film.creases,
                left_by=exhibit,
            )


def _rest(sheet: LaidSheet, rules: Rules) -> tuple[float, float] | None:
    """Return width and length of what is left of a sheet, or beside the pieces off a roll."""
    if sheet.film.form == "roll" or sheet.film.length is None:
        side = math.floor(sheet.width - max(p.left + p.width for p in sheet.pieces) - rules.spacing)
        wide = side >= SMALLEST_OFFCUT and sheet.height >= SMALLEST_OFFCUT
        return (float(side), float(sheet.height)) if wide else None
    top = max(p.bottom + p.height for p in sheet.pieces) + rules.spacing
    rest = math.floor(sheet.film.length - top)
    return (sheet.film.width, float(rest)) if rest >= SMALLEST_OFFCUT else None


def _unplaced(piece: Piece, films: list[Supply], rules: Rules) -> Unplaced:
    """Say why a piece lies nowhere, and which film is nearest to holding it."""
    long, short = max(piece.width, piece.height), min(piece.width, piece.height)
    need = f"film of at least {short + 2 * rules.margin:.0f} × {long + 2 * rules.margin:.0f} mm"
    if not films:
        return Unplaced(piece, f"no film of {piece.gauge:g} mm", need)
    if any(ways_of(piece, film, rules) for film in films):
        return Unplaced(piece, "not enough film", need)
    nearest = min(films, key=lambda film: _lacking(piece, film, rules))
    width, height = room(nearest, rules)
    return Unplaced(
        piece, f"the nearest film, {nearest.name}, holds {width:.0f} × {height:.0f} mm", need
    )


def _lacking(piece: Piece, film: Supply, rules: Rules) -> float:
    width, height = (side - 2 * rules.margin for side in room(film, rules))
    ways = [(piece.width, piece.height), (piece.height, piece.width)]
    return min(max(w - width, 0) + max(h - height, 0) for w, h in (ways[i] for i in film.ways))
