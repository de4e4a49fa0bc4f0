"""Sending: over a pty pair and a loopback socket, to slow, stalling and vanishing receivers."""

import hashlib
import json
import os
import signal
import socket
import subprocess
import sys
import threading
import time
from dataclasses import replace
from inspect import signature

import pytest
from click.testing import CliRunner
from conftest import ROOT, SAMPLES

from cutfiles.cli import cli
from cutfiles.cli.send import command as sending
from cutfiles.errors import FileError, FormatError, LineError
from cutfiles.files.formats import FORMATS
from cutfiles.line.check import check_job
from cutfiles.line.lines import open_line
from cutfiles.line.send import Control, begun, blocks, send
from cutfiles.machine.profile.read import find_cutter

FAST = 921600
"""A serial speed at which tests need not wait: bytes go down a line no faster than it is."""
pytestmark = pytest.mark.skipif(os.name != "posix", reason="pty pairs")
ROLL = "wide-roll-knife"


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    folder = tmp_path_factory.mktemp("made")
    done = run("make", SAMPLES / "B2.toml", "--cutter", ROLL, "--to", folder)
    assert done.exit_code == 0, done.output
    return folder


@pytest.fixture
def copy(made, tmp_path):
    for file in made.iterdir():
        (tmp_path / file.name).write_bytes(file.read_bytes())
    return tmp_path


def run(*args):
    return CliRunner().invoke(cli, [str(a) for a in args])


def job_of(folder):
    return check_job(folder / "B2.face-a.hpgl", find_cutter(ROLL))


class Pty:
    """A cutter at the far end of a pty pair."""

    def __init__(self, pause=0.0, most=4096, stop_after=None, hold_after=None):
        import tty

        self.master, slave = os.openpty()
        tty.setraw(slave)
        self.name = os.ttyname(slave)
        self.slave, self.got = slave, bytearray()
        self.pause, self.most, self.stop_after = pause, most, stop_after
        self.hold_after, self.go = hold_after, threading.Event()
        self.thread = threading.Thread(target=self.read, daemon=True)
        self.thread.start()

    def read(self):
        while self.stop_after is None or len(self.got) < self.stop_after:
            try:
                data = os.read(self.master, self.most)
            except OSError:
                return
            if not data:
                return
            self.got += data
            if self.hold_after is not None and len(self.got) >= self.hold_after:
                self.go.wait(60)
            time.sleep(self.pause)

    def wait_for(self, size):
        until = time.monotonic() + 20
        while len(self.got) < size and time.monotonic() < until:
            time.sleep(0.01)
        return bytes(self.got)


@pytest.mark.parametrize("flow", ["rtscts", "xonxoff", "none"])
@pytest.mark.parametrize(("pause", "most"), [(0.0, 4096), (0.001, 37)])
def test_a_slow_cutter_gets_every_byte(made, flow, pause, most):
    job, far = job_of(made), Pty(pause, most)
    seen = []
    sent = send(
        job, open_line(f"serial:{far.name}", flow, FAST), progress=lambda a, _: seen.append(a)
    )
    assert not sent.stopped
    assert far.wait_for(len(job.data)) == job.data
    assert seen == sorted(seen)
    assert seen[-1] == len(job.data)


def test_xoff_holds_and_xon_goes_on(made):
    job, far = job_of(made), Pty(0.002, 64)
    os.write(far.master, b"\x13")  # XOFF: hold
    line = open_line(f"serial:{far.name}", "xonxoff", FAST)
    time.sleep(0.1)
    done = threading.Thread(target=send, args=(job, line), daemon=True)
    os.write(far.master, b"\x13")
    time.sleep(0.2)
    done.start()
    time.sleep(0.5)
    held = len(far.got)
    assert held < len(job.data)
    os.write(far.master, b"\x11")  # XON: go on
    assert far.wait_for(len(job.data)) == job.data


def test_a_stalling_cutter_does_not_hang_us(made):
    job, far = job_of(made), Pty(stop_after=300)
    big = replace(job, data=job.data * 20)
    start = time.monotonic()
    with pytest.raises(
        LineError, match=r"took nothing for 0\.5 s after \d+ of \d+ bytes.*own stop"
    ):
        send(big, open_line(f"serial:{far.name}", baud=FAST), stall=0.5)
    assert time.monotonic() - start < 10


def test_a_vanishing_cutter_is_told(made):
    server = socket.create_server(("127.0.0.1", 0))
    port = server.getsockname()[1]

    def vanish():
        far, _ = server.accept()
        far.recv(100)
        far.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, b"\1\0\0\0\0\0\0\0")
        far.close()

    threading.Thread(target=vanish, daemon=True).start()
    job = job_of(made)
    big = replace(job, data=job.data * 200)
    with pytest.raises(LineError, match=r"a line that broke .*lift the tool there"):
        send(big, open_line(f"tcp:127.0.0.1:{port}"), stall=5)
    server.close()


@pytest.mark.parametrize("pause", [0.0, 0.001])
def test_tcp_gets_every_byte(made, pause):
    server = socket.create_server(("127.0.0.1", 0))
    port, got = server.getsockname()[1], bytearray()

    def take():
        far, _ = server.accept()
        while data := far.recv(97):
            got.extend(data)
            time.sleep(pause)
        far.close()

    far = threading.Thread(target=take)
    far.start()
    job = job_of(made)
    send(job, open_line(f"tcp:127.0.0.1:{port}"))
    far.join(20)
    server.close()
    assert bytes(got) == job.data


class Taking:
    """What a line does that takes all at once."""

    taker, window = "file", 512

    def under_way(self):
        return 0

    def ended(self, wait):
        return True


class Slowly(Taking):
    """A line that remembers what it took, and calls back."""

    def __init__(self, then=lambda line: None):
        self.got, self.then, self.closed = bytearray(), then, False

    def put(self, data, wait):
        self.got += data[:7]
        self.then(self)
        return len(data[:7])

    def close(self, hurry=False):
        self.closed = True


def test_a_stop_is_heard_between_few_bytes(made):
    """What is handed over at once is a small part of what may be under way."""
    offered = []

    class Noting(Slowly):
        def put(self, data, wait):
            offered.append(len(data))
            return super().put(data, wait)

    send(job_of(made), Noting())
    assert max(offered) * 8 <= Taking.window


def test_stop_ends_the_place_begun_and_lifts(made):
    job = job_of(made)
    for at in range(20, 900, 31):
        control = Control()
        line = Slowly(lambda line, at=at, control=control: len(line.got) >= at and control.stop())
        sent = send(job, line, control=control)
        assert sent.stopped
        assert sent.lifted
        assert line.closed
        assert line.got.endswith(FORMATS["hpgl"].wire.lift)
        body = bytes(line.got).removesuffix(FORMATS["hpgl"].wire.lift)
        assert job.data.startswith(body)
        # no place is cut short: the next byte of the job does not go on with a number
        assert body[-1:] in (b"\n", b";", b"") or job.data[len(body) : len(body) + 1] in b",;\n"
        commands = [c for c in bytes(line.got).decode().replace("\n", "").split(";") if c]
        assert commands[-2:] == ["PU", "SP0"]
        for command in commands:
            if command.startswith("PD"):
                assert command.count(",") % 2 == 1


def test_begun():
    class Fake:
        wire = FORMATS["hpgl"].wire
        data = b"PU1,2;\nPD1000,2000,30,40;\n"

    assert begun(Fake, 7) == b""
    assert begun(Fake, 11) == b"00,2000"
    assert begun(Fake, 18) == b""
    assert begun(Fake, 20) == b"0,40"
    assert begun(Fake, 3) == b",2;"


def test_pause_takes_effect_with_the_tool_up(made):
    job, control = job_of(made), Control()
    line = Slowly(lambda line: len(line.got) == 301 and control.pause())
    far = threading.Thread(target=send, args=(job, line), kwargs={"control": control})
    line.then = lambda line: 300 < len(line.got) < 310 and control.pause()
    far.start()
    time.sleep(0.4)
    held = bytes(line.got)
    assert 300 < len(held) < len(job.data)
    assert job.data[len(held) :].startswith(b"PU")
    time.sleep(0.2)
    assert bytes(line.got) == held
    control.resume()
    far.join(20)
    assert bytes(line.got) == job.data


def test_blocks_begin_with_the_tool_up(made):
    job = job_of(made)
    pieces = list(blocks(job))
    assert b"".join(pieces) == job.data
    assert all(piece.startswith(b"PU") for piece in pieces[1:])


def larger(file, record, size):
    """Let a job go over its lines again and again; its record says that this is what was made."""
    data = file.read_bytes()
    head, sep, rest = data.partition(b"SP")
    body, end = (sep + rest).removesuffix(b"PU;\nSP0;\n"), b"PU;\nSP0;\n"
    data = head + body * (size // len(body) + 1) + end
    file.write_bytes(data)
    values = json.loads(record.read_text(encoding="utf-8"))
    for entry in values["files"]:
        if entry["path"] == file.name:
            entry["sha256"] = hashlib.sha256(data).hexdigest()
    record.write_text(json.dumps(values), encoding="utf-8")
    return data


@pytest.mark.parametrize("sign", ["SIGINT", "SIGHUP"])
def test_interrupt_lifts_the_tool(tmp_path, sign):
    """Ctrl-C, or the terminal closed, its cutter's buffer full: the last that comes is the lift."""
    made = run("make", SAMPLES / "A1.toml", "--cutter", ROLL, "--to", tmp_path)
    assert made.exit_code == 0, made.output
    file = tmp_path / "A1.face-a.hpgl"
    whole = larger(file, tmp_path / "A1.json", 200_000)  # more than the line itself can hold
    far = Pty(0.0, 4096, hold_after=300)
    code = "from cutfiles.cli import main; main()"
    args = ["send", str(file), "--to", f"serial:{far.name}"]
    process = subprocess.Popen(
        [sys.executable, "-c", code, *args, "--cutter", ROLL, "--flow", "none", "--baud", "921600"],
        cwd=ROOT,
        stderr=subprocess.PIPE,
        text=True,
        stdin=subprocess.DEVNULL,
    )
    assert "free hand" in process.stderr.readline()  # shown before the line is opened
    far.wait_for(300)  # from here on it reads nothing until it is let go: the line is full
    assert len(far.got) >= 300
    process.send_signal(getattr(signal, sign))
    far.go.set()
    _, said = process.communicate(timeout=60)
    assert process.returncode == 1, said
    assert "stopped after" in said
    assert "the tool was told to lift" in said
    until = time.monotonic() + 20
    while not far.got.endswith(b"SP0;\n") and time.monotonic() < until:
        time.sleep(0.05)
    assert far.got.endswith(b";PU;SP0;\n")
    assert whole.startswith(bytes(far.got[:-10]))
    assert len(far.got) < len(whole)


def test_file_line_and_dry_run(copy, tmp_path):
    to = tmp_path / "card.plt"
    args = ("send", copy / "B2.face-a.hpgl", "--to", f"file:{to}", "--cutter", ROLL)
    dry = run(*args, "--dry-run")
    assert dry.exit_code == 0
    assert "nothing was sent" in dry.output
    assert "IN;" in dry.output
    assert not to.exists()
    done = run(*args)
    assert done.exit_code == 0, done.output
    assert "free hand out of its path" in done.output
    assert to.read_bytes() == (copy / "B2.face-a.hpgl").read_bytes()
    to.write_bytes(b"of the card")
    again = run(*args)
    assert again.exit_code == 1
    assert "card.plt: found a file that exists" in again.output
    assert to.read_bytes() == b"of the card"
    assert run(*args, "--replace").exit_code == 0
    assert to.read_bytes() == (copy / "B2.face-a.hpgl").read_bytes()
    folder = run("send", copy / "B2.face-a.hpgl", "--to", f"file:{tmp_path}", "--cutter", ROLL)
    assert folder.exit_code == 1
    assert "refused" in folder.output
    assert "found a folder" in folder.output


def test_stale_files_are_refused(copy):
    file, roll = copy / "B2.face-a.hpgl", find_cutter(ROLL)
    data = file.read_bytes()
    file.write_bytes(data.replace(b"PD", b"PD ", 1))
    with pytest.raises(FileError, match="changed since it was made"):
        check_job(file, roll)
    file.write_bytes(data)
    record = copy / "B2.json"
    values = json.loads(record.read_text(encoding="utf-8"))
    kept = record.read_text(encoding="utf-8")
    for entry in values["files"]:
        entry["verified"] = None
    record.write_text(json.dumps(values), encoding="utf-8")
    with pytest.raises(FileError, match="never compared"):
        check_job(file, roll)
    values = json.loads(kept)
    values["plan"]["profile_sha256"] = "0"
    record.write_text(json.dumps(values), encoding="utf-8")
    with pytest.raises(FileError, match="profile was changed since"):
        check_job(file, roll)
    record.write_text(kept, encoding="utf-8")
    assert check_job(file, roll).wire is FORMATS["hpgl"].wire
    with pytest.raises(FileError, match=f"made for {chr(34)}wide roll knife{chr(34)}, not for"):
        check_job(file, find_cutter("laser"))
    with pytest.raises(FileError, match="the format svg"):
        check_job(copy / "B2.svg", roll)
    record.unlink()
    with pytest.raises(FileError, match="without a record"):
        check_job(file, roll)
    with pytest.raises(FileError, match="no such file"):
        check_job(copy / "none.hpgl", roll)


def test_what_does_not_fit_the_bed_is_refused(made):
    from dataclasses import replace

    roll = find_cutter(ROLL)
    narrow = replace(roll, bed=replace(roll.bed, width=200.0))
    with pytest.raises(FormatError, match=r"y from .* the tool reaches 0\.0 to 180\.0 mm"):
        check_job(made / "B2.face-a.hpgl", narrow)


@pytest.mark.parametrize(
    ("call", "name"), [(open_line, "flow"), (open_line, "baud"), (send, "stall")]
)
def test_who_names_no_setting_sends_in_python_as_at_the_terminal(call, name):
    (shown,) = (one.default for one in sending.params if one.name == name)
    assert signature(call).parameters[name].default == shown


def test_a_file_is_written_over_only_where_that_is_asked(tmp_path):
    file = tmp_path / "card.plt"
    file.write_bytes(b"kept")
    with pytest.raises(FileError, match="another where that is asked"):
        open_line(f"file:{file}")
    open_line(f"file:{file}", replace=True).close(hurry=True)
    assert file.read_bytes() == b"kept"


def test_lines_that_cannot_be_opened(tmp_path):
    ways = ("usb:1", "serial:/dev/none", "tcp:127.0.0.1:1", "tcp:x", "file:/none/x")
    for to in (*ways, f"file:{tmp_path}"):
        with pytest.raises((LineError, FileError)):
            open_line(to)
