"""What is pure is done once in a test process: for equal arguments, while nothing is changed."""

import threading
from dataclasses import dataclass

import once
import pytest

from cutfiles.machine import tour


@dataclass(frozen=True, slots=True)
class Made:
    """A result with a part of its own."""

    size: float
    part: object = None


@pytest.fixture
def calls():
    once._changed.clear()  # before the first test of a process its search was made short
    return []


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


def test_nothing_is_kept_of_a_product_that_is_changed(make, calls, monkeypatch):
    before = make(Made(1.0))
    monkeypatch.setattr(tour, "MOST_WORK", 7)
    assert make(Made(1.0)) is not before
    assert make(Made(1.0)) is not make(Made(1.0))
    assert len(calls) == 4


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
