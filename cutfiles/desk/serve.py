"""Runs a desk until it is stopped, or its last page is closed."""

import asyncio
import os
import socket
import webbrowser
from collections.abc import Callable
from contextlib import suppress

import uvicorn

from cutfiles.desk.app import app_of
from cutfiles.desk.desk import Desk
from cutfiles.desk.guard import Guard
from cutfiles.desk.limits import CONNECTIONS
from cutfiles.desk.wire import Wire
from cutfiles.errors import LineError, reason

LOOPBACK = "127.0.0.1"
_LOOKS = 2.0
"""So often it is asked whether a page is still open, s."""


def line_at(port: int) -> socket.socket:
    """Return a line that only this machine reaches, at a port, or any free one for 0.

    Raises:
        LineError: the port is taken.

    """
    line = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    if os.name == "posix":  # lines of the run before that are not quite closed are no hindrance
        line.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        line.bind((LOOPBACK, port))
        line.listen(128)
    except OSError as error:
        line.close()
        raise LineError(
            f"port {port}: {reason(error)}",
            "a free port of this machine is needed",
            "choose another, or none: a free one is found",
        ) from None
    return line


def serve(desk: Desk, line: socket.socket, begun: Callable[[Guard], None]) -> None:
    """Run a desk on a line; `begun` is called once it answers."""
    guard = app_of(desk, line.getsockname()[1])
    config = uvicorn.Config(
        guard,
        http=Wire,
        ws="none",
        lifespan="on",
        access_log=False,  # it would show the key
        log_level="warning",
        proxy_headers=False,
        server_header=False,
        limit_concurrency=CONNECTIONS,
        timeout_graceful_shutdown=2,
    )
    server = uvicorn.Server(config)

    async def run() -> None:
        answering = asyncio.ensure_future(server.serve(sockets=[line]))
        while not server.started and not answering.done():
            await asyncio.sleep(0.02)
        if server.started:
            begun(guard)
        while not answering.done():
            server.should_exit = server.should_exit or desk.over
            await asyncio.wait([answering], timeout=_LOOKS)
        await answering

    try:
        asyncio.run(run())
    finally:
        desk.end()
        with suppress(OSError):
            line.close()


def show(address: str) -> bool:
    """Open an address in this machine's browser; tell whether there is one."""
    try:
        return webbrowser.open(address)
    except webbrowser.Error:
        return False
