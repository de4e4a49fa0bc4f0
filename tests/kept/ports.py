"""What goes through serial ports of every speed and system, and what holds it up."""

import socket
from types import SimpleNamespace
from unittest.mock import patch

from kept import Group
from kept.courses import Clock


class Port:
    """A port as the serial library gives it: its far end is ours."""

    def __init__(self, baudrate=9600):
        self.near, self.far = socket.socketpair()
        self.baudrate, self.out_waiting, self.said = baudrate, 0, []
        self.fileno = self.near.fileno

    in_waiting = 5

    def end(self):
        """Close both ends."""
        self.near.close()
        self.far.close()

    def write(self, data):
        """Take one byte, where the system has no files for ports."""
        self.said.append(f"{data!r} within {self.write_timeout}")
        return len(data)

    def reset_output_buffer(self):
        """Throw away what is held."""
        self.said.append("reset")
        if self.baudrate == 1200:
            raise OSError(5, "gone")

    def close(self):
        """Let go."""
        self.said.append("closed")
        self.near.close()


def tried(ask):
    """Return what is answered, or how it breaks."""
    try:
        return ask()
    except OSError as error:
        return f"{type(error).__name__} {error}"


def ports(_):
    """Tell what goes through serial ports of all speeds, and what holds it up."""
    from cutfiles.line import lines

    clock, told = Clock(), []
    with patch.object(lines, "time", clock):
        for baud in (50, 300, 1200, 9600, 921600):
            port = Port(baud)
            line = lines.SerialLine(port, _since=0.0)
            told.append(f"{baud}: {line.window} {line.taker} {line.put(b'x' * 64, 0.1)}")
            clock.now += 0.02
            told.append(f"{line.under_way()} {line.ended(0.1)}")
            told.append(f"{line.put(b'y' * 9, 0.1)} {line.under_way()}")
            for said in (b"a\x13b", b"c", b"\x11\x13", b"\x13\x11", b"\x11"):
                port.far.sendall(said)
                told.append(f"{said!r} {line.put(b'z', 0.1)} {line.under_way()} {clock.now:.3f}")
            clock.now += 2
            told.append(f"{line.under_way()} {line.ended(0.1)}")
            port.out_waiting = 300
            told.append(f"{line.under_way()} {line.ended(0.1)}")
            told.append(str(port.far.recv(4096)))
            line.close(hurry=baud < 9600)
            told.append(str(port.said))
            port.end()
    return "\n".join(told)


def hung_up(_):
    """Tell what comes of a port whose other end goes."""
    from cutfiles.line import lines

    port = Port()
    line = lines.SerialLine(port)
    port.far.close()
    asks = (line.under_way, lambda: line.ended(0), lambda: line.put(b"x", 0))
    said = [tried(ask) for ask in asks]
    port.end()
    return str(said)


def elsewhere(_):
    """Tell what goes through a port of a system that has no files for ports."""
    from cutfiles.line import lines

    port, clock = Port(), Clock()
    with patch.object(lines, "os", SimpleNamespace(name="nt")), patch.object(lines, "time", clock):
        line = lines.SerialLine(port, _since=0.0)
        port.read = lambda count: b"x" * count
        taken = [line.put(b"abc", 0.1), line.under_way()]
        port.read = lambda count: b"x" * (count - 1) + b"\x13"
        taken += [line.put(b"abc", 0.1), line.under_way(), clock.now, port.said]
        port.end()
        return str(taken)


def groups():
    """Yield the groups."""
    yield Group("ports", [ports, hung_up, elsewhere])
