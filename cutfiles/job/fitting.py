"""What to make where a support does not fit its cutter: film and construction that fit and hold."""

from dataclasses import replace

from cutfiles.bench.slip import Slip
from cutfiles.draft import Draft, draft_of
from cutfiles.errors import CutfilesError, FormatError
from cutfiles.job.order import Order, accepted
from cutfiles.machine.cutter import Cutter
from cutfiles.machine.passes import CutPlan
from cutfiles.machine.plan import plan
from cutfiles.machine.turning import quarter_needed
from cutfiles.support.judge import Judged
from cutfiles.support.settle import FILM_GIVEN, as_made
from cutfiles.words.made import way_text

HOLDS = ("proved", "adequate")


def planned(slip: Slip, made: Draft, cutter: Cutter, order: Order) -> CutPlan:
    """Return what a cutter does with a support.

    Args:
        slip: as it was read.
        made: the support.
        cutter: the machine.
        order: how it is made.

    Raises:
        FormatError: it does not fit the bed; names film and construction that do and hold the book,
            if any of those at hand.
        FileError: no coupon was judged for the film lot.

    """
    try:
        return plan(made.drawing, cutter, order.lot)
    except FormatError as error:
        if not _too_large(made, cutter, error):
            raise
        fault, way = error.fault, way_that_fits(slip, made, cutter, order)
        needed, remedy = fault.needed, fault.remedy
        if way:
            other = f"make it of {way_text(way.way, way.legs)}: so it fits and holds this book"
            remedy = f"{other}; or {remedy}"
        else:
            needed += "; in no film at hand does a support of this book both fit it and hold"
        raise FormatError(fault.found, needed, remedy, fault.place, fault.key) from None


def way_that_fits(slip: Slip, made: Draft, cutter: Cutter, order: Order) -> Judged | None:
    """Return the adequate way with the fewest folds, then the least film, that fits a cutter.

    What the slip fixes does not bind it: it is told, not made.
    """
    open_ = accepted(slip, order)
    open_ = replace(
        open_, given={name: value for name, value in open_.given.items() if name not in FILM_GIVEN}
    )
    ways = [one for one in made.verdict.ways if one.state in HOLDS]
    for one in sorted(ways, key=lambda one: (one.folds, one.grams, one.way)):
        try:
            plan(draft_of(as_made(open_, one), order.trials).drawing, cutter)
        except CutfilesError:
            continue
        return one
    return None


def _too_large(made: Draft, cutter: Cutter, error: FormatError) -> bool:
    """Whether a support was refused for its size, whole or in frames."""
    if str(error.fault.place) == "frames":
        return True
    try:
        quarter_needed(made.drawing, cutter.bed)
    except FormatError:
        return True
    return False
