"""Mutated drawings: no crash, nothing slow or large, and no line across a crease told harmless.

Each is a file as it was made or as a general-purpose program saved it, with shapes and damage drawn
at random but by seed (`mutations`): SVG, DXF and PDF are read for edits; HP-GL and FOLD compared
with their slip and folded. CI runs a few (`tests/test_edits_mutated.py`).

    .venv/bin/python tests/bench/mutated_drawings.py [COUNT] [SEED] [ONE]

tells what became of them, the slowest and the most memory; with ONE only the drawing of that
number. Those that break a promise are kept where it runs, as `broken-SEED-NUMBER.KIND`.
"""

import random
import resource
import sys
import time
import traceback
from collections import Counter
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

import save_edits
from mutated_files import bases
from mutations import Dice, damaged, never_harmless

from cutfiles.edits.find import edits_in
from cutfiles.edits.opening import open_drawing
from cutfiles.errors import DesignError, FileError, SlipError
from cutfiles.job.recheck import fold_data, verify_data

KINDS = ("svg",) * 3 + ("dxf",) * 3 + ("pdf",) * 3 + ("hpgl", "fold")
SLOWEST, LARGEST = 10.0, 400.0
"""Seconds of work and MB that no drawing may take, beyond what the process had held before."""


@dataclass
class Mutation:
    """One file mutated.

    Attributes:
        kind: of file.
        data: its bytes.
        never: harmless, or verified: a crease was drawn into it, or a line across one.

    """

    kind: str
    data: bytes
    never: bool = False


@dataclass
class Outcomes:
    """What became of all drawings.

    Attributes:
        counts: kind of file and outcome of each.
        broken: what promises were broken, by which drawing.
        slowest: seconds of work of the slowest, and its number.
        largest: MB that the process held at most, beyond what it had held before.

    """

    counts: Counter = field(default_factory=Counter)
    broken: list[str] = field(default_factory=list)
    slowest: tuple[float, int] = (0.0, -1)
    largest: float = 0.0

    def of(self, outcome):
        """Return how many came to this, whatever their kind."""
        return sum(count for (_, said), count in self.counts.items() if said == outcome)


def mutation(number, seed, files):
    """Return the drawing of a number: one to four shapes or damages, sometimes bytes hurt last."""
    dice = Dice(random.Random(seed * 1_000_003 + number))
    kind = dice.pick(KINDS)
    one = dice.pick(files[kind])()
    drawn, hurt = [], False
    for _ in range(1 + dice.index(4)):
        if dice.number(0, 1) < 0.6:
            shape = dice.shape(save_edits.PATTERN.box)
            try:
                one.draw(shape, dice)
            except (KeyError, TypeError, AttributeError):  # what it is drawn into was hurt away
                hurt = True
            drawn.append(shape)
        else:
            hurt = True
            one.hurt(dice)
    data = one.data
    if hurt and not dice.index(4):
        data = damaged(data, dice)
    if kind in ("hpgl", "fold"):
        never = bool(drawn)
    else:
        never = any(never_harmless(shape, save_edits.PATTERN) for shape in drawn)
    return Mutation(kind, data, never and not hurt)


def outcome_of(one):
    """Return what is told of a drawing: the worst of its edits, or how it compares and folds."""
    try:
        if one.kind not in ("hpgl", "fold"):
            opened, again = open_drawing(one.data), partial(open_drawing, one.data)
            return edits_in(opened, save_edits.DRAFT, again=again).state
        name = f"E7.{one.kind}"
        verified = verify_data(one.data, name, save_edits.SLIP) == ()
        folds = fold_data(one.data, name).check.folds
        return "verified" if verified and folds else "different"
    except (FileError, DesignError, SlipError) as error:
        faults = getattr(error, "faults", None) or (error.fault,)
        return "refused" if all(fault.remedy for fault in faults) else "no remedy"
    except Exception as error:
        where = traceback.extract_tb(error.__traceback__)[-1]
        return f"crash: {error!r:.80} in {Path(where.filename).name}:{where.lineno}"


def run(count, seed, tell=print, first=0):
    """Return what became of so many drawings."""
    files, told, held = bases(), Outcomes(), most_held()
    for number in range(first, first + count):
        one = mutation(number, seed, files)
        begun = time.process_time()
        outcome = outcome_of(one)
        took = time.process_time() - begun
        told.counts[one.kind, outcome.partition(":")[0]] += 1
        told.slowest = max(told.slowest, (took, number))
        most = most_held() - held
        grown, told.largest = most > told.largest + 20, max(most, told.largest)
        for said in broken_promises(one, outcome, took, most if grown else 0.0):
            told.broken.append(f"{one.kind} {number} of seed {seed}: {said}")
            tell(told.broken[-1])
            Path(f"broken-{seed}-{number}.{one.kind}").write_bytes(one.data)
        if grown and number > first:
            tell(f"{one.kind} {number}: {most:.0f} MB")
        if number % 500 == 499:
            tell(number + 1, summary(told))
    return told


def most_held():
    """Return what this process has held at most, MB."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def broken_promises(one, outcome, took, most):
    """Yield what should not have become of a drawing."""
    if outcome.startswith(("crash", "no remedy")):
        yield outcome
    if one.never and outcome in ("harmless", "verified"):
        yield f"a line across a crease, or one too many, is {outcome}"
    if took > SLOWEST:
        yield f"took {took:.1f} s"
    if most > LARGEST:
        yield f"{most:.0f} MB"


def summary(told):
    """Return the outcomes in one line for each kind of file."""
    lines = []
    for kind in dict.fromkeys(KINDS):
        counts = [f"{n} {said}" for (k, said), n in sorted(told.counts.items()) if k == kind]
        lines.append(f"{kind}: {', '.join(counts)}")
    seconds, number = told.slowest
    ended = f"slowest {seconds:.2f} s (number {number}), {told.largest:.0f} MB"
    return "\n  ".join(["", *lines, ended])


if __name__ == "__main__":
    words = [int(word) for word in sys.argv[1:]]
    count = words[0] if words else 10_000
    seed = words[1] if len(words) > 1 else 1
    told = run(1, seed, first=words[2]) if len(words) > 2 else run(count, seed)
    print(summary(told))
    print(f"{len(told.broken)} broken promises", *told.broken, sep="\n  ")
    sys.exit(bool(told.broken))
