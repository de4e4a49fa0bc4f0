"""Sending to cutters with ways of their own: what is said of it is what they got."""

import os
import random
import subprocess
import sys
import threading
import time
from types import SimpleNamespace

import pytest
from bench.sending import BREAKING, SERIAL, TCP, WAYS, job_in, trial
from click.testing import CliRunner
from conftest import ROOT
from line.peers import SerialPeer, TcpPeer

from cutfiles.cli import cli
from cutfiles.errors import LineError
from cutfiles.line import lines
from cutfiles.line.lines import FileLine, SerialLine, open_line
from cutfiles.line.send import Control, send

pytestmark = pytest.mark.skipif(os.name != "posix", reason="pty pairs")
ROLL = "wide-roll-knife"
LINUX = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="asks the queue")


@pytest.fixture(scope="module")
def job(tmp_path_factory):
    return job_in(tmp_path_factory.mktemp("job"))


@pytest.fixture(scope="module")
def made(job, tmp_path_factory):
    """The folder that holds the job and its record."""
    folder = tmp_path_factory.mktemp("made")
    job_in(folder)
    return folder / "out"


def sent_to(made, to, *options, name="S1.face-a.hpgl"):
    args = ["send", made / name, "--cutter", ROLL, "--to", to, "--baud", 921600, *options]
    return CliRunner().invoke(cli, [str(one) for one in args])


@pytest.mark.parametrize("kind", WAYS, ids=lambda kind: f"{kind[0].__name__} {kind[1]}")
def test_random_stops(job, kind):
    """20 of the 2,000 that tests/bench/sending.py tries, and all kinds of peer."""
    dice = random.Random(str(kind[1]))
    for _ in range(2):
        assert trial(job, dice, kind).faults == []


def test_all_ways_are_tried():
    assert len(WAYS) == len(TCP) + len(SERIAL) == 13


# -- what is said ---------------------------------------------------------------------------------


@LINUX
@pytest.mark.parametrize("way", ["ready", "slow", "greeting"])
def test_what_a_network_acknowledged_is_named_so(made, job, way):
    far = TcpPeer(way, pause=0.0002)
    done = sent_to(made, far.to)
    assert done.exit_code == 0, done.output
    size = len(job.data)
    assert f"the other end's network acknowledged {size} of {size} bytes" in done.stdout
    assert "it closed the line after the last" in done.stdout
    assert "what the machine did only the machine shows" in done.stdout
    assert far.work_off() == job.data
    far.end()


@pytest.mark.parametrize("way", BREAKING)
def test_a_peer_that_goes_is_never_told_as_sent(made, job, way):
    far = TcpPeer(way, most=500)
    done = sent_to(made, far.to)
    assert done.exit_code == 1
    assert f"of {len(job.data)} bytes" in done.output
    assert "lift the tool there" in done.output
    assert far.work_off() == job.data[:500]
    far.end()


def test_a_peer_that_does_not_let_go_is_told(made, job):
    far = TcpPeer("open")
    done = sent_to(made, far.to, "--stall", 0.3)
    assert done.exit_code == 0
    assert "IT DID NOT CLOSE THE LINE" in done.stdout
    assert far.work_off() == job.data
    far.end()


def test_a_port_says_only_what_left_it(made, job):
    far = SerialPeer("ready")
    done = sent_to(made, far.to, "--flow", "none")
    assert f"{len(job.data)} bytes have left this computer's port" in done.stdout
    assert "see that it has ended" in done.stdout
    assert far.work_off() == job.data
    far.end()


class Stuck:
    """A port that takes all bytes and sends on none of them, as its driver tells."""

    baudrate = 9600

    def __init__(self):
        self.out_waiting, self.thrown = 0, False
        self.end, self.other = os.pipe()

    def fileno(self):
        return self.other

    def reset_output_buffer(self):
        self.thrown = True

    def close(self):
        os.close(self.end)


class StuckLine(SerialLine):
    def _read(self):
        return b""

    def _write(self, data, wait):
        self.port.out_waiting += len(data)
        return len(data)


def test_a_port_that_holds_all_back_is_no_sending(job):
    with pytest.raises(LineError, match=r"after \d+ of \d+ bytes, of which 0 were acknowledged"):
        send(job, StuckLine(Stuck()), stall=0.2)


class Hangs(Stuck):
    """A port that is pulled out with the last bytes still on their way; its driver says nothing."""

    baudrate = 921600

    def __init__(self, size):
        super().__init__()
        self.left = size

    def fileno(self):
        return self.end


class HangingLine(SerialLine):
    def _write(self, data, wait):
        self.port.left -= len(data)
        if not self.port.left:
            os.close(self.port.other)
        return len(data)


def test_a_port_that_is_pulled_out_at_the_end_is_no_sending(job):
    """All was handed over, and what the machine got of it nobody knows."""
    size = len(job.data)
    with pytest.raises(LineError, match=rf"hung up\) after {size} of {size} bytes"):
        send(job, HangingLine(Hangs(size)), stall=5)


# -- soon -----------------------------------------------------------------------------------------


@LINUX
def test_few_bytes_are_under_way(job):
    """A peer that reads nothing holds what its own buffer takes, and ours a window more."""
    far = TcpPeer("silent")
    line, control, most = open_line(far.to), Control(), []

    def watch(taken, _):
        most.append(line.under_way())

    big = SimpleNamespace(name=job.name, wire=job.wire, data=job.data * 30)
    with pytest.raises(LineError, match=r"took nothing for 0\.3 s"):
        send(big, line, control=control, stall=0.3, progress=watch)
    assert 0 < max(most) <= 600
    far.end()


def stopped_after(job, far, flow="none", baud=921600, wait=0.4):
    """Stop a sending from another thread; return how it ended and how long that took."""
    control, kept = Control(), []
    line = open_line(far.to, flow, baud)
    thread = threading.Thread(
        target=lambda: kept.append(send(job, line, control=control, stall=30)), daemon=True
    )
    thread.start()
    time.sleep(wait)
    start = time.monotonic()
    control.stop()
    thread.join(10)
    return kept[0], time.monotonic() - start


@LINUX
def test_a_stop_that_nobody_acknowledged_is_told(job):
    """The lift is handed over behind what a silent peer's network does not take."""
    far = TcpPeer("silent")
    big = SimpleNamespace(name=job.name, wire=job.wire, data=job.data * 30)
    sent, took = stopped_after(big, far, wait=0.8)
    assert sent.stopped
    assert not sent.lifted
    assert sent.acknowledged < sent.taken
    assert took < 1.5
    far.end()


@pytest.mark.parametrize("peer", [TcpPeer, SerialPeer])
def test_a_stop_acts_within_a_second(job, peer):
    far = peer("slow", pause=0.05)
    big = SimpleNamespace(name=job.name, wire=job.wire, data=job.data * 30)
    sent, took = stopped_after(big, far)
    assert sent.stopped
    assert took < 1.5
    far.end()


def test_a_serial_line_is_no_faster_than_it_is(job):
    """A driver takes thousands of bytes at once; at 9600 no more than 960 leave in a second."""
    far = SerialPeer("ready")
    sent, _ = stopped_after(job, far, baud=9600, wait=0.5)
    assert sent.stopped
    assert sent.lifted
    assert 200 < sent.taken < 0.5 * 960 + 240 + 2 * lines.CHUNK + 200
    far.end()


def test_bytes_that_a_full_driver_did_not_take_are_offered_again(monkeypatch):
    """It said that it takes some, and is full by then: none of these were taken, nor counted."""
    far, asked = SerialPeer("ready"), []

    def full_at_first(end, data):
        asked.append(data)
        if len(asked) == 1:
            raise BlockingIOError
        return os.write(end, data)

    line = open_line(far.to, "none", 921600)
    monkeypatch.setattr(
        lines, "os", SimpleNamespace(name="posix", write=full_at_first, read=os.read)
    )
    assert [line.put(b"PU;", 1.0), line.put(b"PU;", 1.0)] == [0, 3]
    line.close(hurry=True)
    far.end()


@pytest.mark.parametrize("flow", ["none", "xonxoff"])
def test_xoff_is_obeyed_until_xon(job, flow):
    far = SerialPeer("ready")
    line, control, kept = open_line(far.to, flow, 921600), Control(), []
    os.write(far.master, b"\x13")
    time.sleep(0.05)
    thread = threading.Thread(
        target=lambda: kept.append(send(job, line, control=control, stall=30)), daemon=True
    )
    thread.start()
    time.sleep(0.4)
    assert bytes(far.got) == b""
    os.write(far.master, b"\x11")
    thread.join(20)
    assert kept[0].taken == len(job.data)
    assert far.work_off() == job.data
    far.end()


# -- refused before a line is opened --------------------------------------------------------------


def test_no_input_at_the_terminal_is_refused_before_the_line(made):
    far = SerialPeer("ready")
    code = "from cutfiles.cli import main; main()"
    args = ["send", str(made / "S1.face-a.hpgl"), "--cutter", ROLL, "--to", far.to]
    done = subprocess.run(
        ["sh", "-c", 'exec "$@" <&-', "sh", sys.executable, "-c", code, *args],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )
    assert done.returncode == 1
    assert "refused: S1.face-a.hpgl: found no input at this terminal" in done.stderr
    assert far.work_off() == b""
    far.end()


def test_passes_keep_their_order(made, tmp_path):
    to = f"file:{tmp_path / 'card.plt'}"
    later = sorted(one.name for one in made.glob("*.face-b.hpgl"))[0]
    refused = sent_to(made, to, name=later)
    assert refused.exit_code == 1
    assert "found a pass that comes after S1.face-a.hpgl" in refused.output
    assert "--earlier-done" in refused.output
    assert not (tmp_path / "card.plt").exists()
    assert sent_to(made, to, "--earlier-done", name=later).exit_code == 0


@pytest.mark.parametrize(
    ("to", "said"),
    [
        ("tcp:127.0.0.1:99999", 'the port "99999"'),
        ("tcp:127.0.0.1:no", 'the port "no"'),
        ("tcp:127.0.0.1:-1", 'the port "-1"'),
        ("tcp:127.0.0.1:\u0663", "a port is a number from 1 to 65535"),
        ("tcp::9100", "no name before the port"),
        (f"tcp:{'a' * 70}.b:9100", "its name or address"),
        ("tcp:127.0.0.1:1", "connection refused"),
        ("serial:/dev/none-such", "no such file or directory"),
        ("serial:/etc/passwd", "a serial port of this computer"),
    ],
)
def test_a_bad_port_is_refused_in_words(to, said):
    with pytest.raises(LineError, match="check the cable, the name and the port") as refused:
        open_line(to)
    assert said in str(refused.value)
    assert "Errno" not in str(refused.value)


def test_a_port_whose_driver_takes_no_setting_is_refused_in_words(monkeypatch):
    """Not told as a fault of the program: a driver's refusal is no `OSError` here."""
    import termios

    import serial

    def refuses(*given, **more):
        raise termios.error(22, "Invalid argument")

    monkeypatch.setattr(serial, "Serial", refuses)
    with pytest.raises(LineError, match="serial port, or not at this speed"):
        open_line("serial:/dev/none-such")


def test_a_bad_port_is_refused_in_words_where_there_is_no_termios(monkeypatch):
    import serial.tools.list_ports  # noqa: F401  # it asks the system's name as it is loaded

    monkeypatch.setattr(lines, "os", SimpleNamespace(name="nt", strerror=os.strerror))
    monkeypatch.setitem(sys.modules, "termios", None)
    with pytest.raises(LineError, match="no such file or directory"):
        open_line("serial:/dev/none-such")


@pytest.mark.parametrize("baud", [0, -9600, 2**40])
def test_a_speed_that_is_none_is_refused_in_words(baud):
    far = SerialPeer("ready")
    with pytest.raises(LineError, match="bits a second"):
        open_line(far.to, baud=baud)
    far.end()


def test_a_broken_off_file_is_not_written(job, tmp_path):
    """A card in a machine must not hold half a job."""
    line = FileLine(str(tmp_path / "card.plt"))
    control = Control()
    sent = send(job, line, control=control, progress=lambda taken, _: control.stop())
    assert sent.stopped
    assert not (tmp_path / "card.plt").exists()
