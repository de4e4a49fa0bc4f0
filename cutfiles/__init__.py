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
    from cutfiles.exhibit import Plan, make_exhibit
    from cutfiles.findings import Finding
    from cutfiles.formats import FORMATS, Options
    from cutfiles.job import draft, make, make_sheets
    from cutfiles.made import Made
    from cutfiles.prove import Proved, fold_file, proof_data, proof_table
    from cutfiles.recheck import prove_data, verify_data
    from cutfiles.report.check import check_data, check_table
    from cutfiles.report.folded_page import folded_page
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
    "CutfilesError": "errors",
    "Difference": "verify",
    "FORMATS": "formats",
    "Film": "bench.film",
    "Finding": "findings",
    "Made": "made",
    "Opening": "bench.book",
    "Options": "formats",
    "Plan": "exhibit",
    "Proved": "prove",
    "Slip": "bench.slip",
    "Stock": "bench.films",
    "Verdict": "support.verdict",
    "advise": "support.advice",
    "assess": "support.verdict",
    "blank_slip": "bench.blank",
    "cautions": "bench.cautions",
    "check_data": "report.check",
    "check_table": "report.check",
    "deliver": "delivery",
    "draft": "job",
    "error_effects": "support.tolerance",
    "fold_file": "prove",
    "folded_page": "report.folded_page",
    "made_data": "report.tables",
    "made_table": "report.tables",
    "make": "job",
    "make_exhibit": "exhibit",
    "make_sheets": "job",
    "proof_data": "prove",
    "proof_table": "prove",
    "prove_data": "recheck",
    "queries": "bench.queries",
    "read_films": "bench.films",
    "read_list": "bench.lists",
    "read_slip": "bench.slip",
    "require_answers": "bench.queries",
    "sentence": "report.verdict",
    "slip_from": "bench.slip",
    "usual_films": "bench.films",
    "verdict_data": "report.verdict",
    "verify_data": "recheck",
    "write_list": "bench.lists",
}

__all__ = [
    "FORMATS",
    "Board",
    "Book",
    "BookList",
    "Case",
    "Choices",
    "CutfilesError",
    "Difference",
    "Film",
    "Finding",
    "Made",
    "Opening",
    "Options",
    "Plan",
    "Proved",
    "Slip",
    "Stock",
    "Verdict",
    "__version__",
    "advise",
    "assess",
    "blank_slip",
    "cautions",
    "check_data",
    "check_table",
    "deliver",
    "draft",
    "error_effects",
    "fold_file",
    "folded_page",
    "made_data",
    "made_table",
    "make",
    "make_exhibit",
    "make_sheets",
    "proof_data",
    "proof_table",
    "prove_data",
    "queries",
    "read_films",
    "read_list",
    "read_slip",
    "require_answers",
    "sentence",
    "slip_from",
    "usual_films",
    "verdict_data",
    "verify_data",
    "write_list",
]


def __getattr__(name: str) -> object:
    if name not in _HOME:
        raise AttributeError(f"module 'cutfiles' has no attribute {name!r}")
    return getattr(import_module(f"cutfiles.{_HOME[name]}"), name)


def __dir__() -> list[str]:
    return sorted(__all__)
