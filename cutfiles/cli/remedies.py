"""What to do after a refusal, in the terminal's words: commands and options by key of remedy."""

from cutfiles.errors import CutfilesError, Fault, Place

_QUOTE = "put every text and every measure with a unit in quotation marks"
REMEDIES = {
    "anyway": "choose another kind of support; files for a trial with a dummy, never with the "
    "book, come with --anyway",
    "bare-number": "write its unit into the cell or the column's name, or say what bare numbers "
    "count in (--units in, or a mapping)",
    "columns": "name the columns, or say what they hold in a mapping (--mapping)",
    "compare-pass": "compare a pass with: cutfiles verify FILE --slip SLIP --cutter PROFILE; fold "
    "the whole drawing, the file without the pass in its name",
    "compare-straps": "check straps with: cutfiles verify FILE --slip SLIP",
    "copy-cutter": "copy it first: cutfiles cutters copy NAME our-NAME.toml",
    "coupon": "cut a coupon of this lot and record it: cutfiles coupon --judged",
    "cutter": "check its name and folder, or begin with: cutfiles cutters copy laser",
    "films": "check its name and folder, or write one from: cutfiles films --blank",
    "make-first": "make the cut files again first: cutfiles make SLIP (with the same --films and "
    "--trials), or print into another folder: --to",
    "make-passes": "make it again: cutfiles make SLIP --cutter NAME",
    "mapping": "check its name and folder, or write one with: cutfiles list --save-mapping",
    "name-slip": "give it: cutfiles fold {file} --slip SLIP",
    "own-films": "choose one of them, or name your own table with --films",
    "png": "leave out --png, or install it with: pip install 'cutfiles[png]'",
    "quote-films": f"{_QUOTE}; compare it with: cutfiles films --blank",
    "range": "give the range your machine's manual states with --hpgl-range, or use another "
    "format, or split the piece",
    "replace": "rename it or move it away, or give --replace",
    "replace-record": "use another number or folder, or give --replace",
    "slip": "check its name and folder, or write one with: cutfiles slip",
    "which-cutter": "list them with: cutfiles cutters list",
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
    remedy = REMEDIES.get(fault.key, fault.remedy).replace("{file}", place.file)
    return fault._replace(place=place, remedy=remedy)


def told(error: CutfilesError) -> str:
    """Return a refusal as the terminal tells it, one line a fault."""
    return "\n".join(str(worded(fault)) for fault in error.faults)


def words_of(error: CutfilesError) -> list[dict[str, str]]:
    """Return a refusal's faults in their parts, for data."""
    return [worded(fault).words for fault in error.faults]
