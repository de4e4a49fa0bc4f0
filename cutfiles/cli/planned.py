"""What the options of an exhibit say of it, for the command and for the desk alike."""

from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from cutfiles.bench.at_hand import FilmAtHand
    from cutfiles.exhibit.plan import ExhibitPlan

PLAN = (
    *("--shelf", "--longest", "--margin", "--spacing"),
    *("--spares", "--fold-minutes", "--memory", "--effort"),
)
"""Options that `plan_from` reads."""


def plan_from(given: dict[str, Any]) -> "ExhibitPlan":
    """Take out of the options given all that a plan holds, and return it, without name or order.

    Raises:
        FilmsError, FileError: the table of films at hand has faults, or cannot be read.

    """
    from cutfiles.errors import ReadingError
    from cutfiles.exhibit.plan import ExhibitPlan
    from cutfiles.film.rules import EFFORTS, LIMITS, Rules
    from cutfiles.units import read_length

    read: dict[str, float] = {}
    for which, (least, most) in LIMITS.items():
        try:
            text = given.pop(which)
            value = read_length(text)
            if not least <= value <= most:
                raise ReadingError(f'"{text}"', f"from {least:g} to {most:g} mm", "choose another")
        except ReadingError as error:
            raise click.BadParameter(str(error), param_hint=f"--{which}") from None
        read[which] = value
    at_hand, path = _at_hand(given.pop("shelf"))
    return ExhibitPlan(
        name="",
        rules=Rules(
            margin=read["margin"],
            spacing=read["spacing"],
            longest=read["longest"],
            effort=EFFORTS[given.pop("effort")],
        ),
        at_hand=at_hand,
        table=path,
        spares=given.pop("spares"),
        memory=given.pop("memory_path"),
        fold_minutes=given.pop("fold_minutes"),
    )


def _at_hand(shelf: tuple[str, ...]) -> "tuple[FilmAtHand, str | None]":
    from cutfiles.bench.at_hand import USUAL_SHELF, FilmAtHand
    from cutfiles.bench.films import read_films
    from cutfiles.errors import ReadingError
    from cutfiles.film.shelf import supply_from_text

    files = [text for text in shelf if not text.startswith(("roll ", "sheet "))]
    if len(files) > 1 or (files and len(shelf) > 1):
        raise click.BadParameter(
            "name one table of films at hand and nothing beside it", param_hint="--shelf"
        )
    if files:
        return read_films(files[0]), files[0]
    if not shelf:
        return USUAL_SHELF, None
    try:
        supplies = tuple(supply_from_text(text) for text in dict.fromkeys(shelf))
    except ReadingError as error:
        raise click.BadParameter(str(error), param_hint="--shelf") from None
    return FilmAtHand(shelf=supplies), None
