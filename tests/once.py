"""What is pure is done once in a process: a slip drafted, a support made, a sheet planned.

The same books are made again and again by the tests of exhibits, commands and machines: that is
three quarters of what they cost. What a slip and an order give is frozen and the same every time
(`test_bytes.py` holds it against what was kept, and other processes against this one), so here it
is kept. From the moment a test changes a module of the product nothing is taken, nor added, of what
is kept of functions of its room and of the rooms below: only these can see what is changed.
"""

import functools
import importlib
import io
import itertools
import os
import pickle
import sys
from collections import OrderedDict
from collections.abc import MutableMapping
from types import FunctionType

import pytest
from rooms import ROOMS

PURE = (
    "cutfiles.lists.ledger.list_in",
    "cutfiles.support.settle.judged_ways",
    "cutfiles.draft.draft_of",
    "cutfiles.job.order.drafted",
    "cutfiles.files.verify.written",
    "cutfiles.files.fold_check.check_reading",
    "cutfiles.machine.tour.best_way",
    "cutfiles.machine.plan.plan",
    "cutfiles.report.pictures.paint.painted",
    "cutfiles.report.printed.bench_card.bench_card",
    "cutfiles.job.make.make",
    "cutfiles.exhibit.thumbs.support_view",
    "cutfiles.exhibit.work.support_facts",
    "cutfiles.exhibit.work.sheet_files",
    "cutfiles.exhibit.films._weighed",
    "cutfiles.film.layout.lay_out",
)
"""The functions whose results are kept."""
MOST = 200
"""Results are kept of each; those that were wanted longest ago go first."""

_changed = []
"""The modules of the product that the test at hand has changed so far; `ALL` where unknown."""
ALL = "cutfiles"


def _rank(module):
    """Return where a module's room stands in the order of the law; before all where unknown."""
    room = module.partition(".")[2].partition(".")[0]
    return ROOMS.index(room) if room in ROOMS else -1


def _sees_a_change(function):
    """Whether the test at hand has changed anything that a function may see."""
    return any(_rank(module) <= _rank(function.__module__) for module in _changed)


_numbers = {}
"""Numbers of what is kept, by where it lies: it need not be written out to be known again."""
_count = itertools.count()


class _Keys(pickle.Pickler):
    """Writes values as a key.

    What is kept stands there as its number, a function, which a table of formats holds, as where
    it lies: a draft written out is 55 kB and 8 ms, and many calls are given one.
    """

    def reducer_override(self, value):
        number = _numbers.get(id(value))
        if number is None and isinstance(value, FunctionType):
            number = -id(value)
        return NotImplemented if number is None else (int, (number,))


def _key_of(values):
    out = io.BytesIO()
    _Keys(out).dump(values)
    return out.getvalue()


def _made(result, given):
    """Yield the result and what it consists of, as far as it was not given: by its number too."""
    parts = [getattr(result, name) for name in getattr(result, "__dataclass_fields__", ())]
    for part in (result, *parts):
        if hasattr(part, "__dataclass_fields__") and all(part is not one for one in given):
            yield part


def once(function):
    """Return a function that gives again what it gave for the same arguments."""
    kept = OrderedDict()

    @functools.wraps(function)
    def call(*args, **how):
        if _changed and _sees_a_change(function):
            return function(*args, **how)
        try:
            key = _key_of((args, sorted(how.items())))
        except TypeError:  # a pool of processes is no value
            return function(*args, **how)
        if key in kept:
            kept.move_to_end(key)
        else:
            # the arguments are kept too: a key tells functions by where they lie
            result = function(*args, **how)
            kept[key] = result, args, how
            for part in _made(result, (*args, *how.values())):
                _numbers.setdefault(id(part), next(_count))
            if len(kept) > MOST:
                gone, given, more = kept.popitem(last=False)[1]
                for part in _made(gone, (*given, *more.values())):
                    _numbers.pop(id(part), None)
        return kept[key][0]

    return call


def anew(function):
    """Return a function that does its work each time."""
    return getattr(function, "__wrapped__", function)


def _module_of(target):
    """Return the product's module of what is to be changed; `ALL` of a table, none of others'."""
    if isinstance(target, MutableMapping):
        return ALL if target is not os.environ else ""
    owner = target if isinstance(target, str) else getattr(target, "__module__", None)
    name = owner or getattr(target, "__name__", "")
    return name if name.startswith(ALL) else ""


def _watched(change):
    """Return a way to change things that notes the module of the product that it changes."""

    @functools.wraps(change)
    def changing(patch, target, *rest, **how):
        module = _module_of(target)
        if module:
            _changed.append(module)
        return change(patch, target, *rest, **how)

    return changing


@pytest.fixture(scope="session", autouse=True)
def _keep_what_is_pure():
    """Put what is kept before each function, wherever its name was taken to."""
    kept = {}
    for path in PURE:
        module, _, name = path.rpartition(".")
        real = getattr(importlib.import_module(module), name)
        kept[id(real)] = once(real)
    for module in list(sys.modules.values()):
        for name, value in list(getattr(module, "__dict__", {}).items()):
            if id(value) in kept:
                setattr(module, name, kept[id(value)])
    for name in ("setattr", "delattr", "setitem", "delitem"):
        setattr(pytest.MonkeyPatch, name, _watched(getattr(pytest.MonkeyPatch, name)))


@pytest.fixture(autouse=True)
def _unchanged():
    """At the end of each test the product is as it was."""
    yield
    _changed.clear()


@pytest.fixture
def nothing_kept():
    """For a test that does the same twice and compares: each time all is done."""
    _changed.append(ALL)
