"""Cutters at the far end of a line, each with a way of its own: over loopback and over ptys.

A peer reads in a thread. `got` is all that came, `read` what it took before it went its own way.
"""

import contextlib
import os
import random
import select
import socket
import struct
import threading
import time
import tty

TCP = ("ready", "slow", "greeting", "closing", "resetting", "silent", "open")
SERIAL = ("ready", "slow", "greeting", "closing", "silent", "xoff")
BREAKING = ("closing", "resetting")


class Peer:
    """What both kinds share: what came, and the way it comes.

    Args:
        way: one of the above. closing and resetting go after `most` bytes; silent reads nothing
            until it is let `go`; open reads all and never closes; xoff holds us up now and then.

    """

    def __init__(self, way, most=500, pause=0.002):
        self.way, self.most, self.pause = way, most, pause
        self.got, self.go = bytearray(), threading.Event()
        self.thread = threading.Thread(target=self._run, daemon=True)

    def _run(self):
        with contextlib.suppress(OSError):
            self.work()

    def work_off(self):
        """Let it go its way to the end, and wait for that."""
        self.go.set()
        self.thread.join(20)
        assert not self.thread.is_alive()
        return bytes(self.got)


class TcpPeer(Peer):
    """A network interface of a cutter."""

    def __init__(self, way, **kept):
        super().__init__(way, **kept)
        self.server = socket.create_server(("127.0.0.1", 0))
        if way in ("silent", "slow"):
            self.server.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 2048)
        self.to = f"tcp:127.0.0.1:{self.server.getsockname()[1]}"
        self.thread.start()

    def work(self):
        far, _ = self.server.accept()
        with far:
            if self.way == "greeting":
                far.sendall(b"ready; ink low\r\n" * 50)
            if self.way == "silent":
                self.go.wait(60)
            while self.way not in BREAKING or len(self.got) < self.most:
                size = 97
                if self.way in BREAKING:
                    size = min(size, self.most - len(self.got))
                data = far.recv(size)
                if not data:
                    break
                self.got += data
                if self.way in ("slow", "greeting"):
                    time.sleep(self.pause)
            if self.way == "resetting":
                far.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
            if self.way == "open":
                self.go.wait(60)

    def end(self):
        self.go.set()
        self.server.close()


class SerialPeer(Peer):
    """A cutter behind a serial port: the far end of a pty pair."""

    def __init__(self, way, **kept):
        super().__init__(way, **kept)
        self.master, slave = os.openpty()
        tty.setraw(slave)
        self.to, self.slave = f"serial:{os.ttyname(slave)}", slave
        self.over, self.dice = threading.Event(), random.Random(1)
        self.left = threading.Event()
        self.thread.start()

    def work(self):
        if self.way == "greeting":
            os.write(self.master, b"ready; ink low\r\n" * 50)
        if self.way == "silent":
            self.go.wait(60)
        while not self.left.is_set():
            ready, _, _ = select.select([self.master], [], [], 0.05)
            if not ready:
                if self.over.is_set():
                    return
                continue
            self.got += os.read(self.master, 64)
            if self.way == "slow":
                time.sleep(self.pause)
            if self.way == "closing" and len(self.got) >= self.most:
                os.close(self.slave)
                os.close(self.master)
                self.slave = self.master = -1
                return
            if self.way == "xoff" and self.dice.random() < 0.05:
                os.write(self.master, b"\x13")
                time.sleep(0.02)
                os.write(self.master, b"\x11")

    def work_off(self):
        self.over.set()
        return super().work_off()

    def end(self):
        self.go.set()
        self.left.set()
        self.thread.join(5)
        for one in (self.master, self.slave):
            with contextlib.suppress(OSError):
                os.close(one)
