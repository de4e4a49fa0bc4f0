"""What the parent of an exhibit holds of each book: a row of numbers, however many there are."""

import gc
import pickle
import tracemalloc

import pytest
from conftest import BOOK
from faked import faked, patterns
from test_exhibit import plan

from cutfiles.bench.slip import slip_from
from cutfiles.exhibit import films, run
from cutfiles.exhibit.run import make_exhibit
from cutfiles.lists.ledger import read_list

FEW, MANY = 8, 28
HELD = 4500
"""Bytes a book that a run may hold, the list itself left out; it held 20,000, a second one 40,000.

It holds 3,200. A third are a support's numbers, a fourth where its pieces lie, a tenth the slip
made as chosen. The rest is for a table of the process that grows meanwhile, such as its words'."""
TABLE = 15_000
"""A block this large is such a table, and no book's: the process may hold any number of words."""
WEIGHED = 3000
"""Bytes a book while the film of all is chosen; they were 8,000."""


def list_of(tmp_path, count):
    """A list of books that have their measures in common, else are each its own."""
    head = "No,Title,Show,H (mm),W (mm),Spine (mm),Opens to,Case,Note\n"
    rows = (
        f"N{i:04d},Book {i},p. {i},203,133,34,120,{i // 20},Wash hands {i}\n" for i in range(count)
    )
    path = tmp_path / f"{count}.csv"
    path.write_text(head + "".join(rows))
    return path


@pytest.fixture
def held(tmp_path, monkeypatch):
    """Return what is held of a list when all is made, bytes: of a first run, and of a second."""
    seen = []
    real = run.record_of

    def looked(*given):
        gc.collect()
        blocks = (trace.size for trace in tracemalloc.take_snapshot().traces)
        seen.append(sum(size for size in blocks if size < TABLE))
        return real(*given)

    monkeypatch.setattr(run, "record_of", looked)

    chosen, weighed = {}, films._weighed

    def once(asked):
        """Books are alike, so each way to make them is judged once; it comes as from a process."""
        if asked[1] not in chosen:
            chosen[asked[1]] = pickle.dumps(weighed(asked))
        return pickle.loads(chosen[asked[1]])

    monkeypatch.setattr(films, "_weighed", once)

    def held(count, out="out"):
        books = read_list(list_of(tmp_path, count))
        seen.clear()
        with faked(layout=True):
            for state in ("made", "unchanged"):
                tracemalloc.start()
                done = make_exhibit(books, tmp_path / f"{out}-{count}", plan())
                tracemalloc.stop()
                assert done.counts[state] == count
        return tuple(seen)

    patterns()
    held(MANY, "before")  # what is loaded and kept once, of these books' words too
    return held


def test_of_each_book_the_parent_holds_a_row_of_numbers(held):
    few, many = held(FEW), held(MANY)
    for less, more in zip(few, many, strict=True):
        assert (more - less) / (MANY - FEW) < HELD, f"{(more - less) / (MANY - FEW)}"


def test_what_chooses_the_film_of_all_is_light():
    """As it comes from other processes: what is alike in many books is kept once."""
    slip = slip_from({**BOOK, "support": {}})
    handed = pickle.dumps(films._weighed((slip, None, ())))
    tracemalloc.start()
    kept = [*films._shared(pickle.loads(handed) for _ in range(50))]
    size, _ = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert len(kept[-1].ways) > 5
    assert size / len(kept) < WEIGHED
