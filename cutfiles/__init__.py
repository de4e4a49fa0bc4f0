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
    from cutfiles.machine.cutter import Cutter
    from cutfiles.machine.read_cutter import (
        cutter_from,
        find_cutter,
        packaged_cutters,
        read_cutter,
    )
    from cutfiles.made import Made
    from cutfiles.report.tables import made_data, made_table
    from cutfiles.verify import Difference

_HOME = {
    "Board": "bench.book",
    "Book": "bench.book",
    "Choices": "bench.choices",
    "CutfilesError": "errors",
    "Cutter": "machine.cutter",
    "Difference": "verify",
    "FORMATS": "formats",
    "Film": "bench.film",
    "Finding": "findings",
    "Made": "made",
    "Opening": "bench.book",
    "Options": "formats",
    "Slip": "bench.slip",
    "blank_slip": "bench.blank",
    "cutter_from": "machine.read_cutter",
    "deliver": "delivery",
    "draft": "job",
    "find_cutter": "machine.read_cutter",
    "made_data": "report.tables",
    "made_table": "report.tables",
    "make": "job",
    "packaged_cutters": "machine.read_cutter",
    "read_cutter": "machine.read_cutter",
    "read_slip": "bench.slip",
    "slip_from": "bench.slip",
    "verify_data": "job",
}

__all__ = [
    "FORMATS",
    "Board",
    "Book",
    "Choices",
    "CutfilesError",
    "Cutter",
    "Difference",
    "Film",
    "Finding",
    "Made",
    "Opening",
    "Options",
    "Slip",
    "__version__",
    "blank_slip",
    "cutter_from",
    "deliver",
    "draft",
    "find_cutter",
    "made_data",
    "made_table",
    "make",
    "packaged_cutters",
    "read_cutter",
    "read_slip",
    "slip_from",
    "verify_data",
]


def __getattr__(name: str) -> object:
    if name not in _HOME:
        raise AttributeError(f"module 'cutfiles' has no attribute {name!r}")
    return getattr(import_module(f"cutfiles.{_HOME[name]}"), name)


def __dir__() -> list[str]:
    return sorted(__all__)
