"""Lines to a cutter: serial, TCP, or a file. Each takes what it can and says how much.

Every line has `put(data, wait)`: hand over some bytes within a time, return how many were taken.
None were lost and none are taken twice: what was not taken is offered again.
"""

import contextlib
import os
import select
import socket
import time
from dataclasses import dataclass, field
from typing import Any, Literal, Protocol

from cutfiles.disk.files import check_new, write_new
from cutfiles.errors import LineError

Flow = Literal["rtscts", "xonxoff", "none"]
_NEW = "what is sent goes to a new file, or over another where that is asked"
CHUNK = 64
"""Bytes handed over at a time: a small cutter's buffer is soon full."""


class Line(Protocol):
    """What all lines do."""

    def put(self, data: bytes, wait: float) -> int:
        """Hand over bytes; return how many were taken within the time, s."""

    def close(self, hurry: bool = False) -> None:
        """Let go of the line, when all was taken on; at once, if in a hurry."""


def open_line(to: str, flow: Flow = "rtscts", baud: int = 9600, *, replace: bool = False) -> Line:
    """Return the line that ``serial:PORT``, ``tcp:HOST:PORT`` or ``file:PATH`` names.

    Args:
        to: the line.
        flow: serial, how the cutter holds us up.
        baud: serial, speed.
        replace: also replace a file that exists.

    Raises:
        LineError: it cannot be opened.
        FileError: the file exists, or its folder is none we can write to.

    """
    kind, _, rest = to.partition(":")
    try:
        if kind == "serial" and rest:
            return _serial(rest, flow, baud)
        if kind == "tcp" and ":" in rest:
            host, _, port = rest.rpartition(":")
            made = socket.create_connection((host, int(port)), timeout=10)
            made.setblocking(False)
            return TcpLine(made)
        if kind == "file" and rest:
            check_new(rest, _NEW, replace=replace)
            return FileLine(rest, replace)
    except (OSError, ValueError) as error:
        raise LineError(
            f"{to}: {error}", "a line that can be opened", "check the cable, the name and the port"
        ) from None
    raise LineError(
        f'"{to}"', "serial:PORT, tcp:HOST:PORT or file:PATH", "write it so, as in serial:/dev/ttyS0"
    )


@dataclass(slots=True)
class SerialLine:
    """A serial port; the flow control keeps a slow cutter from losing anything."""

    port: Any

    def put(self, data: bytes, wait: float) -> int:
        """Hand over bytes; return how many were taken within the time."""
        if os.name == "posix":
            _, ready, _ = select.select([], [self.port.fileno()], [], wait)
            if not ready:
                return 0
            try:
                return os.write(self.port.fileno(), data)
            except BlockingIOError:
                return 0
        self.port.write_timeout = None  # elsewhere a timeout would not tell how much was taken
        return int(self.port.write(data[:1]))

    def close(self, hurry: bool = False) -> None:
        """Wait until all was sent, unless in a hurry: closing a port may throw away the rest."""
        if os.name == "posix" and not hurry:
            until = time.monotonic() + 60
            while self.port.out_waiting and time.monotonic() < until:
                time.sleep(0.01)
        if hurry:
            self.port.reset_output_buffer()
        self.port.close()


@dataclass(slots=True)
class TcpLine:
    """A network connection."""

    socket: socket.socket

    def put(self, data: bytes, wait: float) -> int:
        """Hand over bytes; return how many were taken within the time."""
        _, ready, _ = select.select([], [self.socket], [], wait)
        if not ready:
            return 0
        try:
            return self.socket.send(data)
        except BlockingIOError:
            return 0

    def close(self, hurry: bool = False) -> None:
        """End the connection in order: what was taken is still delivered."""
        with contextlib.suppress(OSError):
            self.socket.shutdown(socket.SHUT_WR)
        self.socket.close()


@dataclass(slots=True)
class FileLine:
    """A file, as a machine with a memory card reads it; it is written when it is whole."""

    path: str
    replace: bool = False
    held: bytearray = field(default_factory=bytearray)

    def put(self, data: bytes, wait: float) -> int:
        """Take all bytes."""
        self.held += data
        return len(data)

    def close(self, hurry: bool = False) -> None:
        """Write the file, unless it was broken off."""
        if not hurry:
            write_new(self.path, bytes(self.held), _NEW, replace=self.replace)


def _serial(port: str, flow: Flow, baud: int) -> SerialLine:
    try:
        import serial
    except ImportError:
        raise LineError(
            "no pyserial", "a serial line needs it", "install it: pip install 'cutfiles[serial]'"
        ) from None
    return SerialLine(
        serial.Serial(
            port,
            baud,
            rtscts=flow == "rtscts",
            xonxoff=flow == "xonxoff",
            timeout=0,
            write_timeout=0,
        )
    )
