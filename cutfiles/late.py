"""Libraries loaded without what they take along and is not asked for here.

A library that loads another one at its head, for what one call in a thousand needs, may take as
long for that as for itself. What is left out stands in `tests/test_loaded.py`, what it takes in
`tests/bench/startup.py`.
"""

import sys
from _thread import get_ident
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from importlib import import_module
from types import ModuleType
from typing import Any


class Asked:
    """A value that is made when something of it is asked for.

    >>> Asked(lambda: import_module("math")).pi
    3.141592653589793
    """

    def __init__(self, make: Callable[[], Any]) -> None:
        self._make = make

    def __getattr__(self, name: str) -> Any:
        return getattr(self._make(), name)


class _StandIn(ModuleType):
    """A module in the place of another one, which it loads for every name it does not know.

    It stands there for one thread alone, which loads the library: all others get the real one.
    """

    def __init__(self, name: str, values: Mapping[str, object]) -> None:
        super().__init__(name)
        self._values, self._thread = values, get_ident()

    @property
    def __spec__(self) -> None:  # type: ignore[override]
        """Nothing; every import asks for it, and of another thread's no more than that is seen."""
        if get_ident() != self._thread:
            self._real()

    def __getattr__(self, name: str) -> Any:
        if name.startswith("__"):  # what imports ask of every module
            raise AttributeError(name)
        if name in self._values and get_ident() == self._thread:
            return self._values[name]
        return getattr(self._real(), name)

    def _real(self) -> ModuleType:
        _leave(self)
        return import_module(self.__name__)


@contextmanager
def without(modules: Mapping[str, Mapping[str, object]]) -> Iterator[None]:
    """Put modules in the place of some that a library takes along while it is loaded.

    They are gone afterwards: who loads one of them gets the real one, as does another thread
    meanwhile, and who asks a module in its place for more than it knows. What is loaded already
    stays.

    Args:
        modules: what is left out, and by name the values that are taken from it in loading.

    """
    places = [_StandIn(name, modules[name]) for name in modules if name not in sys.modules]
    for place in places:
        sys.modules[place.__name__] = place
    try:
        yield
    finally:
        for place in places:
            _leave(place)


def _leave(place: ModuleType) -> None:
    if sys.modules.get(place.__name__) is place:
        del sys.modules[place.__name__]
