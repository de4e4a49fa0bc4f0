"""What is pure is done once in a test process: for equal arguments, while nothing is changed."""

import threading
from dataclasses import dataclass

import once
import pytest

from cutfiles.exhibit import run
from cutfiles.film import nest
from cutfiles.machine import tour


@dataclass(frozen=True, slots=True)
class Made:
    """A result with a part of its own."""

    size: float
    part: object = None


@pytest.fixture
def calls():
    """What was called; what is made here is forgotten afterwards, for it does not stay."""
    known = dict(once._numbers)
    yield []
    once._numbers.clear()
    once._numbers.update(known)


@pytest.fixture
def make(calls):
    @once.once
    def make(given, **how):
        calls.append(given)
        return Made(2.0, Made(3.0))

    return make


def test_equal_arguments_give_what_was_made(make, calls):
    assert make(Made(1.0)) is make(Made(1.0))
    assert make(Made(1.5)) is not make(Made(1.0))
    assert make(Made(1.0), more=1) is not make(Made(1.0))
    assert len(calls) == 3


def test_what_was_made_is_known_again_and_so_are_its_parts(make, calls):
    made = make(Made(1.0))
    assert make(made) is make(made)
    assert make(made.part) is make(made.part)
    assert make(made.part) is not make(made)
    assert len(calls) == 3


@pytest.fixture
def make_in_a_room(calls):
    """As `make`, standing in the room of the machine."""

    def make(given):
        calls.append(given)
        return Made(2.0)

    make.__module__ = "cutfiles.machine.plan"
    return once.once(make)


@pytest.mark.parametrize(
    ("changed", "is_seen"),
    [
        ((tour, "MOST_WORK"), True),  # of its own room
        ((nest, "FEW"), True),  # of one above
        (("cutfiles.support.design.KINDS",), True),
        ((run, "make_support"), False),  # of one below: it cannot be imported here
        (("cutfiles.cli.desk.command",), False),
    ],
)
def test_what_sees_a_change_is_made_anew(make_in_a_room, calls, monkeypatch, changed, is_seen):
    before = make_in_a_room(Made(1.0))
    monkeypatch.setattr(*changed, None)
    assert (make_in_a_room(Made(1.0)) is not before) == is_seen
    assert (make_in_a_room(Made(1.0)) is not make_in_a_room(Made(1.0))) == is_seen
    assert len(calls) == (4 if is_seen else 1)


def test_nothing_is_kept_where_it_is_unknown_what_is_changed(make_in_a_room, monkeypatch):
    before = make_in_a_room(Made(1.0))
    monkeypatch.setitem({}, "a", "b")
    assert make_in_a_room(Made(1.0)) is not before


def test_what_goes_is_made_anew_and_its_number_forgotten(make, calls, monkeypatch):
    monkeypatch.setattr(once, "MOST", 2)
    known = len(once._numbers)
    first = make(Made(1.0))
    for size in range(2, 9):
        make(Made(size))
    assert len(once._numbers) <= known + 2 * 2  # of two results, each with its part
    assert make(Made(1.0)) is not first
    assert len(calls) == 9


def test_what_is_no_value_is_never_kept(make, calls):
    lock = threading.Lock()
    assert make(lock) is not make(lock)
    assert len(calls) == 2
