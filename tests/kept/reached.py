"""Machines in a network and files for their memory cards, and what cannot be reached."""

import socket
import sys
from types import SimpleNamespace
from unittest.mock import patch

from kept import Group
from kept.ports import tried
from kept.profiles import said_as


class Socket:
    """A connection whose far end is ours, and tells what is done with it."""

    def __init__(self):
        self.near, self.far = socket.socketpair()
        self.fileno, self.said, self.full = self.near.fileno, [], False

    def setsockopt(self, *option):
        """Note what is set."""
        self.said.append(option[2])

    def setblocking(self, blocking):
        """Set and note it."""
        self.said.append(blocking)
        self.near.setblocking(blocking)

    def recv(self, size):
        """Return what the far end said."""
        return self.near.recv(size)

    def send(self, data):
        """Take bytes, unless it is full after all."""
        if self.full:
            raise BlockingIOError
        return self.near.send(data)

    def shutdown(self, way):
        """End, and note it."""
        self.said.append(f"shut {way - socket.SHUT_WR}")
        self.near.shutdown(way)

    def close(self):
        """Let go."""
        self.said.append("closed")
        self.near.close()


def network(left):
    """Return a line that tells what goes through a connection of which the system tells so much."""

    def call(_):
        from cutfiles.line import lines

        said = []
        with patch.object(lines, "_unacknowledged", lambda _: left):
            for goes in ("never", "early", "late", "twice"):
                one = Socket()
                line = lines.TcpLine(one)
                said.append(f"{goes}: {one.said} {line.taker} {line.window}")
                one.far.sendall(b"ready" * 2000)
                said.append(f"{line.put(b'abc', 0)} {line.under_way()}")
                one.full = True
                said.append(str(line.put(b"abc", 0)))
                one.full = False
                if goes in ("early", "twice"):
                    one.far.shutdown(socket.SHUT_WR)
                tries = 2 if goes == "twice" else 1
                said += [str(tried(lambda line=line: line.put(b"def", 0))) for _ in range(tries)]
                for _ in range(2):
                    said.append(str(tried(lambda line=line: line.ended(0))))
                    if goes == "late":
                        one.far.close()
                said.append(f"{one.far.recv(99) if goes != 'late' else ''} {one.said}")
                line.close()
                said.append(str(one.said))
                one.near.close()
                one.far.close()
        return "\n".join(said)

    return said_as(f"network that tells {left}", call)


def loopback(_):
    """Tell what the system says of a connection to this machine that carries nothing yet."""
    from cutfiles.line.lines import open_line

    with socket.create_server(("127.0.0.1", 0)) as server:
        line = open_line(f"tcp:127.0.0.1:{server.getsockname()[1]}")
        far, _ = server.accept()
        said = [line.taker, line.under_way(), line.ended(0)]
        far.close()
        line.close()
        return str(said)


def card(folder):
    """Tell what goes to a file, whole and broken off."""
    from cutfiles.line.lines import open_line

    said = []
    for name in ("broken", "whole"):
        line = open_line(f"file:{folder / name}")
        said.append((line.taker, line.window, line.put(b"abc", 0), line.put(b"de", 0)))
        said.append((line.under_way(), name == "broken" or line.ended(0)))
        line.close()
        path = folder / name
        said.append(path.read_bytes() if path.exists() else "no file")
    return str(said)


def refused(_):
    """Tell why a machine or a port cannot be reached."""
    import termios

    from cutfiles.errors import LineError
    from cutfiles.line.lines import open_line

    ports = [SimpleNamespace(device=name) for name in ("/dev/b", "/dev/a")]
    errors = [
        socket.gaierror(1),
        UnicodeError(),
        TimeoutError(),
        OSError(111, "Refused"),
        OSError(),
    ]
    errors += [ValueError("no"), termios.error(22, "no")]
    cases = [(error, to, 9600) for error in errors[:5] for to in ("tcp:[::1]:9100", "tcp:h:65535")]
    cases += [(error, "serial:/dev/x", 9600) for error in errors[3:]]
    cases += [(errors[3], "serial:/dev/x", baud) for baud in (0, 1, -1, 2**31 - 1, 2**31)]
    said = []
    for error, to, baud in cases:
        with (
            patch("socket.create_connection", side_effect=error) as called,
            patch("serial.Serial", side_effect=error) as opened,
            patch("serial.tools.list_ports.comports", return_value=ports[: 2 * (baud == 9600)]),
        ):
            try:
                open_line(to, ("rtscts", "xonxoff", "none")[baud % 3], baud)
            except LineError as refusal:
                said.append(f"{refusal} {called.call_args} {opened.call_args}")
    with patch.dict(sys.modules, {"serial": None}):
        try:
            open_line("serial:/dev/x")
        except LineError as refusal:
            said.append(str(refusal))
    return "\n".join(said)


def groups():
    """Yield the groups."""
    yield Group("reached", [network(7), network(None), loopback, card, refused])
