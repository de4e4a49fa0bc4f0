"""Random stops while sending, with every kind of peer: 2,000 of them, or as many as are named.

    .venv/bin/python tests/bench/sending.py [COUNT [SEED]]

Of each is asked: the tool is up at the end wherever the line still took it, nothing was cut outside
the pass, the account is true to the byte, and a stop took no longer than a second.
"""

import random
import re
import sys
import tempfile
import time
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

from dangers.jobs import pass_file
from interpreters import KnifeMachine, worked
from line.peers import BREAKING, SERIAL, TCP, SerialPeer, TcpPeer

from cutfiles.errors import LineError
from cutfiles.line.check import check_job
from cutfiles.line.lines import open_line
from cutfiles.line.send import Control, begun, send
from cutfiles.machine.profile.read import find_cutter

ROLL = "wide-roll-knife"
WAYS = [*((TcpPeer, way) for way in TCP), *((SerialPeer, way) for way in SERIAL)]
SOON = 1.5
"""A stop ends within a second, and half a one for a busy machine."""


def job_in(folder):
    """A pass for a knife."""
    return check_job(pass_file(Path(folder), ROLL, "hpgl"), find_cutter(ROLL))


@dataclass
class Seen:
    """How one sending went: kind of peer, what ended it, what is wrong."""

    kind: str
    ended: str
    faults: list


def trial(job, dice, kind=None):
    """Send to one peer, with a stop at a random byte; return how it went."""
    made, way = kind or dice.choice(WAYS)
    far = made(way, most=dice.randrange(1, len(job.data)), pause=0.0005)
    at, control, asked = dice.randrange(1, int(len(job.data) * 1.3)), Control(), []
    first = dice.choice((control.stop, control.pause))

    def watch(taken, _):
        if taken >= at and not asked:
            asked.append(time.monotonic())
            first()

    def later():
        """A pause is ended by a stop or by going on."""
        until = time.monotonic() + 30
        while not asked and time.monotonic() < until and not done:
            time.sleep(0.005)
        dice.choice((control.stop, control.resume))()

    done = []
    if first == control.pause:
        import threading

        threading.Thread(target=later, daemon=True).start()
    line = open_line(far.to, "xonxoff" if way == "xoff" else "none", 921600)
    try:
        try:
            sent, error = send(job, line, control=control, stall=0.4, progress=watch), None
        except LineError as failed:
            sent, error = None, str(failed)
        took = time.monotonic() - asked[0] if asked and first == control.stop else 0.0
        done.append(True)
        got = far.work_off()
    finally:
        far.end()
    ended = "broken" if error else "stopped" if sent.stopped else "whole"
    return Seen(
        f"{made.__name__} {way}", ended, list(faults(job, made, way, sent, error, got, took))
    )


def faults(job, made, way, sent, error, got, took):
    """Yield what is not as it should be after one sending."""
    hung_up = made is SerialPeer and way == "closing"  # a serial line tells only what left the port
    taken = sent.taken if sent else int(re.search(r"after (\d+) of", error)[1])
    told = re.search(r"of which (\d+) were", error or "")
    known = sent.acknowledged if sent else int(told[1]) if told else taken
    most = job.data[:taken] + begun(job, taken) + job.wire.lift
    if known is not None and not 0 <= known <= taken:
        yield f"{known} acknowledged of {taken}"
    if took > SOON and not error:
        yield f"a stop took {took:.2f} s"
    if not (job.data.startswith(got) or most.startswith(got)):
        yield f"{len(got)} bytes came that are no beginning of what was sent"
    if sent and sent.stopped and sent.lifted and way not in BREAKING and got != most:
        yield f"{len(got)} bytes came, {len(most)} were told of"
    if sent and not sent.stopped and got != job.data and not hung_up:
        yield f"told as sent, but {len(got)} of {len(job.data)} came"
    if error and "lift the tool there" not in error:
        yield "a break that does not say what to do"
    if error and way not in (*BREAKING, "silent"):
        yield f"broken without a reason: {error}"
    # a peer that breaks off may drop what its network acknowledged, the lift too: nobody can know
    sure = sent and sent.lifted and not hung_up and way not in BREAKING
    yield from cut_wrong(job, got, up=bool(sure))


def cut_wrong(job, got, up):
    """Yield where the machine went that the job does not go, and a tool left down."""
    machine, meant = KnifeMachine().take(got), worked(KnifeMachine().take(job.data))
    if up and got:
        try:
            machine.check_safe()
        except AssertionError as error:
            yield str(error)
    for i, places in enumerate(worked(machine)):
        if i >= len(meant) or places != meant[i][: len(places)]:
            yield f"line {i + 1} was worked where the job does not go"


def main(count=2000, seed=1):
    """Try, and print what came of it; exit 1 where anything was wrong."""
    dice, seen, start = random.Random(seed), Counter(), time.monotonic()
    wrong = 0
    with tempfile.TemporaryDirectory() as folder:
        job = job_in(folder)
        for number in range(count):
            one = trial(job, dice)
            seen[one.kind, one.ended] += 1
            for fault in one.faults:
                wrong += 1
                print(f"{number}: {one.kind}, {one.ended}: {fault}")
    for (kind, ended), times in sorted(seen.items()):
        print(f"{kind:22} {ended:8} {times:5}")
    print(f"{count} sendings in {time.monotonic() - start:.0f} s, {wrong} faults")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:3])))
