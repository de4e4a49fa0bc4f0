"""Lines to a cutter: serial, TCP, or a file. Each takes what it can and says how much.

Every line has `put(data, wait)`: hand over some bytes within a time, return how many were taken.
None were lost and none are taken twice: what was not taken is offered again. It listens while it
does so: a machine that holds us up is obeyed, and one that is gone is noticed.
"""

import contextlib
import os
import select
import socket
import sys
import time
from dataclasses import field
from typing import Any, ClassVar, Literal, Protocol

from cutfiles.dataclass import dataclass
from cutfiles.disk.files import check_new, write_new
from cutfiles.errors import LineError, reason
from cutfiles.line.flow import Flow

Taker = Literal["network", "port", "file"]
_NEW = "what is sent goes to a new file, or over another where that is asked"
CHUNK = 64
"""Bytes handed over at a time: a small cutter's buffer is soon full."""
WINDOW = 512
"""Bytes under way at most: what nobody can call back any more."""
_BUFFER = 16384
_BUFFER_UNSEEN = 2048  # where the system does not tell its queue, this is what may be under way
_CALL = 10.0
_XON, _XOFF = b"\x11", b"\x13"


class Line(Protocol):
    """What all lines do.

    Attributes:
        taker: who says that bytes were taken: the other end's network, this computer's port, or
            the file. None of them knows what a machine did.
        window: bytes that may be under way.

    """

    @property
    def taker(self) -> Taker:
        """Who says that bytes were taken."""

    @property
    def window(self) -> int:
        """Bytes that may be under way."""

    def put(self, data: bytes, wait: float) -> int:
        """Hand over bytes; return how many were taken within the time, s."""

    def under_way(self) -> int | None:
        """Listen, and return how many bytes the taker has not acknowledged; None if not told."""

    def ended(self, wait: float) -> bool:
        """Say once that no more comes; return whether the other end let go within the time, s."""

    def close(self, hurry: bool = False) -> None:
        """Let go of the line; in a hurry, of what it holds as well."""


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
    if kind == "serial" and rest:
        return _serial(rest, flow, baud)
    if kind == "tcp" and ":" in rest:
        host, _, port = rest.rpartition(":")
        return _tcp(host.removeprefix("[").removesuffix("]"), port)
    if kind == "file" and rest:
        check_new(rest, _NEW, replace=replace)
        return FileLine(rest, replace)
    raise LineError(
        f'"{to}"', "serial:PORT, tcp:HOST:PORT or file:PATH", "write it so, as in serial:/dev/ttyS0"
    )


@dataclass(slots=True)
class SerialLine:
    """A serial port; the flow control keeps a slow cutter from losing anything.

    What left the port is counted by the driver's queue, and by the speed of the line where that
    is less sure: no line is faster than it is, whatever a driver takes at once.

    Attributes:
        port: pyserial's.
        window: a quarter of a second's bytes, so that a stop arrives while it matters.

    """

    taker: ClassVar[Taker] = "port"
    port: Any
    window: int = WINDOW
    _rate: float = field(init=False)
    _owed: float = 0.0
    _since: float = field(default_factory=time.monotonic)
    _held: bool = False

    def __post_init__(self) -> None:
        """Count how many bytes go down the line in a second: each is ten bits in 8N1."""
        self._rate = self.port.baudrate / 10
        self.window = max(16, min(WINDOW, int(self._rate / 4)))

    def put(self, data: bytes, wait: float) -> int:
        """Hand over bytes; return how many were taken within the time."""
        self._listen()
        if self._held:
            time.sleep(wait)
            return 0
        count = self._write(data, wait)
        self._owed = self._still_owed() + count
        return count

    def _write(self, data: bytes, wait: float) -> int:
        if os.name != "posix":
            self.port.write_timeout = None  # a timeout would not tell how much was taken
            return int(self.port.write(data[:1]))
        _, ready, _ = select.select([], [self.port.fileno()], [], wait)
        if not ready:
            return 0
        try:
            return os.write(self.port.fileno(), data)
        except BlockingIOError:
            return 0

    def under_way(self) -> int:
        """Listen, and return how many bytes have not left the port."""
        self._listen()
        self._owed = self._still_owed()
        return max(int(self._owed), int(self.port.out_waiting))

    def _still_owed(self) -> float:
        now = time.monotonic()
        passed, self._since = now - self._since, now
        return max(0.0, self._owed - passed * self._rate)

    def _listen(self) -> None:
        """Read what the machine says: XOFF holds us, XON lets us go on, all else is dropped."""
        said = self._read()
        last = max(said.rfind(_XON), said.rfind(_XOFF))
        if last >= 0:
            self._held = said[last : last + 1] == _XOFF

    def _read(self) -> bytes:
        if os.name != "posix":
            return bytes(self.port.read(self.port.in_waiting))
        ready, _, _ = select.select([self.port.fileno()], [], [], 0)
        if not ready:
            return b""
        said = os.read(self.port.fileno(), 4096)
        if not said:
            raise ConnectionError("the other end hung up")
        return said

    def ended(self, wait: float) -> bool:
        """Return whether all has left the port: a serial line has no other end."""
        return not self.under_way()

    def close(self, hurry: bool = False) -> None:
        """Let go of the port; in a hurry, throw away what it still holds."""
        try:
            if hurry:
                self.port.reset_output_buffer()
        except _port_faults():
            pass  # a port that is gone holds nothing
        finally:
            self.port.close()


@dataclass(slots=True)
class TcpLine:
    """A network connection; what its other end acknowledged is asked of the system."""

    taker: ClassVar[Taker] = "network"
    socket: socket.socket
    window: int = WINDOW
    _over: bool = False
    _gone: bool = False

    def __post_init__(self) -> None:
        """Let the system hold few bytes, and send each at once."""
        told = _unacknowledged(self.socket) is not None
        self.socket.setsockopt(
            socket.SOL_SOCKET, socket.SO_SNDBUF, _BUFFER if told else _BUFFER_UNSEEN
        )
        self.socket.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        self.socket.setblocking(False)

    def put(self, data: bytes, wait: float) -> int:
        """Hand over bytes; return how many were taken within the time."""
        self._listen()
        _, ready, _ = select.select([], [self.socket], [], wait)
        if not ready:
            return 0
        try:
            return self.socket.send(data)
        except BlockingIOError:
            return 0

    def under_way(self) -> int | None:
        """Listen, and return how many bytes the other end's network has not acknowledged."""
        self._listen()
        return _unacknowledged(self.socket)

    def _listen(self) -> bool:
        """Read and drop what the other end says; return whether it let go after our end."""
        while True:
            try:
                said = self.socket.recv(4096)
            except BlockingIOError:
                return False
            if not said:
                if self._over or self._gone:
                    return True
                self._gone = True  # told once: it may still take what lifts the tool
                raise ConnectionError("the other end closed it")

    def ended(self, wait: float) -> bool:
        """Say once that no more comes; return whether the other end closed within the time."""
        if not self._over:
            self.socket.shutdown(socket.SHUT_WR)
            self._over = True
        select.select([self.socket], [], [], wait)
        return self._listen()

    def close(self, hurry: bool = False) -> None:
        """End the connection in order: what was taken is still delivered."""
        with contextlib.suppress(OSError):
            self.socket.shutdown(socket.SHUT_WR)
        self.socket.close()


@dataclass(slots=True)
class FileLine:
    """A file, as a machine with a memory card reads it; it is written when it is whole."""

    taker: ClassVar[Taker] = "file"
    path: str
    replace: bool = False
    window: int = WINDOW
    held: bytearray = field(default_factory=bytearray)
    _whole: bool = False

    def put(self, data: bytes, wait: float) -> int:
        """Take all bytes."""
        self.held += data
        return len(data)

    def under_way(self) -> int:
        """Return nothing: it took all."""
        return 0

    def ended(self, wait: float) -> bool:
        """Return that it is whole."""
        self._whole = True
        return True

    def close(self, hurry: bool = False) -> None:
        """Write the file, unless it was broken off."""
        if self._whole:
            write_new(self.path, bytes(self.held), _NEW, replace=self.replace)


def _unacknowledged(one: socket.socket) -> int | None:
    """Return how many bytes a connection has sent or will send without an answer yet."""
    if not sys.platform.startswith("linux"):
        return None
    import fcntl
    import termios

    queued = fcntl.ioctl(one.fileno(), termios.TIOCOUTQ, b"\0\0\0\0")  # SIOCOUTQ, of one value
    return int.from_bytes(queued, sys.byteorder)


# -- opening --------------------------------------------------------------------------------------


def _tcp(host: str, port: str) -> TcpLine:
    to = f"tcp:{host}:{port}"
    if not (port.isascii() and port.isdigit() and 0 < int(port[:6]) < 65536):
        raise _refused(f'{to}: the port "{port}"', "a port is a number from 1 to 65535")
    if not host:
        raise _refused(f"{to}: no name before the port", "tcp:HOST:PORT names the machine")
    try:
        return TcpLine(socket.create_connection((host, int(port)), timeout=_CALL))
    except socket.gaierror:
        raise _refused(
            f'{to}: no machine "{host}" in this network', "its name or address"
        ) from None
    except UnicodeError:
        raise _refused(f'{to}: "{host}", no name a network knows', "its name or address") from None
    except TimeoutError:
        raise _refused(f"{to}: no answer within {_CALL:g} s", "a machine that answers") from None
    except OSError as error:
        raise _refused(f"{to}: {reason(error)}", "a machine that takes the call") from None


def _serial(port: str, flow: Flow, baud: int) -> SerialLine:
    try:
        import serial
        from serial.tools.list_ports import comports
    except ImportError:
        raise LineError(
            "no pyserial", "a serial line needs it", "install it: pip install 'cutfiles[serial]'"
        ) from None
    if not 0 < baud < 2**31:
        raise _refused(f"serial:{port}: {baud} bits a second", "a speed above 0, as in 9600")
    try:
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
    except _port_faults() as error:
        known = ", ".join(sorted(one.device for one in comports())) or "none"
        raise _refused(
            f"serial:{port}: {_why(error)}", f"a serial port of this computer (it has: {known})"
        ) from None


def _port_faults() -> tuple[type[Exception], ...]:
    """Return what a port that is none, no more, or not of this speed raises."""
    if os.name != "posix":
        return (OSError, ValueError)
    import termios

    return (OSError, ValueError, termios.error)


def _why(error: Exception) -> str:
    """Return why a port cannot be opened, without the system's own riddles."""
    number = getattr(error, "errno", None)
    return os.strerror(number).lower() if number else "no serial port, or not at this speed"


def _refused(found: str, needed: str) -> LineError:
    return LineError(found, needed, "check the cable, the name and the port")
