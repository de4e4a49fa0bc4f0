"""Modules in the place of what a library takes along: gone afterwards, and never in the way."""

import sys
from importlib import import_module
from threading import Thread

import pytest

from cutfiles.late import Asked, without


@pytest.fixture
def library(tmp_path, monkeypatch):
    """A library that takes two modules along, told by name."""
    (tmp_path / "taken_along.py").write_text("ONE, TWO = 1, 2\n", encoding="utf-8")
    (tmp_path / "takes_one.py").write_text("from taken_along import ONE\n", encoding="utf-8")
    (tmp_path / "takes_two.py").write_text("from taken_along import ONE, TWO\n", encoding="utf-8")
    (tmp_path / "takes_all.py").write_text("import taken_along\n", encoding="utf-8")
    monkeypatch.syspath_prepend(tmp_path)
    yield
    for name in ("taken_along", "takes_one", "takes_two", "takes_all"):
        sys.modules.pop(name, None)


@pytest.mark.usefixtures("library")
class TestWithout:
    def test_what_stood_in_is_gone_and_its_value_stays(self):
        with without({"taken_along": {"ONE": "stands in"}}):
            import takes_one
        assert "taken_along" not in sys.modules
        assert takes_one.ONE == "stands in"
        import taken_along

        assert taken_along.ONE == 1

    def test_who_asks_for_more_gets_the_real_one(self):
        with without({"taken_along": {"ONE": "stands in"}}):
            import takes_two
        assert (takes_two.ONE, takes_two.TWO) == ("stands in", 2)
        assert sys.modules["taken_along"].ONE == 1

    def test_a_module_asked_for_later_is_loaded_then(self):
        with without({"taken_along": {}}):
            import takes_all
        assert "taken_along" not in sys.modules
        assert takes_all.taken_along.TWO == 2
        assert "taken_along" in sys.modules

    def test_what_is_loaded_already_stays(self):
        import taken_along

        with without({"taken_along": {"ONE": "stands in"}}):
            import takes_one
        assert takes_one.ONE == 1
        assert sys.modules["taken_along"] is taken_along

    def test_nothing_is_left_where_loading_fails(self):
        with pytest.raises(ZeroDivisionError), without({"taken_along": {}}):
            raise ZeroDivisionError
        assert "taken_along" not in sys.modules


@pytest.fixture
def packed(tmp_path, monkeypatch):
    """A package with a module in it that may be left out, as ``urllib.request`` is one."""
    (tmp_path / "a_package").mkdir()
    (tmp_path / "a_package" / "__init__.py").touch()
    (tmp_path / "a_package" / "part.py").write_text("ONE = 1\n", encoding="utf-8")
    monkeypatch.syspath_prepend(tmp_path)
    yield
    for name in ("a_package", "a_package.part"):
        sys.modules.pop(name, None)


def _imported_from():
    from a_package.part import ONE

    return ONE


def _imported_of_package():
    from a_package import part

    return part.ONE


def _imported_whole():
    import a_package.part

    return a_package.part.ONE


def _imported_by_name():
    return import_module("a_package.part").ONE


@pytest.mark.usefixtures("packed")
@pytest.mark.parametrize(
    "user", [_imported_from, _imported_of_package, _imported_whole, _imported_by_name]
)
def test_another_thread_gets_the_real_module_meanwhile(user):
    """It asks for it just while a library is loaded without it."""
    got = []
    with without({"a_package.part": {"ONE": "stands in"}}):
        thread = Thread(target=lambda: got.append(user()))
        thread.start()
        thread.join()
        assert _imported_from() == 1  # which is loaded now: nothing needs to stand in
    assert got == [1]
    assert _imported_whole() == 1


def test_a_value_is_made_when_something_of_it_is_asked_for():
    made = []
    value = Asked(lambda: made.append(1) or "text")
    assert made == []
    assert value.upper() == "TEXT"
    assert made == [1]
