"""Cutters for tests, made from values: a sound profile with what a test changes."""

import copy

from conftest import SMALL

from cutfiles.bench.slip import slip_from
from cutfiles.draft import draft_of
from cutfiles.files.passes import write_plan
from cutfiles.machine.profile.read import cutter_from

ROOMY = {
    "name": "bench",
    "kind": "knife",
    "formats": ["svg", "hpgl"],
    "bed": {"width": "3 m", "length": "3 m", "range_most": 200000},
    "score": {"method": "impress"},
}


def values(**sections):
    made = copy.deepcopy(ROOMY)
    for name, value in sections.items():
        if isinstance(value, dict) and isinstance(made.get(name), dict):
            made[name].update(value)
        else:
            made[name] = value
    return made


def cutter(**sections):
    return cutter_from(values(**sections), "cutter test")


def laser(**sections):
    base = {"kind": "laser", "formats": ["svg"], "score": {"method": "half-cut"}}
    base["laser"] = {"power_range": 1000, "beam": "M4"}
    return cutter(**{**base, **sections})


def sheet_of(sample):
    from conftest import plain

    return draft_of(plain(sample)).drawing


def small_sheet(**fields):
    given = {
        **SMALL,
        "support": {"layers": 1, "gauge": "5 mil", "construction": "plain", "edges": "cut"},
        **fields,
    }
    return draft_of(slip_from(given)).drawing


def pass_files(made):
    """The files of a plan's passes alone."""
    return [file for file in write_plan(made) if ".face-" in file.name]
