"""What the parent of an exhibit holds of each book: a row of numbers, however many there are."""

import json
import os
import pickle
import subprocess
import sys
import tracemalloc

from conftest import BOOK, ROOT

from cutfiles.bench.slip import slip_from
from cutfiles.exhibit import films

FEW, MANY = 8, 28
HELD = 4500
"""Bytes a book that a run may hold, the list itself left out; it held 20,000, a second one 40,000.

It holds 3,200. A third are a support's numbers, a fourth where its pieces lie, a tenth the slip
made as chosen. The rest is for a small table of the process that grows meanwhile."""
WEIGHED = 3000
"""Bytes a book while the film of all is chosen; they were 8,000."""


def test_of_each_book_the_parent_holds_a_row_of_numbers(tmp_path):
    env = {**os.environ, "PYTHONPATH": os.pathsep.join((str(ROOT), str(ROOT / "tests")))}
    words = [sys.executable, str(ROOT / "tests" / "held.py"), str(tmp_path), str(FEW), str(MANY)]
    done = subprocess.run(words, env=env, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    few, many = json.loads(done.stdout)
    assert len(few) == len(many) == 2
    for less, more in zip(few, many, strict=True):
        assert (more - less) / (MANY - FEW) < HELD


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
