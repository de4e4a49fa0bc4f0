"""A desk for tests: it runs in a process of its own, once for many tests."""

import subprocess
import sys
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass

import httpx
from conftest import ROOT

A1 = {
    "number": "A1",
    "units": "mm",
    "height": "203",
    "width": "133 mm",
    "spine_width": "34",
    "opening_angle": "120",
    "weight": "641 g",
}
"""A slip as its fields are filled in."""


@dataclass(frozen=True, slots=True)
class Running:
    """A desk that runs."""

    door: str
    folder: object
    process: subprocess.Popen

    @property
    def origin(self):
        return self.door.partition("/door")[0]

    @property
    def port(self):
        return int(self.origin.rpartition(":")[2])

    @property
    def cookie(self):
        return f"desk{self.port}={self.door.partition('key=')[2]}"

    def client(self, **headers):
        """Return a client that comes as the desk's own pages do."""
        own = {"cookie": self.cookie, "origin": self.origin} | headers
        return httpx.Client(base_url=self.origin, headers=own, timeout=60, trust_env=False)


@contextmanager
def running(folder):
    """Yield a desk; it is ended with Ctrl-C, as its terminal ends it."""
    process = subprocess.Popen(
        [sys.executable, "-m", "cutfiles", "desk", "--folder", str(folder), "--no-browser"],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        first = process.stdout.readline()
        assert first.startswith("the desk: http://127.0.0.1:"), process.stderr.read()
        yield Running(first.split()[2], folder, process)
    finally:
        process.terminate()
        process.communicate(timeout=20)


class Shared:
    """A desk for one module after the other: to begin one takes three processes and their imports.

    A page of it stays open, so that it does not end by itself.
    """

    def __init__(self, folders):
        self._folders = folders
        self._open = ExitStack()
        self._desk = None

    def used(self):
        """Return the desk, which no test may end."""
        if self._desk is None or self._desk.process.poll() is not None:
            self.end()
            self._desk = self._open.enter_context(running(self._folders.mktemp("desk")))
            with self._desk.client() as client:
                client.post("/page/shared/open")
        return self._desk

    def end(self):
        self._open.close()


def begun(client, values):
    """Return the address of a new book whose slip says this."""
    from cutfiles.desk.books import slip_text

    sent = {"slip": ("slip.toml", slip_text(values).encode())}
    return client.post("/book", files=sent).headers["location"]


def form_of(values, base=1, changed="", **more):
    """Return a book's form as its page sends it."""
    return {f"slip.{k}": v for k, v in values.items()} | {"base": base, "changed": changed} | more
