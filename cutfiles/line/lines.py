"""Lines to a cutter: serial, TCP, or a file. Each takes what it can and says how much.

Every line has `put(data, wait)`: hand over some bytes within a time, return how many were taken.
None were lost and none are taken twice: what was not taken is offered again.
"""

import contextlib
import os
import select
import socket
import time
from dataclasses import dataclass
from typing import IO, Any, Literal, Protocol

from cutfiles.errors import LineError

Flow = Literal["rtscts", "xonxoff", "none"]
CHUNK = 64
"""Bytes handed over at a time: a small cutter's buffer is soon full."""


class Line(Protocol):
    """What all lines do."""

    def put(self, data: bytes, wait: float) -> int:
        """Hand over bytes; return how many were taken within the time, s."""

    def close(self, hurry: bool = False) -> None:
        """Let go of the line, when all was taken on; at once, if in a hurry."""


def open_line(to: str, flow: Flow = "rtscts", baud: int = 9600) -> Line:
    """Return the line that ``serial:PORT``, ``tcp:HOST:PORT`` or ``file:PATH`` names.

    Raises:
        LineError: it cannot be opened.

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
            return FileLine(rest, open(f"{rest}.part", "wb"))
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
    """A file, as a machine with a memory card reads it; it gets its name when it is whole."""

    path: str
    file: IO[bytes]

    def put(self, data: bytes, wait: float) -> int:
        """Write bytes; all are taken."""
        return self.file.write(data)

    def close(self, hurry: bool = False) -> None:
        """Give the file its name, unless it was broken off."""
        self.file.close()
        if hurry:
            os.unlink(f"{self.path}.part")
        else:
            os.replace(f"{self.path}.part", self.path)


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
