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
    from cutfiles.bench.choices import Choices
    from cutfiles.bench.film import Film
    from cutfiles.bench.films import FilmKind, read_films, usual_films
    from cutfiles.bench.questions import queries, require_answers
    from cutfiles.bench.slip import Slip, read_slip, slip_from
    from cutfiles.draft import draft_of
    from cutfiles.errors import CutfilesError
    from cutfiles.exhibit.plan import ExhibitPlan
    from cutfiles.exhibit.run import make_exhibit
    from cutfiles.files.fold_check import Proved, fold_file
    from cutfiles.files.formats import FORMATS
    from cutfiles.files.made import Made
    from cutfiles.files.passes import verify_pass, write_plan
    from cutfiles.files.verify import Difference
    from cutfiles.findings import Finding
    from cutfiles.job.deliver import deliver
    from cutfiles.job.make import make, make_sheets
    from cutfiles.job.order import Order
    from cutfiles.job.recheck import prove_data, verify_data
    from cutfiles.line.check import check_job
    from cutfiles.line.lines import open_line
    from cutfiles.line.send import Control, send
    from cutfiles.lists.ledger import BookList, read_list, write_list
    from cutfiles.machine.align import align, aligned
    from cutfiles.machine.coupon import coupon
    from cutfiles.machine.options import Options
    from cutfiles.machine.passes import CutPlan, Pass
    from cutfiles.machine.plan import plan
    from cutfiles.machine.plan_data import plan_bytes, plan_from
    from cutfiles.machine.profile.cutter import Cutter
    from cutfiles.machine.profile.read import (
        cutter_from,
        find_cutter,
        packaged_cutters,
        read_cutter,
    )
    from cutfiles.report.pages.folded_page import folded_page
    from cutfiles.report.text.check import check_data, check_table
    from cutfiles.report.text.fold_check import proof_data, proof_table
    from cutfiles.report.text.made import made_data, made_table
    from cutfiles.support.advice import advise
    from cutfiles.support.tolerance import error_effects
    from cutfiles.support.verdict import Verdict, assess
    from cutfiles.words.cautions import cautions
    from cutfiles.words.verdict import sentence, verdict_data

_HOME = {
    "Board": "bench.book",
    "Book": "bench.book",
    "BookList": "lists.ledger",
    "Case": "bench.book",
    "Choices": "bench.choices",
    "Control": "line.send",
    "CutPlan": "machine.passes",
    "CutfilesError": "errors",
    "Cutter": "machine.profile.cutter",
    "Difference": "files.verify",
    "ExhibitPlan": "exhibit.plan",
    "FORMATS": "files.formats",
    "Film": "bench.film",
    "Finding": "findings",
    "Made": "files.made",
    "Opening": "bench.book",
    "Options": "machine.options",
    "Order": "job.order",
    "Pass": "machine.passes",
    "Proved": "files.fold_check",
    "Slip": "bench.slip",
    "FilmKind": "bench.films",
    "Verdict": "support.verdict",
    "advise": "support.advice",
    "align": "machine.align",
    "aligned": "machine.align",
    "assess": "support.verdict",
    "blank_slip": "bench.blank",
    "cautions": "words.cautions",
    "check_data": "report.text.check",
    "check_job": "line.check",
    "check_table": "report.text.check",
    "coupon": "machine.coupon",
    "cutter_from": "machine.profile.read",
    "deliver": "job.deliver",
    "draft_of": "draft",
    "error_effects": "support.tolerance",
    "find_cutter": "machine.profile.read",
    "fold_file": "files.fold_check",
    "folded_page": "report.pages.folded_page",
    "made_data": "report.text.made",
    "made_table": "report.text.made",
    "make": "job.make",
    "make_exhibit": "exhibit.run",
    "make_sheets": "job.make",
    "open_line": "line.lines",
    "packaged_cutters": "machine.profile.read",
    "plan": "machine.plan",
    "plan_bytes": "machine.plan_data",
    "plan_from": "machine.plan_data",
    "proof_data": "report.text.fold_check",
    "proof_table": "report.text.fold_check",
    "prove_data": "job.recheck",
    "queries": "bench.questions",
    "read_cutter": "machine.profile.read",
    "read_films": "bench.films",
    "read_list": "lists.ledger",
    "read_slip": "bench.slip",
    "require_answers": "bench.questions",
    "send": "line.send",
    "sentence": "words.verdict",
    "slip_from": "bench.slip",
    "usual_films": "bench.films",
    "verdict_data": "words.verdict",
    "verify_data": "job.recheck",
    "verify_pass": "files.passes",
    "write_list": "lists.ledger",
    "write_plan": "files.passes",
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
    "FilmKind",
    "Finding",
    "Made",
    "Opening",
    "Options",
    "Order",
    "Pass",
    "Proved",
    "Slip",
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
    "draft_of",
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
