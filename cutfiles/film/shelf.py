"""The shelf as exhibits use it: film named in a word, and what an exhibit took and left."""

import re

from cutfiles.bench.at_hand import LEAST_SIDE, FilmAtHand, Supply, SupplyForm
from cutfiles.bench.blank import quoted
from cutfiles.bench.films import BOOKED
from cutfiles.errors import ReadingError
from cutfiles.units import read_length


def supply_from_text(text: str) -> Supply:
    """Return film named in a word on the command line, of any gauge.

    Raises:
        ReadingError: it cannot be read.

    >>> supply_from_text("roll 1016 mm").width, supply_from_text("sheet 24 in x 40 in").length
    (1016.0, 1016.0)

    """
    match = re.fullmatch(r"(roll|sheet)\s+(.+?)(?:\s*[x×]\s*(.+))?", text.strip())
    if match is None or (match[1] == "sheet") != bool(match[3]):
        raise _unread(text)
    form: SupplyForm = "roll" if match[1] == "roll" else "sheet"
    try:
        width = read_length(match[2])
        length = read_length(match[3]) if match[3] else None
    except ReadingError:
        raise _unread(text) from None
    if min(width, length or width) < LEAST_SIDE:
        raise ReadingError(
            f'"{text}"', f"film is at least {LEAST_SIDE:g} mm either way", "name a larger one"
        )
    return Supply(form=form, name=text.strip(), gauge=0.0, width=width, length=length)


def _unread(text: str) -> ReadingError:
    return ReadingError(
        f'"{text}"',
        "film at hand of any gauge is a roll and its width, or a sheet and its two sides",
        'write "roll 1016 mm" or "sheet 610 mm x 1016 mm"; gauges, lengths and prices are said in '
        "a table of film at hand",
    )


def booked_text(
    film: FilmAtHand, exhibit: str, taken: dict[str, float], left: list[Supply]
) -> bytes:
    """Return the table of film after an exhibit: what its user wrote, then what is booked."""
    lines = [film.head.rstrip("\n"), "", BOOKED]
    now = [(exhibit, name, amount) for name, amount in sorted(taken.items())]
    at = next((i for i, one in enumerate(film.taken) if one[0] == exhibit), len(film.taken))
    before, after = (
        [one for one in part if one[0] != exhibit] for part in (film.taken[:at], film.taken[at:])
    )
    for who, name, amount in [*before, *now, *after]:
        lines += [
            "",
            "[[taken]]",
            f"by = {quoted(who)}",
            f"name = {quoted(name)}",
            f"taken = {round(amount, 1)!r}",
        ]
    kept = [one for one in film.shelf if one.left_by and one.left_by != exhibit]
    for one in [*kept, *left]:
        lines += [
            "",
            "[[offcut]]",
            f"name = {quoted(one.name)}",
            f"left_by = {quoted(one.left_by)}",
            f"gauge = {quoted(f'{one.gauge:g} mm')}",
            f"width = {quoted(f'{one.width:g} mm')}",
            f"length = {quoted(f'{one.length:g} mm')}",
            f'creases = "{one.creases}"',
        ]
    return ("\n".join(lines) + "\n").encode()
