"""What is wanted of an exhibit beside its list."""

from dataclasses import dataclass, field, replace

from cutfiles.bench.at_hand import USUAL_SHELF, FilmAtHand
from cutfiles.film.rules import Rules
from cutfiles.job.order import Order
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

    """

    name: str
    order: Order = field(default_factory=Order)
    rules: Rules = field(default_factory=Rules)
    at_hand: FilmAtHand = USUAL_SHELF
    table: str | None = None
    spares: int = 0


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
