"""Whatever stops a sending, and wherever: no beam left on, no blade left down, no slash cut."""

import time

import pytest
from dangers.jobs import laser, pass_file
from interpreters import MACHINES, LaserMachine, Unsafe, worked

from cutfiles.errors import LineError
from cutfiles.line.check import check_job
from cutfiles.line.send import Control, send
from cutfiles.machine.profile.read import find_cutter


@pytest.fixture(scope="module", params=["hpgl", "gcode"])
def job(request, tmp_path_factory):
    folder = tmp_path_factory.mktemp(request.param)
    cutter = "wide-roll-knife" if request.param == "hpgl" else str(laser(folder))
    return check_job(pass_file(folder, cutter, request.param), find_cutter(cutter))


def language(job):
    """What the job is written in, by its name."""
    return job.name.rpartition(".")[2]


class Wire:
    """A line that takes everything up to a byte, and then does what it is told to do there."""

    window = 512

    def under_way(self):
        return 0

    def ended(self, wait):
        return True

    def __init__(self, stop_at, then):
        self.stop_at, self.then, self.got, self.met = stop_at, then, bytearray(), False

    def put(self, data, wait):
        room = len(data) if self.met else min(len(data), self.stop_at - len(self.got))
        if not self.met and room == 0:
            self.met = True
            return self.then(self) or 0
        self.got += data[:room]
        if not self.met and len(self.got) == self.stop_at:
            self.met = True
            self.then(self)
        return room

    def close(self, hurry=False):
        self.hurried = hurry


def check_left(job, states, got):
    """What the machine took is the job up to some byte, and then no more than making it safe."""
    far = next(at for at in reversed(states) if at <= len(got) and job.data[:at] == got[:at])
    machine = states[far].fork().take(bytes(got[far:]))
    machine.check_safe()
    whole = states[len(job.data)]
    drawn, meant = worked(machine), worked(whole)
    for i, places in enumerate(drawn):
        assert places == meant[i][: len(places)], "worked where the job does not go"
        assert len(places) == len(meant[i]) or i == len(drawn) - 1, "a line was left half done"


@pytest.fixture(scope="module")
def states(job):
    """The machine after each line of the job."""
    machine, found, at = MACHINES[language(job)](), {}, 0
    found[0] = machine.fork()
    for line in job.data.splitlines(keepends=True):
        at += len(line)
        found[at] = machine.take(line).fork()
    machine.check_ended()
    return found


def places_to_stop(job):
    """Every byte of the beginning, of the end and of some stretch; elsewhere some."""
    last = len(job.data)
    middle = last // 2
    near = [*range(1, 700), *range(middle, middle + 300), *range(last - 120, last)]
    return sorted({*near, *range(700, last, 211)})


def test_a_stop_at_any_byte_leaves_the_machine_safe(job, states):
    for at in places_to_stop(job):
        control = Control()
        wire = Wire(at, lambda _, control=control: control.stop())
        sent = send(job, wire, control=control)
        assert sent.stopped
        assert sent.lifted
        check_left(job, states, wire.got)


def test_a_stall_leaves_the_machine_safe(job, states):
    """The machine takes nothing for a while, we give up, and then it goes on taking."""
    for at in (150, len(job.data) // 2, len(job.data) // 2 + 7, len(job.data) - 30):
        until = []

        def full(wire, until=until):
            until.append(time.monotonic() + 0.25)

        wire = Wire(at, full)
        put = wire.put

        def slow(data, wait, put=put, until=until):
            if until and time.monotonic() < until[0]:
                time.sleep(0.01)
                return 0
            return put(data, wait)

        wire.put = slow
        with pytest.raises(LineError, match=r"took nothing for 0\.1 s"):
            send(job, wire, stall=0.1)
        check_left(job, states, wire.got)


def test_a_stop_that_is_not_taken_is_told(job):
    """Ctrl-C while the cutter takes nothing more: the tool may be down, and that is said."""

    def broken(wire):
        def gone(data, wait):
            raise OSError("gone")

        wire.put = gone
        raise KeyboardInterrupt

    with pytest.raises(LineError, match=r"stop that the line did not take .*own stop"):
        send(job, Wire(len(job.data) // 2, broken))
    control = Control()

    def deaf(wire):
        def gone(data, wait):
            raise OSError("gone")

        wire.put = gone
        control.stop()

    assert not send(job, Wire(len(job.data) // 2, deaf), control=control).lifted


def test_the_whole_job_relies_on_nothing_before_it(job, states):
    """Begun on a machine that another job left in the worst of states."""
    assert len(worked(states[len(job.data)])) > 20
    needed = {"hpgl": [b"IN;"], "gcode": [b"G21\n", b"G90\n", b"M5 S0\n"]}[language(job)]
    for said in needed:
        assert said in job.data
        machine = MACHINES[language(job)]()
        try:
            machine.take(job.data.replace(said, b"", 1)).check_ended()
        except Unsafe:
            continue
        assert worked(machine) != worked(states[len(job.data)]), f"{said} is not needed?"


def test_the_interpreter_knows_a_beam_left_on():
    started = LaserMachine().take(b"G21\nG90\nM5 S0\nG0 X1 Y1 S0\nM4 S0\nG1 X2 Y1 F600 S300\n")
    with pytest.raises(Unsafe, match="left on"):
        started.check_safe()
    with pytest.raises(Unsafe, match="nothing moves"):
        started.fork().take(b"F300\n")
    with pytest.raises(Unsafe, match="armed in travel"):
        started.fork().take(b"G0 X9 Y9 S0\n")
    started.take(b"M5 S0\n").check_safe()
