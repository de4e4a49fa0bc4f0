"""Coupons: their files, their card, the passes of a cutter."""

from dataclasses import replace

from cutfiles.dataclass import dataclass
from cutfiles.disk.names import safe_name
from cutfiles.files.coupons import coupon_files
from cutfiles.files.made import File
from cutfiles.files.passes import write_plan
from cutfiles.film.lay import lay_coupon
from cutfiles.job.make import drawings, plan_cards
from cutfiles.job.order import Order
from cutfiles.machine.coupon import called
from cutfiles.machine.coupon import coupon as plan_of_coupon
from cutfiles.machine.cutter import Cutter
from cutfiles.machine.passes import CutPlan
from cutfiles.machine.plan import plan
from cutfiles.pattern.coupons import coupon_of
from cutfiles.support.trials import CouponName
from cutfiles.words.cautions import require_film_for


@dataclass(frozen=True, slots=True, kw_only=True)
class CouponMade:
    """A coupon with all its files, each cut file read back and compared.

    Attributes:
        title: its number and film.
        name: what all its files' names begin with.
        files: cut files first, the card last.
        left: formats that were not made, and why.
        plan: what one cutter does with it, where a cutter was named.

    """

    title: str
    name: str
    files: tuple[File, ...]
    left: tuple[str, ...]
    plan: CutPlan | None


def make_coupon(name: CouponName, gauge: float, order: Order) -> CouponMade:
    """Return a coupon that is tried by hand, of film of this gauge (mm), with its files.

    All of them are folded as well.

    Raises:
        DesignError: no support is made so of this gauge, or a laser may not cut the film.
        FormatError: it does not fit the bed.
        DifferenceError: a file did not read back, or does not fold, as it was meant.

    """
    coupon = coupon_of(name, gauge)
    require_film_for(order.kind, coupon.film)
    cutter = order.cutter
    stem = coupon.number if cutter is None else f"{coupon.number}-{called(cutter)}"
    stem = safe_name(stem)
    files, left = coupon_files(coupon, order.chosen, order.drawn, stem)
    planned = None
    if cutter is not None:
        planned = plan(lay_coupon(coupon), cutter, order.lot)
        files += write_plan(planned, stem)
    if order.paper is not None:
        from cutfiles.report.printed.coupon_card import coupon_card

        data = coupon_card(coupon, order.paper, machine=order.kind)
        files += (File(f"{stem}.card.pdf", "coupon-card", data, None),)
        files += plan_cards(planned, stem, order.paper)
    title = f"{coupon.number}, {coupon.film.gauge_text}"
    return CouponMade(title=title, name=stem, files=files, left=left, plan=planned)


def make_score_coupon(cutter: Cutter, gauge: float, order: Order) -> CouponMade:
    """Return the coupon that shows which setting of a cutter scores best, with its files.

    Args:
        cutter: the machine.
        gauge: of the film, mm.
        order: formats of the whole drawing, and paper.

    Raises:
        FormatError: the coupon does not fit the bed.
        DifferenceError: a file did not read back as it was meant.

    """
    planned = plan_of_coupon(cutter, gauge)
    order = replace(order, cutter=cutter)
    stem = safe_name(planned.number)
    drawn = drawings(planned.drawing, stem, order.chosen, order.drawn)
    files = (*drawn.files, *write_plan(planned, stem))
    if order.paper is not None:
        from cutfiles.report.printed.score_card import score_card

        card = File(f"{stem}.card.pdf", "score-card", score_card(planned, order.paper), None)
        files += (card, *plan_cards(planned, stem, order.paper))
    left = tuple(f"{form.title} not made: {error}" for form, error in drawn.large)
    return CouponMade(title=planned.number, name=stem, files=files, left=left, plan=planned)
