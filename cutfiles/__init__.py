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

from cutfiles.version import VERSION as __version__

if TYPE_CHECKING:
    from cutfiles.bench.blank import blank_slip
    from cutfiles.bench.book import Board, Book, Opening
    from cutfiles.bench.choices import Choices
    from cutfiles.bench.film import Film
    from cutfiles.bench.slip import Slip, read_slip, slip_from
    from cutfiles.delivery import deliver
    from cutfiles.errors import CutfilesError
    from cutfiles.findings import Finding
    from cutfiles.formats import FORMATS, Options
    from cutfiles.job import draft, make, verify_data
    from cutfiles.line.check import check_job
    from cutfiles.line.lines import open_line
    from cutfiles.line.send import Control, send
    from cutfiles.machine.align import align, aligned
    from cutfiles.machine.coupon import coupon
    from cutfiles.machine.cutter import Cutter
    from cutfiles.machine.passes import CutPlan, Pass
    from cutfiles.machine.plan import plan
    from cutfiles.machine.plan_data import plan_bytes, plan_from
    from cutfiles.machine.read_cutter import (
        cutter_from,
        find_cutter,
        packaged_cutters,
        read_cutter,
    )
    from cutfiles.made import Made
    from cutfiles.plan_files import verify_pass, write_plan
    from cutfiles.report.tables import made_data, made_table
    from cutfiles.verify import Difference

_HOME = {
    "Board": "bench.book",
    "Book": "bench.book",
    "Choices": "bench.choices",
    "Control": "line.send",
    "CutPlan": "machine.passes",
    "CutfilesError": "errors",
    "Cutter": "machine.cutter",
    "Difference": "verify",
    "FORMATS": "formats",
    "Film": "bench.film",
    "Finding": "findings",
    "Made": "made",
    "Opening": "bench.book",
    "Options": "formats",
    "Pass": "machine.passes",
    "Slip": "bench.slip",
    "align": "machine.align",
    "aligned": "machine.align",
    "blank_slip": "bench.blank",
    "check_job": "line.check",
    "coupon": "machine.coupon",
    "cutter_from": "machine.read_cutter",
    "deliver": "delivery",
    "draft": "job",
    "find_cutter": "machine.read_cutter",
    "made_data": "report.tables",
    "made_table": "report.tables",
    "make": "job",
    "open_line": "line.lines",
    "packaged_cutters": "machine.read_cutter",
    "plan": "machine.plan",
    "plan_bytes": "machine.plan_data",
    "plan_from": "machine.plan_data",
    "read_cutter": "machine.read_cutter",
    "read_slip": "bench.slip",
    "send": "line.send",
    "slip_from": "bench.slip",
    "verify_data": "job",
    "verify_pass": "plan_files",
    "write_plan": "plan_files",
}

__all__ = [
    "FORMATS",
    "Board",
    "Book",
    "Choices",
    "Control",
    "CutPlan",
    "CutfilesError",
    "Cutter",
    "Difference",
    "Film",
    "Finding",
    "Made",
    "Opening",
    "Options",
    "Pass",
    "Slip",
    "__version__",
    "align",
    "aligned",
    "blank_slip",
    "check_job",
    "coupon",
    "cutter_from",
    "deliver",
    "draft",
    "find_cutter",
    "made_data",
    "made_table",
    "make",
    "open_line",
    "packaged_cutters",
    "plan",
    "plan_bytes",
    "plan_from",
    "read_cutter",
    "read_slip",
    "send",
    "slip_from",
    "verify_data",
    "verify_pass",
    "write_plan",
]


def __getattr__(name: str) -> object:
    if name not in _HOME:
        raise AttributeError(f"module 'cutfiles' has no attribute {name!r}")
    return getattr(import_module(f"cutfiles.{_HOME[name]}"), name)


def __dir__() -> list[str]:
    return sorted(__all__)
