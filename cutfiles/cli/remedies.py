"""What to do after a refusal, in the terminal's words: commands and options by key of remedy."""

from typing import NamedTuple

import click

from cutfiles.errors import CutfilesError, Fault, Place

_QUOTE = "put every text and every measure with a unit in quotation marks"


class Remedy(NamedTuple):
    """What to do, in the terminal's words.

    Attributes:
        text: in one line.
        options: of the command that was refused, which it names; a command without them says what
            the refusal itself proposes.

    """

    text: str
    options: tuple[str, ...] = ()


REMEDIES = {
    "bows": Remedy(
        "make it of one layer, with edges hemmed, or of thinner film; files for a trial come with "
        "--anyway",
        ("--anyway",),
    ),
    "anyway": Remedy(
        "choose another kind of support; files for a trial with a dummy, never with the "
        "book, come with --anyway",
        ("--anyway",),
    ),
    "bare-number": Remedy(
        "write its unit into the cell or the column's name, or say what bare numbers "
        "count in (--units in, or a mapping)",
        ("--units",),
    ),
    "columns": Remedy(
        "name the columns, or say what they hold in a mapping (--mapping)", ("--mapping",)
    ),
    "compare-pass": Remedy(
        "compare a pass with: cutfiles verify FILE --slip SLIP --cutter PROFILE; fold "
        "the whole drawing, the file without the pass in its name"
    ),
    "compare-straps": Remedy("check straps with: cutfiles verify FILE --slip SLIP"),
    "copy-cutter": Remedy("copy it first: cutfiles cutters copy NAME our-NAME.toml"),
    "coupon": Remedy("cut a coupon of this lot and record it: cutfiles coupon --judged"),
    "cutter": Remedy("check its name and folder, or begin with: cutfiles cutters copy laser"),
    "films": Remedy("check its name and folder, or write one from: cutfiles films --blank"),
    "list-file": Remedy(
        "a list of books is looked at by: cutfiles list LIST, and made by: cutfiles exhibit LIST "
        "--to DIR"
    ),
    "lay-anyway": Remedy(
        "leave the book to the mountmaker; to try it with a dummy, never with the book, lay it on "
        "a sheet first: cutfiles exhibit LIST --to DIR --anyway"
    ),
    "marked-cut": Remedy(
        "if its film was spoilt, take the mark back first: cutfiles mark DIR planned SHEET "
        "--date YYYY-MM-DD --initials AB"
    ),
    "make-first": Remedy(
        "make the cut files again first: cutfiles make SLIP (with the same --films and "
        "--trials), or print into another folder: --to",
        ("--to",),
    ),
    "make-passes": Remedy(
        "make it again: cutfiles make SLIP --cutter NAME; a sheet: cutfiles exhibit LIST "
        "--cutter NAME; a coupon: cutfiles coupon --cutter NAME"
    ),
    "mapping": Remedy("check its name and folder, or write one with: cutfiles list --save-mapping"),
    "verify-slip": Remedy("name it: cutfiles verify {file} --slip SLIP"),
    "name-slip": Remedy("give it: cutfiles fold {file} --slip SLIP"),
    "own-films": Remedy("choose one of them, or name your own table with --films", ("--films",)),
    "png": Remedy("leave out --png, or install it with: pip install 'cutfiles[png]'", ("--png",)),
    "quote-films": Remedy(f"{_QUOTE}; compare it with: cutfiles films --blank"),
    "range": Remedy(
        "give the range your machine's manual states with --hpgl-range, or use another "
        "format, or split the piece",
        ("--hpgl-range",),
    ),
    "replace": Remedy("rename it or move it away, or give --replace", ("--replace",)),
    "replace-record": Remedy("use another number or folder, or give --replace", ("--replace",)),
    "slip": Remedy("check its name and folder, or write one with: cutfiles slip"),
    "size-wide": Remedy(
        'write the order into the header, as in "H x W x D", into the cell ("H 203 x W 270 mm"), '
        "or into [column_orders] of a mapping (--mapping)",
        ("--mapping",),
    ),
    "workshop": Remedy("compare it with: cutfiles workshop --blank"),
    "quote-workshop": Remedy(f"{_QUOTE}; compare it with: cutfiles workshop --blank"),
    "which-cutter": Remedy("list them with: cutfiles cutters list"),
}
"""Remedies by their keys (`Fault.key`) where a command or an option is what helps."""


def worded(fault: Fault) -> Fault:
    """Return a fault as the terminal tells it.

    >>> str(worded(Fault(Place(option=True).at("height"), "0", "more", "correct it")))
    'option --height: found 0; more; correct it'
    """
    place = fault.place
    if place.option and place.field:
        place = Place(file=f"option --{place.field.replace('_', '-')}")
    said = REMEDIES.get(fault.key)
    remedy = said.text if said and options_here().issuperset(said.options) else fault.remedy
    return fault._replace(place=place, remedy=remedy.replace("{file}", place.file))


def options_here() -> set[str]:
    """Return the options of the command that runs."""
    running = click.get_current_context(silent=True)
    return {name for one in running.command.params for name in one.opts} if running else set()


def told(error: CutfilesError) -> str:
    """Return a refusal as the terminal tells it, one line a fault."""
    return "\n".join(str(worded(fault)) for fault in error.faults)


def words_of(error: CutfilesError) -> list[dict[str, str]]:
    """Return a refusal's faults in their parts, for data."""
    return [worded(fault).words for fault in error.faults]
