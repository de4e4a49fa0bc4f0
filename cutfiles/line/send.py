"""Sends a job down a line: nothing lost, nothing hanging, and the tool lifted when it is stopped.

A pause takes effect where the tool is up. A stop, a break or a stall ends with the commands that
lift the tool or switch the beam off. What a machine has taken into its own memory it still works:
in danger use the stop on the machine itself.
"""

import contextlib
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from cutfiles.errors import LineError
from cutfiles.line.check import Job
from cutfiles.line.lines import CHUNK, Line

STALL = 120.0
"""A line that takes nothing for so long has stalled, s."""
_TICK = 0.05
_LIFT_WAIT = 2.0


class Stalled(Exception):
    """A line that takes nothing more."""


@dataclass(slots=True)
class Control:
    """Pauses, resumes and stops a sending from another thread."""

    _held: threading.Event = field(default_factory=threading.Event)
    _stopped: threading.Event = field(default_factory=threading.Event)

    def pause(self) -> None:
        """Hold where the tool is next up."""
        self._held.set()

    def resume(self) -> None:
        """Go on."""
        self._held.clear()

    def stop(self) -> None:
        """End, with the tool lifted."""
        self._stopped.set()

    @property
    def held(self) -> bool:
        """Whether a pause was asked for."""
        return self._held.is_set()

    @property
    def stopped(self) -> bool:
        """Whether a stop was asked for."""
        return self._stopped.is_set()


@dataclass(frozen=True, slots=True)
class Sent:
    """How a sending ended.

    Attributes:
        taken: bytes the line took.
        total: bytes of the job.
        stopped: whether it was stopped before its end.
        lifted: whether the line took the commands that leave the machine safe, when stopped.

    """

    taken: int
    total: int
    stopped: bool = False
    lifted: bool = True


def send(
    job: Job,
    line: Line,
    *,
    control: Control | None = None,
    stall: float = STALL,
    progress: Callable[[int, int], None] | None = None,
) -> Sent:
    """Send a job and close the line.

    Args:
        job: what is sent.
        line: where to.
        control: pauses and stops it.
        stall: how long the line may take nothing, s.
        progress: called with bytes taken and bytes in all.

    Returns:
        How it ended. Stopped by `control` it says whether the tool could be lifted.

    Raises:
        LineError: the line broke or stalled; says how much was sent and what to do.
        KeyboardInterrupt: after the tool was lifted.

    """
    control = control or Control()
    taken, total = 0, len(job.data)
    try:
        for block in blocks(job):
            while control.held and not control.stopped:
                time.sleep(_TICK)
            end = taken + len(block)
            while taken < end and not control.stopped:
                piece = block[len(block) - (end - taken) :][:CHUNK]
                taken += _put(line, piece, stall, control)
                if progress:
                    progress(taken, total)
            if control.stopped:
                return Sent(taken, total, True, _lift(line, job, taken))
        line.close()
        return Sent(taken, total)
    except KeyboardInterrupt:
        if not _lift(line, job, taken):
            raise _broken("a stop that the line did not take", job, taken) from None
        raise
    except OSError as error:
        _lift(line, job, taken)
        raise _broken(f"a line that broke ({error})", job, taken) from None
    except Stalled as error:
        _lift(line, job, taken)
        raise _broken(str(error), job, taken) from None


def blocks(job: Job) -> Iterator[bytes]:
    """Yield a job in pieces that begin where the tool is up."""
    block: list[bytes] = []
    for line in job.data.splitlines(keepends=True):
        if line.startswith(job.wire.up) and block:
            yield b"".join(block)
            block = []
        block.append(line)
    yield b"".join(block)


def _put(line: Line, piece: bytes, stall: float, control: Control) -> int:
    """Hand over some bytes; wait, but not for ever, and not when stopped."""
    until = time.monotonic() + stall
    while not control.stopped:
        count = line.put(piece, _TICK)
        if count:
            return count
        if time.monotonic() > until:
            raise Stalled(f"a line that took nothing for {stall:g} s")
    return 0


def _lift(line: Line, job: Job, taken: int) -> bool:
    """Send what leaves the machine safe; return whether the line took all of it.

    A command that is half sent is brought to the end of its place first: cut short, "PD1000,2000"
    would be "PD1000,2", a slash across the film.
    """
    rest = begun(job, taken) + job.wire.lift
    until = time.monotonic() + _LIFT_WAIT
    try:
        while rest and time.monotonic() < until:
            rest = rest[line.put(rest, _TICK) :]
        line.close(hurry=bool(rest))
    except OSError:
        with contextlib.suppress(OSError):
            line.close(hurry=True)
        return False
    return not rest


def begun(job: Job, taken: int) -> bytes:
    """Return what is still to be sent of the place or command that was begun."""
    data = job.data
    start = data.rfind(b"\n", 0, taken) + 1
    if start == taken:
        return b""
    line = data[start : data.find(b"\n", taken)]
    if not (job.wire.run and line.startswith(job.wire.run)):
        return data[taken : start + len(line)]
    commas = [i for i, byte in enumerate(line) if byte == ord(",")]
    ends = [*commas[1::2], len(line) - 1]
    return line[taken - start : next((end for end in ends if end >= taken - start), len(line))]


def _broken(found: str, job: Job, taken: int) -> LineError:
    return LineError(
        f"{found} after {taken} of {len(job.data)} bytes",
        "the cutter takes the whole file",
        "the tool may be down or the beam on: use the machine's own stop and lift the tool there; "
        "then check cable, power and flow control, and begin with new film",
        job.name,
    )
