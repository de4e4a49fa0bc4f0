"""How things are made: the desk's own order, as the form of a page changes it."""

from dataclasses import replace
from typing import Any

from starlette.datastructures import FormData

from cutfiles.job.order import Order
from cutfiles.machine.profile.read import find_cutter, packaged_cutters

PAPERS: dict[str, Any] = {"A4": "A4", "Letter": "Letter", "none": None}
"""What a page calls the paper of an order."""


def order_of(form: FormData, own: Order, before: str = "") -> Order:
    """Return an order as a form changes it, by its fields paper, anyway and cutter.

    Args:
        form: of the page; what it leaves out, or says in none of the page's words, stays.
        own: the desk's.
        before: what stands before the names of the form's fields.

    """
    paper = PAPERS.get(str(form.get(f"{before}paper")), own.paper)
    order = replace(own, paper=paper, anyway=f"{before}anyway" in form)
    cutter = str(form.get(f"{before}cutter"))
    if cutter in packaged_cutters():  # a name of ours, never a path
        order = replace(order, cutter=find_cutter(cutter))
    elif cutter == "none":
        order = replace(order, cutter=None)
    return order
