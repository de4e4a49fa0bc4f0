"""What is wanted of an exhibit beside its list."""

from dataclasses import field, replace

from cutfiles.bench.at_hand import USUAL_SHELF, FilmAtHand
from cutfiles.dataclass import dataclass
from cutfiles.errors import FileError, FormatError
from cutfiles.film.rules import Rules
from cutfiles.job.order import Order
from cutfiles.job.workshop import FOLD_MINUTES
from cutfiles.machine.formats import FORMATS


@dataclass(frozen=True, slots=True, kw_only=True)
class ExhibitPlan:
    """What is wanted of an exhibit beside its list.

    Attributes:
        name: of the exhibit; a table of film at hand keeps under it what the exhibit takes.
        order: how supports and sheets are made.
        rules: how pieces are laid on film.
        at_hand: the film at hand.
        table: the file of the film at hand, to be updated, or None.
        spares: how many more of each support are cut.
        memory: the file in which the supports made are kept, or None.
        fold_minutes: for a crease folded by hand, taping and fitting among it.
        anew: whether what is not cut yet is laid out anew, and its film chosen anew.

    """

    name: str
    order: Order = field(default_factory=Order)
    rules: Rules = field(default_factory=Rules)
    at_hand: FilmAtHand = USUAL_SHELF
    table: str | None = None
    spares: int = 0
    memory: str | None = None
    fold_minutes: float = FOLD_MINUTES
    anew: bool = False


def bounded(plan: ExhibitPlan) -> ExhibitPlan:
    """Return the plan with sheets that its cutter, its bed and the formats it names can hold.

    A support's own files may be larger than the bed: it is the sheets that are cut.
    """
    order, bed = plan.order, plan.order.options.bed or plan.rules.bed
    for key in order.formats or ():
        limit = FORMATS[key].largest(order.options)
        if limit is not None:
            bed = (min(bed[0], limit), min(bed[1], limit)) if bed else (limit, limit)
    if order.cutter is not None:
        across, along = order.cutter.bed.reach
        bed = (across, along if order.cutter.bed.tiles == "none" else plan.rules.longest)
    return replace(
        plan,
        order=replace(order, options=replace(order.options, bed=None)),
        rules=replace(plan.rules, bed=bed),
    )


def require_ready(plan: ExhibitPlan) -> None:
    """Refuse, before any work, a plan whose every sheet would be refused after all of it.

    Raises:
        FormatError: a format that there is not, or that only a cutter's passes have; or the cutter
            takes programs that set its power, and its profile knows no film.
        FileError: no coupon was judged for the film lot.

    """
    for key in plan.order.formats or ():
        if key not in FORMATS or FORMATS[key].bound:
            known = ", ".join(one.key for one in FORMATS.values() if not one.bound)
            raise FormatError(
                f'the format "{key}" of sheets for people',
                f"one of {known}; a cutter's passes come in the formats of its profile",
                "name others, or a cutter that takes it",
                plan.name,
            )
    cutter, lot = plan.order.cutter, plan.order.lot
    if cutter is None:
        return
    bound = next((FORMATS[key] for key in cutter.formats if FORMATS[key].bound), None)
    if bound is not None and not cutter.materials:
        raise FormatError(
            f"a profile that takes {bound.title} and has no [[material]]",
            f"{bound.title} sets the beam's power and speed, and there are no usual ones",
            "cut a coupon, then add a [[material]] for each gauge to the cutter profile",
            cutter.source,
        )
    if lot and lot not in {one.lot for one in cutter.judged}:
        known = ", ".join(dict.fromkeys(one.lot for one in cutter.judged)) or "none"
        raise FileError(
            f'the film lot "{lot}"',
            f"lots the profile knows: {known}",
            "cut a coupon of this lot and record what it showed",
            cutter.source,
            "coupon",
        )


def left_out(plan: ExhibitPlan) -> tuple[str, ...]:
    """Return which of the usual formats will not hold all sheets of the film at hand, and why."""
    order = plan.order
    if order.formats is not None or order.cutter is not None:
        return ()  # formats that are named bound the sheets; a cutter's passes fit its bed
    said = []
    for key in order.chosen:
        form = FORMATS[key]
        limit = form.largest(order.options)
        wide = [one for one in plan.at_hand.shelf if limit is not None and one.width > limit]
        if wide:
            said.append(
                f"{form.title} holds at most {limit:.0f} mm either way: sheets of "
                f"{', '.join(dict.fromkeys(one.name for one in wide))} may come without it; name "
                "the format to have smaller sheets, or the cutter they are for"
            )
    return tuple(said)
