"""Dataclasses made faster do what the standard library's do."""

import copy
import dataclasses
import functools
import importlib
import inspect
import math
import pickle
from typing import Generic, TypeVar

import pytest
from sources import MODULES, name_of

from cutfiles.dataclass import dataclass

FROZEN = dataclasses.FrozenInstanceError


@functools.cache
def classes():
    """Return every dataclass of the package."""
    found = []
    for path in MODULES:
        name = f"cutfiles.{name_of(path)}".rstrip(".")
        if name != "cutfiles.__main__":
            module = importlib.import_module(name)
            found += [one for one in vars(module).values() if _is_own(one, name)]
    return found


def _is_own(one, name):
    return isinstance(one, type) and one.__module__ == name and dataclasses.is_dataclass(one)


def twin(cls, frozen):
    """Return the standard library's dataclass of the same fields."""
    names = ("default", "default_factory", "init", "repr", "compare", "kw_only")
    fields = [
        (f.name, f.type, dataclasses.field(**{name: getattr(f, name) for name in names}))
        for f in dataclasses.fields(cls)
    ]
    return dataclasses.make_dataclass(cls.__qualname__, fields, frozen=frozen, slots=True)


def asked(cls):
    """Return what `__init__` asks for: name, kind, whether it must be given."""
    told = inspect.signature(cls).parameters.values()
    return [(one.name, one.kind, one.default is inspect.Parameter.empty) for one in told]


def filled(cls, values):
    """Return one of a class, its fields set past all that `__init__` does."""
    one = object.__new__(cls)
    for name, value in values.items():
        object.__setattr__(one, name, value)
    return one


def test_every_class_is_as_the_standard_library_makes_it():
    assert len(classes()) > 200
    for cls in classes():
        fields = dataclasses.fields(cls)
        frozen = cls.__hash__ is not None
        other = twin(cls, frozen)
        assert asked(cls) == asked(other), cls
        assert cls.__match_args__ == other.__match_args__, cls
        values = {one.name: (one.name,) for one in fields}
        mine, theirs = filled(cls, values), filled(other, values)
        if vars(cls)["__repr__"].__module__ != cls.__module__:
            assert repr(mine) == repr(theirs), cls
        assert mine == filled(cls, values)
        assert mine != theirs
        for one in fields:
            changed = values | {one.name: "another"}
            assert (mine == filled(cls, changed)) == (theirs == filled(other, changed)), one
        if frozen:
            assert hash(mine) == hash(theirs)
            assert pickle.loads(pickle.dumps(mine)) == copy.copy(mine) == mine


@dataclass(frozen=True, slots=True)
class Leg:
    """A frozen one."""

    height: float
    name: str = "leg"
    faults: list[str] = dataclasses.field(default_factory=list)
    told: str = dataclasses.field(init=False, compare=False)

    def __post_init__(self):
        object.__setattr__(self, "told", f"{self.name} {self.height:g}")


def test_frozen():
    leg = Leg(8.0)
    assert (leg.name, leg.faults, leg.told) == ("leg", [], "leg 8")
    assert leg.faults is not Leg(8.0).faults  # each has its own
    assert leg == Leg(height=8.0, name="leg", faults=[]) != Leg(9.0)
    assert leg != (8.0, "leg", [])
    assert repr(leg) == "Leg(height=8.0, name='leg', faults=[], told='leg 8')"
    assert dataclasses.replace(leg, height=9.0).told == "leg 9"
    with pytest.raises(FROZEN, match="cannot assign to field 'height'"):
        leg.height = 9.0
    with pytest.raises(FROZEN, match="cannot delete field 'height'"):
        del leg.height
    with pytest.raises(TypeError, match="missing 1 required positional argument: 'height'"):
        Leg()
    with pytest.raises(TypeError, match="unexpected keyword argument 'told'"):
        Leg(8.0, told="")


@dataclass(frozen=True, slots=True)
class Gap:
    """A value that is the same as itself, even where it is no number."""

    wide: float


@dataclass(slots=True)
class Kept:
    """One that changes."""

    count: int = 0

    def __repr__(self):
        return f"kept {self.count}"


T = TypeVar("T")


@dataclass(slots=True, kw_only=True)
class Told(Kept, Generic[T]):
    """One that has fields of another, and more."""

    words: T


@dataclass(frozen=True, slots=True)
class Nothing:
    """One without fields."""


def test_others():
    assert Gap(math.nan) == Gap(math.nan) != Gap(float("nan"))
    kept = Kept(1)
    kept.count += 1
    assert kept == Kept(2)
    assert repr(kept) == "kept 2"
    with pytest.raises(TypeError, match="unhashable"):
        hash(kept)
    told = Told(1, words="x")
    assert (told.count, told.words, told) == (1, "x", Told[str](1, words="x"))
    assert told != Kept(1)
    assert Nothing() == Nothing()
    assert hash(Nothing()) == hash(())


def test_patterns_match():
    match Leg(8.0, "riser"):
        case Leg(height, "riser"):
            assert height == 8.0
        case _:
            pytest.fail("no match")
