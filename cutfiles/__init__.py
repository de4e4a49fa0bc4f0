"""From a slip of bench measurements to verified cut files of a polyester-film book cradle.

>>> from cutfiles import make, slip_from
>>> made = make(slip_from({"number": "A1", "units": "mm", "height": 203, "width": 133,
...                        "spine_width": 34, "opening_angle": 120}), formats=["hpgl"])
>>> made.files[0].verified
True

Names are loaded when first used, so that a light task stays light.
"""

from importlib import import_module
from typing import TYPE_CHECKING

from cutfiles.version import VERSION

if TYPE_CHECKING:
    from cutfiles.bench.films import read_films as read_films
    from cutfiles.bench.slip import Slip as Slip
    from cutfiles.bench.slip import read_slip as read_slip
    from cutfiles.bench.slip import slip_from as slip_from
    from cutfiles.draft import draft_of as draft_of
    from cutfiles.errors import CutfilesError as CutfilesError
    from cutfiles.exhibit.plan import ExhibitPlan as ExhibitPlan
    from cutfiles.exhibit.run import make_exhibit as make_exhibit
    from cutfiles.files.made import Made as Made
    from cutfiles.findings import Finding as Finding
    from cutfiles.job.deliver import deliver as deliver
    from cutfiles.job.make import make as make
    from cutfiles.job.order import Order as Order
    from cutfiles.job.recheck import fold_data as fold_data
    from cutfiles.job.recheck import verify_data as verify_data
    from cutfiles.job.workshop import read_workshop as read_workshop
    from cutfiles.line.lines import open_line as open_line
    from cutfiles.line.send import send as send
    from cutfiles.lists.ledger import read_list as read_list
    from cutfiles.machine.plan import plan as plan
    from cutfiles.machine.profile.read import find_cutter as find_cutter
    from cutfiles.report.text.check import check_data as check_data
    from cutfiles.report.text.check import check_table as check_table
    from cutfiles.support.tolerance import error_effects as error_effects
    from cutfiles.support.verdict import Verdict as Verdict
    from cutfiles.support.verdict import assess as assess

__version__ = VERSION
_NAMES = {
    "bench.films": "read_films",
    "bench.slip": "Slip read_slip slip_from",
    "draft": "draft_of",
    "errors": "CutfilesError",
    "exhibit.plan": "ExhibitPlan",
    "exhibit.run": "make_exhibit",
    "files.made": "Made",
    "findings": "Finding",
    "job.deliver": "deliver",
    "job.make": "make",
    "job.order": "Order",
    "job.recheck": "fold_data verify_data",
    "job.workshop": "read_workshop",
    "line.lines": "open_line",
    "line.send": "send",
    "lists.ledger": "read_list",
    "machine.plan": "plan",
    "machine.profile.read": "find_cutter",
    "report.text.check": "check_data check_table",
    "support.tolerance": "error_effects",
    "support.verdict": "Verdict assess",
}
"""Modules and what of them is public; the imports above say the same to type checkers."""
_HOME = {name: module for module, names in _NAMES.items() for name in names.split()}


def __getattr__(name: str) -> object:
    if name not in _HOME:
        raise AttributeError(f"module 'cutfiles' has no attribute {name!r}")
    return getattr(import_module(f"cutfiles.{_HOME[name]}"), name)


def __dir__() -> list[str]:
    return sorted([*_HOME, "__version__"])
