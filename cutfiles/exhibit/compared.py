"""Widths and lengths of film compared, and what came of it kept until it may come otherwise."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any, NamedTuple

from cutfiles.disk.system import sum_of
from cutfiles.exhibit.sheets import number_written
from cutfiles.film.compare import Saving, savings
from cutfiles.film.layout import LaidSheet, Piece
from cutfiles.film.parts import Spread
from cutfiles.film.rules import Rules
from cutfiles.version import VERSION


class Compared(NamedTuple):
    """What a comparison came to.

    Attributes:
        key: checksum of all that it depends on.
        found: of each saving the film's name, what is changed, now and other (mm), and the share.

    """

    key: str = ""
    found: tuple[tuple[str, str, float, float, float], ...] = ()

    def savings(self, sheets: Sequence[LaidSheet]) -> tuple[Saving, ...]:
        """Return the savings, of the film that the sheets are cut from."""
        films = {sheet.film.name: sheet.film for sheet in sheets}
        return tuple(
            Saving(film=films[name], what=what, now=now, other=other, share=share)
            for name, what, now, other, share in self.found
        )


def compared(
    before: Compared,
    sheets: Sequence[LaidSheet],
    pieces: Sequence[Piece],
    rules: Rules,
    spread: Spread | None = None,
) -> Compared:
    """Return what a comparison comes to: as before, where it is asked of the same.

    Args:
        before: of the last run.
        sheets: not cut yet.
        pieces: all that lie on them, and perhaps others.
        rules: by which they were laid.
        spread: does the comparing in several processes, where there are.

    """
    laid = [(asdict(one.film.endless), one.apart, one.pieces) for one in sheets]
    key = sum_of(repr((VERSION, laid, list(pieces), rules)).encode())
    films = {one.film.name for one in sheets}
    if key == before.key and films.issuperset(name for name, *_ in before.found):
        return before
    found = savings(sheets, pieces, rules, spread)
    return Compared(key, tuple((s.film.name, s.what, s.now, s.other, s.share) for s in found))


def compared_data(one: Compared) -> dict[str, Any]:
    """Return a comparison as data, for the record."""
    return {"key": one.key, "found": [list(saving) for saving in one.found]}


def compared_from(data: Mapping[str, Any]) -> Compared:
    """Return a comparison from the record.

    Raises:
        KeyError, TypeError, ValueError: it is none of ours.

    """
    read = number_written
    found = (
        (str(name), str(what), read(now), read(other), read(share))
        for name, what, now, other, share in data["found"]
    )
    return Compared(str(data["key"]), tuple(found))
