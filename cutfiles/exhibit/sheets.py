"""The sheets of an exhibit, kept from run to run: number, film, where each piece lies."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, replace
from sys import intern
from typing import Any

from cutfiles.bench.at_hand import Supply
from cutfiles.film.late import KeptSheet
from cutfiles.film.layout import LaidSheet
from cutfiles.film.layout_check import Lying
from cutfiles.film.rules import Rules


def sheet_name(number: int) -> str:
    """Return what a sheet is called, and its files.

    >>> sheet_name(3)
    'sheet-003'
    """
    return f"sheet-{number:03d}"


def sheets_data(sheets: Iterable[KeptSheet]) -> list[dict[str, Any]]:
    """Return sheets as data, for the record."""
    return [
        {
            "number": sheet.number,
            "film": asdict(sheet.laid.film.endless),  # how much there is, others take from
            "gauge": sheet.laid.gauge,
            "width": sheet.laid.width,
            "height": sheet.laid.height,
            "apart": sheet.laid.apart,
            "pieces": [list(piece) for piece in sheet.laid.pieces],
        }
        for sheet in sheets
    ]


def sheets_from(data: Iterable[Mapping[str, Any]]) -> tuple[KeptSheet, ...]:
    """Return sheets from the record.

    Raises:
        KeyError, TypeError, ValueError: it is none of ours.

    """
    return tuple(
        KeptSheet(
            number=int(one["number"]),
            laid=LaidSheet(
                film=Supply(**one["film"]),
                gauge=number_written(one["gauge"]),
                width=number_written(one["width"]),
                height=number_written(one["height"]),
                pieces=tuple(map(_lying, one["pieces"])),
                apart=bool(one["apart"]),
            ),
        )
        for one in data
    )


def _lying(piece: Sequence[Any]) -> Lying:
    """Return a piece as it lies; names and shapes that come often are kept once."""
    one = Lying(*piece)
    return one._replace(name=intern(one.name), shape=intern(one.shape))


def number_written(value: object) -> float:
    """Return a number as it was written: 600 and 600.0 are told apart by checksums."""
    if not isinstance(value, int | float):
        raise TypeError
    return value


def with_film(sheet: KeptSheet, films: Iterable[Supply]) -> KeptSheet:
    """Return a sheet with its film as the shelf tells it now: its price may be another."""
    now = next((film for film in films if film.name == sheet.laid.film.name), None)
    return sheet if now is None else replace(sheet, laid=replace(sheet.laid, film=now))


def rules_text(rules: Rules) -> str:
    """Return what of the rules decides where pieces may lie; sheets laid by others are laid anew.

    >>> rules_text(Rules())
    'margin 10 mm, spacing 3 mm, longest 1500 mm'
    """
    bed = f", bed {rules.bed[0]:g} x {rules.bed[1]:g} mm" if rules.bed else ""
    return (
        f"margin {rules.margin:g} mm, spacing {rules.spacing:g} mm, longest {rules.longest:g} mm"
        + bed
    )
