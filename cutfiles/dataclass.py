"""Dataclasses that take a quarter of the time to be made.

The standard library writes six methods of a frozen class as text and compiles each: 0.9 ms a
class, more than a hundred of them in the shortest `make`, a sixth of its time
(`tests/bench/classes.py`). Here `__init__` alone is written, the others are shared; fields,
`replace`, `match`, slots and what a type checker says stay the standard library's.
`tests/test_dataclass.py` holds every class of the package against the standard library's own.
"""

import dataclasses
from operator import attrgetter
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from dataclasses import dataclass as dataclass
else:

    def dataclass(*, slots: bool, frozen: bool = False, kw_only: bool = False, repr: bool = True):
        """Return what makes a dataclass of a class, as `dataclasses.dataclass` does.

        All of ours have slots; `order`, `unsafe_hash`, `InitVar` are not known here.
        """
        bare = dataclasses.dataclass(init=False, repr=False, eq=False, slots=slots, kw_only=kw_only)
        methods = {"__eq__": _equal, "__hash__": None}
        if repr:
            methods["__repr__"] = _told
        if frozen:
            methods |= _FROZEN

        def made(cls: type) -> type:
            own = {*vars(cls)}
            cls = bare(cls)
            for name, method in {"__init__": _init(cls, frozen), **methods}.items():
                if name not in own:
                    setattr(cls, name, method)
            cls.__compared__ = staticmethod(_values(cls))
            return cls

        return made


_MADE: Any = object()
"""In the place of a value that its factory makes."""


def _init(cls: type, frozen: bool) -> "Callable[..., None]":
    """Return a class's `__init__`; it sets frozen fields through their slots."""
    known: dict[str, Any] = {"MADE": _MADE}
    plain: list[str] = ["self"]
    named: list[str] = []
    body: list[str] = []
    for field in dataclasses.fields(cls):
        name = value = field.name
        if field.default_factory is not dataclasses.MISSING:
            known[f"usual_{name}"], usual = field.default_factory, "=MADE"
            value = f"usual_{name}() if {name} is MADE else {name}"
        elif field.default is not dataclasses.MISSING:
            known[f"usual_{name}"], usual = field.default, f"=usual_{name}"
        else:
            usual = ""
        if not field.init:
            continue  # what follows from the others: `__post_init__` sets it
        (named if field.kw_only else plain).append(name + usual)
        known[f"set_{name}"] = getattr(cls, name).__set__
        body.append(f"set_{name}(self, {value})" if frozen else f"self.{name} = {value}")
    if hasattr(cls, "__post_init__"):
        body.append("self.__post_init__()")
    given = ", ".join([*plain, *(["*", *named] if named else [])])
    exec(f"def __init__({given}):\n " + "\n ".join(body or ["pass"]), known)
    init: Callable[..., None] = known["__init__"]
    return init


def _values(cls: type) -> "Callable[[Any], tuple[Any, ...]]":
    """Return what gives the values by which two of a class are the same."""
    names = [field.name for field in dataclasses.fields(cls) if field.compare]
    if len(names) > 1:
        return attrgetter(*names)
    if not names:
        return lambda self: ()
    value = attrgetter(*names)
    return lambda self: (value(self),)


def _equal(self: Any, other: Any) -> Any:
    if other.__class__ is not self.__class__:
        return NotImplemented
    return self.__compared__(self) == self.__compared__(other)


def _hash(self: Any) -> int:
    return hash(self.__compared__(self))


def _told(self: Any) -> str:
    fields = (field for field in dataclasses.fields(self) if field.repr)
    values = ", ".join(f"{field.name}={getattr(self, field.name)!r}" for field in fields)
    return f"{type(self).__qualname__}({values})"


def _set(self: Any, name: str, value: object) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot assign to field {name!r}")


def _delete(self: Any, name: str) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot delete field {name!r}")


def _state(self: Any) -> list[Any]:
    return [getattr(self, field.name) for field in dataclasses.fields(self)]


def _restore(self: Any, state: list[Any]) -> None:
    for field, value in zip(dataclasses.fields(self), state, strict=True):
        object.__setattr__(self, field.name, value)


_FROZEN: "Mapping[str, Any]" = {
    "__hash__": _hash,
    "__setattr__": _set,
    "__delattr__": _delete,
    "__getstate__": _state,
    "__setstate__": _restore,
}
