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
    from cutfiles.bench.book import Board, Book, Case, Opening
    from cutfiles.bench.cautions import cautions
    from cutfiles.bench.choices import Choices
    from cutfiles.bench.film import Film
    from cutfiles.bench.films import Stock, read_films, usual_films
    from cutfiles.bench.lists import BookList, read_list, write_list
    from cutfiles.bench.queries import queries, require_answers
    from cutfiles.bench.slip import Slip, read_slip, slip_from
    from cutfiles.delivery import deliver
    from cutfiles.errors import CutfilesError
    from cutfiles.exhibit import ExhibitPlan, make_exhibit
    from cutfiles.findings import Finding
    from cutfiles.formats import FORMATS, Options
    from cutfiles.job import draft, make, make_sheets
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
    from cutfiles.prove import Proved, fold_file
    from cutfiles.recheck import prove_data, verify_data
    from cutfiles.report.check import check_data, check_table
    from cutfiles.report.folded_page import folded_page
    from cutfiles.report.proof import proof_data, proof_table
    from cutfiles.report.tables import made_data, made_table
    from cutfiles.report.verdict import sentence, verdict_data
    from cutfiles.support.advice import advise
    from cutfiles.support.tolerance import error_effects
    from cutfiles.support.verdict import Verdict, assess
    from cutfiles.verify import Difference

_HOME = {
    "Board": "bench.book",
    "Book": "bench.book",
    "BookList": "bench.lists",
    "Case": "bench.book",
    "Choices": "bench.choices",
    "Control": "line.send",
    "CutPlan": "machine.passes",
    "CutfilesError": "errors",
    "Cutter": "machine.cutter",
    "Difference": "verify",
    "ExhibitPlan": "exhibit",
    "FORMATS": "formats",
    "Film": "bench.film",
    "Finding": "findings",
    "Made": "made",
    "Opening": "bench.book",
    "Options": "formats",
    "Pass": "machine.passes",
    "Proved": "prove",
    "Slip": "bench.slip",
    "Stock": "bench.films",
    "Verdict": "support.verdict",
    "advise": "support.advice",
    "align": "machine.align",
    "aligned": "machine.align",
    "assess": "support.verdict",
    "blank_slip": "bench.blank",
    "cautions": "bench.cautions",
    "check_data": "report.check",
    "check_job": "line.check",
    "check_table": "report.check",
    "coupon": "machine.coupon",
    "cutter_from": "machine.read_cutter",
    "deliver": "delivery",
    "draft": "job",
    "error_effects": "support.tolerance",
    "find_cutter": "machine.read_cutter",
    "fold_file": "prove",
    "folded_page": "report.folded_page",
    "made_data": "report.tables",
    "made_table": "report.tables",
    "make": "job",
    "make_exhibit": "exhibit",
    "make_sheets": "job",
    "open_line": "line.lines",
    "packaged_cutters": "machine.read_cutter",
    "plan": "machine.plan",
    "plan_bytes": "machine.plan_data",
    "plan_from": "machine.plan_data",
    "proof_data": "report.proof",
    "proof_table": "report.proof",
    "prove_data": "recheck",
    "queries": "bench.queries",
    "read_cutter": "machine.read_cutter",
    "read_films": "bench.films",
    "read_list": "bench.lists",
    "read_slip": "bench.slip",
    "require_answers": "bench.queries",
    "send": "line.send",
    "sentence": "report.verdict",
    "slip_from": "bench.slip",
    "usual_films": "bench.films",
    "verdict_data": "report.verdict",
    "verify_data": "recheck",
    "verify_pass": "plan_files",
    "write_list": "bench.lists",
    "write_plan": "plan_files",
}

__all__ = [
    "FORMATS",
    "Board",
    "Book",
    "BookList",
    "Case",
    "Choices",
    "Control",
    "CutPlan",
    "CutfilesError",
    "Cutter",
    "Difference",
    "ExhibitPlan",
    "Film",
    "Finding",
    "Made",
    "Opening",
    "Options",
    "Pass",
    "Proved",
    "Slip",
    "Stock",
    "Verdict",
    "__version__",
    "advise",
    "align",
    "aligned",
    "assess",
    "blank_slip",
    "cautions",
    "check_data",
    "check_job",
    "check_table",
    "coupon",
    "cutter_from",
    "deliver",
    "draft",
    "error_effects",
    "find_cutter",
    "fold_file",
    "folded_page",
    "made_data",
    "made_table",
    "make",
    "make_exhibit",
    "make_sheets",
    "open_line",
    "packaged_cutters",
    "plan",
    "plan_bytes",
    "plan_from",
    "proof_data",
    "proof_table",
    "prove_data",
    "queries",
    "read_cutter",
    "read_films",
    "read_list",
    "read_slip",
    "require_answers",
    "send",
    "sentence",
    "slip_from",
    "usual_films",
    "verdict_data",
    "verify_data",
    "verify_pass",
    "write_list",
    "write_plan",
]


def __getattr__(name: str) -> object:
    if name not in _HOME:
        raise AttributeError(f"module 'cutfiles' has no attribute {name!r}")
    return getattr(import_module(f"cutfiles.{_HOME[name]}"), name)


def __dir__() -> list[str]:
    return sorted(__all__)
