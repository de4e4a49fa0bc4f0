"""Film compared before it is bought: what is missing, and whether another width would save."""

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from cutfiles.bench.at_hand import Supply
from cutfiles.dataclass import dataclass
from cutfiles.film.layout import LaidSheet, Piece, Unplaced, lay_out, room
from cutfiles.film.parts import Spread
from cutfiles.film.rules import Rules

WIDTHS = (610.0, 762.0, 914.0, 1016.0, 1220.0, 1524.0)
"""Widths of rolls to compare, mm: 24, 30, 36, 40, 48, 60 in (common practice, no source)."""
LENGTHS = (1000.0, 1500.0, 2000.0, 3000.0)
"""Longest sheets cut off a roll to compare, mm."""
WORTH = 0.05
"""A smaller saving of film is not told."""
EFFORT = 60_000
"""Work spent on each of them: all are compared by the same."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Saving:
    """Another width, or longest sheet, that would take less of a film.

    Attributes:
        film: of the roll.
        what: what is changed: ``width`` or ``longest``.
        now: mm.
        other: mm.
        share: of the film's area that is saved.

    """

    film: Supply
    what: str
    now: float
    other: float
    share: float


def film_missing(
    unplaced: Sequence[Unplaced], films: Sequence[Supply], rules: Rules
) -> tuple[LaidSheet, ...]:
    """Return what sheets the pieces would take that lie on none, were there enough of each film."""
    endless = [film.endless for film in films if film.form != "offcut"]
    return lay_out(_counted(one.piece for one in unplaced), endless, rules).sheets


def _counted(pieces: Iterable[Piece]) -> list[Piece]:
    """Return pieces that come one by one, each once with its count."""
    counts = Counter(replace(piece, count=1) for piece in pieces)
    return [replace(piece, count=count) for piece, count in counts.items()]


def savings(
    sheets: Sequence[LaidSheet], pieces: Sequence[Piece], rules: Rules, spread: Spread | None = None
) -> Iterator[Saving]:
    """Yield the width and the longest sheet that save most of each roll, where it is worth telling.

    Args:
        sheets: not cut yet.
        pieces: all that lie on them, and perhaps others.
        rules: by which they were laid.
        spread: does the comparing in several processes, where there are.

    """
    rolls = {s.film.name: s.film for s in sheets if s.film.form == "roll"}
    rough = replace(rules, effort=EFFORT)
    widest, longest = rules.bed or (math.inf, math.inf)
    wide = [("width", w) for w in WIDTHS if w <= widest]
    long = [("longest", n) for n in LENGTHS if n <= longest]
    for film in rolls.values():
        own = _counted(_on(film, sheets, pieces))
        present = {"width": room(film, rules)[0], "longest": rules.longest}
        others = [(what, size) for what, size in (*wide, *long) if size != present[what]]
        asked = [_Asked(own, film, rough), *(_asked(own, film, rough, *one) for one in others)]
        now, *areas = spread(_area, asked) if spread else map(_area, asked)
        for what in present:
            found = [
                (area, n) for area, (name, n) in zip(areas, others, strict=True) if name == what
            ]
            least, size = min(found, default=(math.inf, 0.0))
            if now and least <= now * (1 - WORTH):
                share = 1 - least / now
                yield Saving(film=film, what=what, now=present[what], other=size, share=share)


class _Asked(NamedTuple):
    """Pieces to be laid on an endless roll, and by which rules."""

    pieces: Sequence[Piece]
    film: Supply
    rules: Rules


def _asked(pieces: Sequence[Piece], film: Supply, rules: Rules, what: str, size: float) -> _Asked:
    """Return what is asked where the width, or the longest sheet, is another."""
    if what == "width":
        return _Asked(pieces, replace(film, width=size), rules)
    return _Asked(pieces, film, replace(rules, longest=size))


def _on(film: Supply, sheets: Sequence[LaidSheet], pieces: Sequence[Piece]) -> Iterator[Piece]:
    """Yield the pieces that lie on sheets of a film, each as often as it lies there."""
    known = {piece.key: piece for piece in pieces}
    for sheet in sheets:
        for lying in sheet.pieces if sheet.film.name == film.name else ():
            piece = known.get(lying.key)
            if piece is not None:
                yield replace(piece, apart=sheet.apart)


def _area(asked: _Asked) -> float:
    """Return how much of an endless roll pieces take, mm²; endless where one does not fit."""
    done = lay_out(asked.pieces, [asked.film.endless], asked.rules)
    if done.unplaced:
        return math.inf
    return math.fsum(asked.film.width * sheet.height for sheet in done.sheets)
