"""Sends a job down a line: nothing lost, nothing hanging, and the tool lifted when it is stopped.

Few bytes are under way at a time, so that a pause or a stop does not come behind a whole job. A
pause takes effect where the tool is up. A stop, a break or a stall ends with the commands that
lift the tool or switch the beam off. The account says what the other end's network, or this
computer's port, acknowledged; what a machine did no line knows, and what it has taken into its own
memory it still works: in danger use the stop on the machine itself.
"""

import contextlib
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import field

from cutfiles.dataclass import dataclass
from cutfiles.errors import LineError
from cutfiles.line.check import Job
from cutfiles.line.lines import CHUNK, Line

STALL = 120.0
"""A line that takes nothing for so long has stalled, s."""
_TICK = 0.05
_ANSWER = 0.001  # how soon to ask again whether bytes under way were acknowledged, s
_LIFT_WAIT = 0.9


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
        taken: bytes of the job that were handed over.
        total: bytes of the job.
        acknowledged: of those handed over, how many the line's taker is known to have
            acknowledged; None where the system does not tell.
        ended: whether the other end let go after the last byte.
        stopped: whether it was stopped before its end.
        lifted: whether the commands that leave the machine safe were acknowledged, when stopped;
            where the system does not tell, whether they were handed over.

    """

    taken: int
    total: int
    acknowledged: int | None = None
    ended: bool = False
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
        stall: how long the line may take nothing, and the other end wait to let go, s.
        progress: called with bytes taken and bytes in all.

    Returns:
        How it ended. Stopped by `control` it says whether the tool could be lifted.

    Raises:
        LineError: the line broke or stalled; says how much was sent and what to do.
        KeyboardInterrupt: after the tool was lifted.

    """
    course = _Course(job, line, control or Control(), stall, progress)
    try:
        return course.run()
    except KeyboardInterrupt:
        if not course.lift():
            raise course.broken("a stop that the line did not take") from None
        raise
    except OSError as error:
        course.lift()
        raise course.broken(f"a line that broke ({error.strerror or error})") from None
    except Stalled as error:
        course.lift()
        raise course.broken(str(error)) from None


@dataclass(slots=True)
class _Course:
    """One job on its way down one line."""

    job: Job
    line: Line
    control: Control
    stall: float
    progress: Callable[[int, int], None] | None
    taken: int = 0
    acknowledged: int | None = 0

    def run(self) -> Sent:
        """Send the job; return how it ended."""
        for block in blocks(self.job):
            self._hold()
            self._hand_over(block)
            if self.control.stopped:
                return self._stopped()
        self._await_rest()
        if self.control.stopped:
            return self._stopped()
        ended = self._await_end()
        self.line.close()
        return Sent(self.taken, len(self.job.data), self.acknowledged, ended)

    def lift(self) -> bool:
        """Lift the tool and close the line; return whether the line took that."""
        lifted = _lift(self.line, self.job, self.taken)
        if lifted and self.acknowledged is not None:
            self.acknowledged = self.taken
        return lifted

    def broken(self, found: str) -> LineError:
        """Return the refusal that tells how far it came."""
        known = self.acknowledged is not None and self.acknowledged < self.taken
        return LineError(
            f"{found} after {self.taken} of {len(self.job.data)} bytes"
            + (f", of which {self.acknowledged} were acknowledged" if known else ""),
            "the cutter takes the whole file",
            "the tool may be down or the beam on: use the machine's own stop and lift the tool "
            "there; then check cable, power and flow control, and begin with new film",
            self.job.name,
        )

    def _stopped(self) -> Sent:
        lifted = self.lift()
        return Sent(self.taken, len(self.job.data), self.acknowledged, stopped=True, lifted=lifted)

    def _under_way(self) -> int:
        """Listen, and note what was acknowledged; return the bytes that were not."""
        count = self.line.under_way()
        if count is None:
            self.acknowledged = None
        else:
            self.acknowledged = max(self.acknowledged or 0, self.taken - count)
        return count or 0

    def _hold(self) -> None:
        while self.control.held and not self.control.stopped:
            self._under_way()
            time.sleep(_TICK)

    def _hand_over(self, block: bytes) -> None:
        """Hand over a block, a few bytes at a time; wait, but not for ever, nor when stopped."""
        end, until = self.taken + len(block), time.monotonic() + self.stall
        while self.taken < end and not self.control.stopped:
            count = 0
            if self._under_way() < self.line.window:
                rest = block[len(block) - (end - self.taken) :]
                count = self.line.put(rest[:CHUNK], _TICK)
            else:
                time.sleep(_ANSWER)
            if count:
                self.taken += count
                until = time.monotonic() + self.stall
                if self.progress:
                    self.progress(self.taken, len(self.job.data))
            elif time.monotonic() > until:
                raise Stalled(f"a line that took nothing for {self.stall:g} s")

    def _await_rest(self) -> None:
        """Wait until all that was handed over was acknowledged, or until stopped."""
        least, until = len(self.job.data), time.monotonic() + self.stall
        while (count := self._under_way()) and not self.control.stopped:
            if count < least:
                least, until = count, time.monotonic() + self.stall
            elif time.monotonic() > until:
                raise Stalled(f"a line that sent nothing on for {self.stall:g} s")
            time.sleep(_ANSWER)

    def _await_end(self) -> bool:
        """Return whether the other end let go; a stop ends the waiting: all was taken."""
        until = time.monotonic() + self.stall
        while not self.line.ended(_TICK):
            if self.control.stopped or time.monotonic() > until:
                return False
        return True


def blocks(job: Job) -> Iterator[bytes]:
    """Yield a job in pieces that begin where the tool is up."""
    block: list[bytes] = []
    for line in job.data.splitlines(keepends=True):
        if line.startswith(job.wire.up) and block:
            yield b"".join(block)
            block = []
        block.append(line)
    yield b"".join(block)


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
        while (behind := line.under_way()) and time.monotonic() < until:
            time.sleep(_ANSWER)
        line.close(hurry=bool(rest))
    except OSError:
        with contextlib.suppress(OSError):
            line.close(hurry=True)
        return False
    return not rest and not behind


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
