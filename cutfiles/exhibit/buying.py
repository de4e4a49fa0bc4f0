"""What an exhibit takes of film, tape and strap: at hand, needed, left, to buy, with the cost.

A film's needs are those of its sheets, cut or not, and of the pieces for which there was too little
of it: a table that says what is laid alone would say that too little suffices.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from cutfiles.bench.at_hand import Supply
from cutfiles.bench.film import Film
from cutfiles.exhibit.results import ExhibitResult, SheetResult, SupportFacts, SupportResult
from cutfiles.film.compare import Saving
from cutfiles.film.layout import LaidSheet
from cutfiles.support.straps import StrapKind

SPARE = 0.2
"""Spare film, tape and strap to order: 20 % (common practice, 15 to 25 %, no source)."""
_FILM_STRIP: StrapKind = "polyester film strip"
HEAD = ("what", "kind", "gauge", "at_hand", "needed", "left", "with_spare", "to_buy", "unit")
PRICED = ("price", "cost")


class FilmNeed(NamedTuple):
    """What an exhibit needs of one film: metres of a roll, pieces of what comes in pieces.

    Attributes:
        film: as the exhibit finds it.
        gauge: of what is cut from it, mm.
        needed: of it, for all sheets.
        laid: of that, for sheets that there is film for.
        with_spare: with spare film for what is not cut yet.
        cut: of that which is needed, what is cut already.

    """

    film: Supply
    gauge: float
    needed: float
    laid: float
    with_spare: float
    cut: float = 0.0

    @property
    def at_hand(self) -> float | None:
        """How much there is; None where nobody counted."""
        if self.film.form == "roll":
            return None if self.film.length is None else self.film.length / 1000
        return None if self.film.count is None else float(self.film.count)

    @property
    def left(self) -> float | None:
        """How much is left after the sheets that are laid."""
        return None if self.at_hand is None else max(0.0, self.at_hand - self.laid)

    @property
    def to_buy(self) -> float:
        """How much to buy, so that there is spare film too.

        Where nobody counted, all that is not cut yet.
        """
        there = self.cut if self.at_hand is None else self.at_hand
        lacking = max(0.0, self.with_spare - there)
        if self.film.form == "roll":
            return math.ceil(lacking * 100 - 1e-6) / 100
        return 0.0 if self.film.form == "offcut" else float(math.ceil(lacking - 1e-9))

    @property
    def cost(self) -> float | None:
        """What that costs, where the film has a price."""
        return None if self.film.price is None else self.film.price * self.to_buy


def film_needs(done: ExhibitResult) -> Iterator[FilmNeed]:
    """Yield what is needed of each film, in the order its sheets are cut."""
    return needs_of(done.shelf, done.sheets, done.missing)


def needs_of(
    shelf: Sequence[Supply], sheets: Iterable[LaidSheet | SheetResult], missing: Iterable[LaidSheet]
) -> Iterator[FilmNeed]:
    """Yield what is needed of each film.

    Args:
        shelf: what there is.
        sheets: that there is film for.
        missing: that there is none for.

    """
    found = {film.name: film for film in shelf}
    cut: dict[tuple[str, float], list[tuple[Supply, float, bool, bool]]] = {}
    for sheet in sheets:
        key = (sheet.film.name, sheet.gauge)
        amount = _amount(sheet.film, sheet.height)
        frozen = isinstance(sheet, SheetResult) and sheet.frozen
        cut.setdefault(key, []).append((sheet.film, amount, frozen, True))
    for laid in missing:
        key = (laid.film.name, laid.gauge)
        cut.setdefault(key, []).append((laid.film, _amount(laid.film, laid.height), False, False))
    for (name, gauge), rows in cut.items():
        needed = math.fsum(amount for _, amount, _, _ in rows)
        spare = math.fsum(amount * SPARE for _, amount, frozen, _ in rows if not frozen)
        film = found.get(name, rows[0][0])
        yield FilmNeed(
            film=film,
            gauge=gauge,
            needed=needed,
            laid=math.fsum(amount for _, amount, _, laid in rows if laid),
            with_spare=needed if film.form == "offcut" else needed + spare,
            cut=math.fsum(amount for _, amount, frozen, _ in rows if frozen),
        )


def _amount(film: Supply, height: float) -> float:
    return height / 1000 if film.form == "roll" else 1.0


def order_rows(done: ExhibitResult) -> Iterator[Sequence[object]]:
    """Yield film by kind, tape, and strap by width; the header first, the whole cost last."""
    needs = [*film_needs(done)]
    priced = any(need.cost is not None for need in needs)
    yield from film_rows(needs)
    for what, kind, total in lengths_of(one for one in done.supports if one.is_folded):
        spare = f"{total * (1 + SPARE):.2f}"
        yield (what, kind, "", "", f"{total:.2f}", "", spare, spare, "m", *_none(priced))
    if priced:
        whole = math.fsum(need.cost or 0.0 for need in needs)
        unknown = ", ".join(need.film.name for need in needs if need.cost is None)
        said = f"without {unknown}" if unknown else ""
        yield ("film in all", said, *[""] * (len(HEAD) - 2), "", f"{whole:.2f}")


def film_rows(needs: Sequence[FilmNeed]) -> Iterator[Sequence[object]]:
    """Yield a row a film, the header first; with prices where one is known."""
    priced = any(need.cost is not None for need in needs)
    yield (*HEAD, *(PRICED if priced else ()))
    for need in needs:
        yield (*_film_row(need), *(_cost(need) if priced else ()))


def _film_row(need: FilmNeed) -> tuple[str, ...]:
    digits = 2 if need.film.form == "roll" else 0
    spare = need.with_spare if digits else float(math.ceil(need.with_spare - 1e-9))

    def told(amount: float | None) -> str:
        return "" if amount is None else f"{amount:.{digits}f}"

    return (
        f"film, {need.film.name}",
        need.film.form,
        Film(gauge=need.gauge).gauge_text,
        told(need.at_hand),
        told(need.needed),
        told(need.left),
        told(spare),
        told(need.to_buy),
        "m" if digits else "pieces",
    )


def _cost(need: FilmNeed) -> tuple[str, str]:
    if need.film.price is None or need.cost is None:
        return "", ""
    return f"{need.film.price:.2f}", f"{need.cost:.2f}"


def _none(priced: bool) -> tuple[str, ...]:
    return ("", "") if priced else ()


def lengths_of(supports: Iterable[SupportResult]) -> Iterator[tuple[str, str, float]]:
    """Yield what supports take of tape, and of strap of each kind and width, m."""
    made = [(support.facts, support.copies) for support in supports if support.facts]
    tape = math.fsum(facts.tape * count for facts, count in made)
    yield "double-sided tape", "", tape / 1000
    straps: dict[tuple[str, float], float] = {}
    if not any(facts.straps and not is_of_film(facts) for facts, _ in made):
        yield "strap", "", 0.0
    for facts, _ in made:
        for _, kind, width, length, _ in facts.straps:
            if kind != _FILM_STRIP:
                straps[kind, width] = straps.get((kind, width), 0.0) + length
    for (kind, width), length in sorted(straps.items()):
        yield "strap", f"{kind}, {width:g} mm", length / 1000


def is_of_film(facts: SupportFacts) -> bool:
    """Whether a support's straps are strips of film, which no shared sheet holds."""
    return any(kind == _FILM_STRIP for _, kind, *_ in facts.straps)


def buying_lines(done: ExhibitResult) -> Iterator[str]:
    """Yield what is short, what it costs, and what another width would save."""
    needs = [*film_needs(done)]
    for need in needs:
        if need.needed > need.laid + 1e-9:
            unit = "m" if need.film.form == "roll" else "pieces"
            digits = 2 if unit == "m" else 0
            yield (
                f"film, {need.film.name}: {need.needed:.{digits}f} {unit} are needed, "
                f"{need.at_hand or 0:.{digits}f} at hand; with spare film buy "
                f"{need.to_buy:.{digits}f} {unit}"
            )
    costs = [need.cost for need in needs if need.cost is not None]
    if costs:
        yield f"film to buy costs {math.fsum(costs):.2f}, see order.csv"
    for saving in done.savings:
        yield _saved(saving)


def _saved(saving: Saving) -> str:
    name, share = saving.film.name, f"{saving.share:.0%}"
    if saving.what == "width":
        return (
            f"{name}: a roll {saving.other:.0f} mm wide would take about {share} less film than "
            f"{saving.now:.0f} mm"
        )
    return (
        f"{name}: sheets of up to {saving.other:.0f} mm off the roll would take about {share} less "
        f"film than {saving.now:.0f} mm"
    )
