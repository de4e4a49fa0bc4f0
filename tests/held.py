"""What the parent of an exhibit holds when all is made, told by a process that does nothing else.

    python tests/held.py FOLDER COUNT ...

Prints for each count the bytes held in a first run, and in a second one. In a process that ran
other tests, caches and threads of theirs would be counted too.
"""

import gc
import json
import pickle
import sys
import tracemalloc
from pathlib import Path
from unittest import mock

from faked import faked, patterns
from test_exhibit import plan

from cutfiles.exhibit import films, run
from cutfiles.exhibit.run import make_exhibit
from cutfiles.lists.ledger import read_list

TABLE = 15_000
"""A block this large is a table of the process, and no book's: it may hold any number of words."""


def list_of(folder, count):
    """A list of books that have their measures in common, else are each its own."""
    head = "No,Title,Show,H (mm),W (mm),Spine (mm),Opens to,Case,Note\n"
    rows = (
        f"N{i:04d},Book {i},p. {i},203,133,34,120,{i // 20},Wash hands {i}\n" for i in range(count)
    )
    path = folder / f"{count}.csv"
    path.write_text(head + "".join(rows))
    return path


def held(folder, count, out):
    """Return what is held of a list when all is made, bytes: of a first run, and of a second."""
    seen, recorded, weighed, chosen = [], run.record_of, films._weighed, {}

    def looked(*given):
        gc.collect()
        blocks = (trace.size for trace in tracemalloc.take_snapshot().traces)
        seen.append(sum(size for size in blocks if size < TABLE))
        return recorded(*given)

    def once(asked):
        """Books are alike, so each way to make them is judged once; it comes as from a process."""
        if asked[1] not in chosen:
            chosen[asked[1]] = pickle.dumps(weighed(asked))
        return pickle.loads(chosen[asked[1]])

    books = read_list(list_of(folder, count))
    with (
        mock.patch.object(run, "record_of", looked),
        mock.patch.object(films, "_weighed", once),
        faked(layout=True),
    ):
        for state in ("made", "unchanged"):
            tracemalloc.start()
            done = make_exhibit(books, folder / f"{out}-{count}", plan())
            tracemalloc.stop()
            assert done.counts[state] == count
    return seen


def main(folder, *counts):
    """Print what is held of lists so long."""
    patterns()
    most = max(map(int, counts))
    held(Path(folder), most, "before")  # what is loaded and kept once, of these books' words too
    print(json.dumps([held(Path(folder), int(count), "out") for count in counts]))


if __name__ == "__main__":
    main(*sys.argv[1:])
