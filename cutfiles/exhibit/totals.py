"""What an exhibit costs and takes in all: film, cutting, folding, and what each figure rests on."""

import math
from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple

from cutfiles.exhibit.buying import FilmNeed, film_needs, lengths_of
from cutfiles.exhibit.results import ExhibitResult, SupportFacts, SupportResult
from cutfiles.job.workshop import FOLD_MINUTES
from cutfiles.support.constructions.plate import DENSITY
from cutfiles.words.counts import counted, supports_told

HEAD = ("what", "all", "left", "unit", "based_on")


class Total(NamedTuple):
    """One figure of an exhibit.

    Attributes:
        what: it is of.
        all: of the whole exhibit; None where it cannot be known.
        left: of that, what is still to be bought or done.
        unit: ``min``, or ``price`` in the money of the table of film.
        basis: what it rests on, or why it is not known.

    """

    what: str
    all: float | None
    left: float | None
    unit: str
    basis: str

    @property
    def told(self) -> str:
        """The figure as a line of text."""
        if self.all is None or self.left is None:
            return f"{self.what}: {self.basis}"
        if self.unit == "min":
            figures = f"{hours(self.all)}, {hours(self.left)} of it left"
        else:
            figures = f"{self.all:.2f}, still to buy {self.left:.2f}"
        return f"{self.what}: {figures} ({self.basis})"


def hours(minutes: float) -> str:
    """Return a time of work as people say it.

    >>> hours(0.4), hours(59.6), hours(621.0)
    ('1 min', '1 h 0 min', '10 h 21 min')
    """
    whole = max(1, round(minutes)) if minutes else 0
    return f"{whole} min" if whole < 60 else f"{whole // 60} h {whole % 60} min"


def totals(done: ExhibitResult) -> tuple[Total, ...]:
    """Return what an exhibit costs in film, and how long it is cut and folded."""
    return _film([*film_needs(done)]), _cutting(done), _folding(done.supports, done.fold_minutes)


def _film(needs: Sequence[FilmNeed]) -> Total:
    priced = [(n.film.price * n.needed, n.cost) for n in needs if n.film.price is not None]
    unpriced = ", ".join(need.film.name for need in needs if need.film.price is None)
    if not priced:
        return Total("film", None, None, "price", "cost not known, no film has a price")
    without = f"; without {unpriced}, which has none" if unpriced else ""
    return Total(
        "film",
        math.fsum(whole for whole, _ in priced),
        math.fsum(cost or 0.0 for _, cost in priced),
        "price",
        f"prices of the film at hand; what is to buy has spare film{without}",
    )


def _cutting(done: ExhibitResult) -> Total:
    if not done.cutter:
        return Total("cutting", None, None, "min", "time not known, no cutter is named")
    timed = [sheet for sheet in done.cut if sheet.seconds]
    untimed = len(done.cut) - len(timed)
    return Total(
        "cutting",
        math.fsum(sheet.seconds for sheet in timed) / 60,
        math.fsum(sheet.seconds for sheet in timed if not sheet.frozen) / 60,
        "min",
        f"speeds and acceleration of {done.cutter}; loading film comes on top"
        + (f"; without {counted(untimed, 'sheet')} made without it" if untimed else ""),
    )


def _folding(supports: Sequence[SupportResult], each: float) -> Total:
    """Return how long supports are folded, at so many minutes a crease."""
    folded = [(s, s.facts.creases * s.copies) for s in supports if s.facts and s.is_folded]
    creases = sum(count for _, count in folded)
    left = sum(count for s, count in folded if s.stage.stage in ("planned", "cut"))
    source = "common practice, no source" if each == FOLD_MINUTES else "as the workshop counts"
    return Total(
        "folding",
        creases * each,
        left * each,
        "min",
        f"{creases} creases in {counted(sum(s.copies for s, _ in folded), 'support')}, "
        f"{each:g} min each with taping and fitting: {source}",
    )


def case_lines(supports: Sequence[SupportResult], fold_minutes: float) -> tuple[str, ...]:
    """Return what the supports of one case come to, a figure a line; nothing where none is folded.

    Film counts as it is in the pieces, without what is left over on their sheets.
    """
    folded = [support for support in supports if support.is_folded]
    if not folded:
        return ()
    areas = [(_area(s.facts) * s.copies, s.facts.gauge) for s in folded if s.facts]
    grams = math.fsum(area * gauge * DENSITY for area, gauge in areas)
    lengths = [
        f"{', '.join(word for word in (what, kind) if word)}: {metres:.2f} m"
        for what, kind, metres in lengths_of(folded)
        if metres
    ]
    count, trials = (
        sum(support.copies for support in own)
        for own in (folded, [support for support in folded if support.is_barred])
    )
    without = sum(not s.is_folded and s.stage.stage != "withdrawn" for s in supports)
    return (
        supports_told(count, trials, without),
        f"film: {math.fsum(area for area, _ in areas) / 1e6:.2f} m², {grams:.0f} g",
        *lengths,
        _folding(folded, fold_minutes).told,
    )


def _area(facts: SupportFacts) -> float:
    """Return the film in a support, strip and posts, mm²."""
    posts = (width * height * count for _, width, height, count, _ in facts.posts)
    return facts.width * facts.height + math.fsum(posts)


def total_rows(done: ExhibitResult) -> Iterator[Sequence[object]]:
    """Yield a row a figure, the header first."""
    yield HEAD
    for one in totals(done):
        digits = 2 if one.unit == "price" else 0
        figures = ("" if x is None else f"{x:.{digits}f}" for x in (one.all, one.left))
        yield (one.what, *figures, one.unit, one.basis)


def totals_data(done: ExhibitResult) -> dict[str, Any]:
    """Return the figures as data: minutes, prices; what is not known is None."""
    return {
        one.what: {
            f"all_{one.unit}": None if one.all is None else round(one.all, 2),
            f"left_{one.unit}": None if one.left is None else round(one.left, 2),
            "based_on": one.basis,
        }
        for one in totals(done)
    }
