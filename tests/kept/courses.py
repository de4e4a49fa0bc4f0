"""What a line takes of a job until it is done, stopped, stalled or broken."""

from types import SimpleNamespace
from unittest.mock import patch

from kept import Group
from kept.profiles import said_as

BODY = b"".join(b"PU%d,7;\nPD1000,2000,%d,40,5,66;\n" % (n, n) for n in range(9))
PROGRAM = b"".join(b"G0 X%d Y7\nG1 X10.5 Y%d S255\nG1 X3\n" % (n, n) for n in range(9))
LONG = b"PU;\nPD" + b",".join(b"%d,%d" % (n, 7 * n) for n in range(30)) + b";\n"
ENDLESS = 4000


class Clock(SimpleNamespace):
    """A clock that goes on only while somebody sleeps."""

    now = 0.0

    def monotonic(self):
        """Return the time."""
        return self.now

    def sleep(self, seconds):
        """Go on."""
        self.now += seconds


class Told:
    """A line that does what it is told, and tells what it was asked.

    Args:
        clock: that waits.
        takes: how many bytes it takes at each time, the last for ever; None: it breaks;
            less than 0: somebody breaks in.
        left: how many of them are not acknowledged at each time; None: it does not tell.
        ends: after how many times the other end lets go.
        act: called with how often it was asked to take bytes.

    """

    taker = "network"
    window = 128

    def __init__(self, clock, takes=(64,), left=(0,), ends=1, act=lambda asked: None):
        self.clock, self.takes, self.left, self.ends, self.act = clock, takes, left, ends, act
        self.got, self.asked, self.closed = b"", [0, 0], []

    def put(self, data, wait):
        """Take bytes."""
        self.asked[0] += 1
        assert self.asked[0] < ENDLESS, "no end"
        self.act(self.asked[0])
        count = self.takes[min(self.asked[0], len(self.takes)) - 1]
        if count is None:
            raise OSError(5, "no power")
        if count < 0:
            raise KeyboardInterrupt
        self.got += data[:count] + b"|"
        self.clock.now += 0 if count else wait
        return min(count, len(data))

    def under_way(self):
        """Say what was not acknowledged."""
        self.asked[1] += 1
        assert self.asked[1] < ENDLESS, "no end"
        return self.left[min(self.asked[1], len(self.left)) - 1]

    def ended(self, wait):
        """Say whether the other end let go."""
        self.clock.now += wait
        self.asked[0] += 1
        self.act(self.asked[0])
        self.ends -= 1
        return self.ends <= 0

    def close(self, hurry=False):
        """Let go."""
        self.closed.append(hurry)


def course(name, stop=0, pause=0, form="hpgl", data=BODY, stall=1.0, **told):
    """Return a line that sends a job down a line, and tells all that came of it.

    Args:
        name: of it.
        stop: at which asking for bytes it is stopped.
        pause: at which it is paused; it is stopped or resumed 0.2 s later.
        form: of the job.
        data: of the job.
        stall: after how long the line has stalled, s.
        told: of the line.

    """

    def call(_):
        from cutfiles.errors import LineError
        from cutfiles.line import send as sending
        from cutfiles.line.check import Job
        from cutfiles.machine.formats import FORMATS

        clock, control, shown = Clock(), sending.Control(), []

        def act(asked):
            if asked == stop:
                control.stop()
            if asked == pause:
                control.pause()

        def sleep(seconds):
            clock.now += seconds
            if control.held and clock.now > 0.2:
                control.resume()

        line = Told(clock, act=act, **told)
        job = Job("job", FORMATS[form].wire, data, None)
        with patch.object(sending, "time", SimpleNamespace(monotonic=clock.monotonic, sleep=sleep)):
            try:
                said = sending.send(
                    job, line, control=control, stall=stall, progress=lambda *of: shown.append(of)
                )
            except (LineError, KeyboardInterrupt) as error:
                said = f"{type(error).__name__} {error}"
        got = line.got.decode()
        return f"{said}\n{got}\n{line.asked} {line.closed} {shown} {clock.now:.4f}"

    return said_as(name, call)


COURSES = [
    course("whole"),
    course("a long line", data=LONG),
    course("a long line stopped", data=LONG, stop=3),
    course("in little bits", takes=(5, 0, 0, 1, 13, 0, 7)),
    course("a program", form="gcode", data=PROGRAM, takes=(50, 0, 7)),
    course("acknowledged late", left=(0, 40, 127, 128, 200, 127, 129, 0, 30, 30, 7, 0), ends=3),
    course("untold", left=(None,), ends=60),
    course("never let go", ends=400),
    *(course(f"stopped at {at}", stop=at, takes=(7,)) for at in (1, 3, 8, 9, 20, 21)),
    *(
        course(f"program stopped at {at}", form="gcode", data=PROGRAM, stop=at, takes=(9,))
        for at in (1, 5, 6)
    ),
    course("stopped, not acknowledged", stop=3, left=(0, 30, 64, 64, 100)),
    course("stopped, acknowledged late", stop=3, left=(0, 30, 64, 64, 9, 9, 0)),
    course("stopped, untold", stop=3, left=(None,)),
    course("stopped, and it takes no more", stop=3, takes=(20, 20, 20, 0)),
    course("stopped at the end", stop=9, left=(0,) * 9 + (5,)),
    course("stopped while it lets go", stop=12, ends=400),
    course("paused", pause=4),
    course("paused and stopped", pause=4, stop=4),
    course("stalled", takes=(64, 64, 3, 0)),
    course("nearly stalled", takes=(64,) + (0,) * 19 + (3,) + (0,) * 19 + (64,)),
    course("stalled at last", left=(0,) * 9 + (50, 40, 40)),
    course("slow at last", left=(0,) * 9 + (50,) * 900 + (40,) * 900 + (0,)),
    course("full for ever", left=(0, 0, 128)),
    course("broken", takes=(64, 30, None)),
    course("broken once", takes=(64, 30, None, 64), left=(0, 0, 20)),
    course("broken in a pause", takes=(20, None, 64), pause=1),
    course("interrupted", takes=(64, 13, -1, 64)),
    course("interrupted twice", takes=(64, 13, -1, 0)),
    course("empty", data=b""),
]
"""Jobs on their way, by what the line and the people do."""


def groups():
    """Yield the groups."""
    yield Group("courses", COURSES)
