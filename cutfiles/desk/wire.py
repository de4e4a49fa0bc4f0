"""The line to a client: one that takes over a request's head for ever is dropped."""

import asyncio
from asyncio import Transport
from typing import Any, cast

from uvicorn.protocols.http.h11_impl import H11Protocol

from cutfiles.desk.limits import HEAD_SECONDS


class Wire(H11Protocol):
    """A client's line; its next head must be whole in time, or the line is dropped."""

    _late: asyncio.TimerHandle | None = None

    def connection_made(self, transport: Transport) -> None:  # type: ignore[override]
        """Begin to wait for a head."""
        super().connection_made(transport)
        self._wait()

    def data_received(self, data: bytes) -> None:
        """Take up what came; where a head is whole, wait for none.

        After an answer the time to keep the line open counts, which the server keeps.
        """
        super().data_received(data)
        if self.cycle is not None and not self.cycle.response_complete:
            self._stop()
        elif self._late is None:
            self._wait()

    def connection_lost(self, exc: Exception | None) -> None:
        """Wait for nothing more."""
        self._stop()
        super().connection_lost(exc)

    def _wait(self) -> None:
        self._late = self.loop.call_later(HEAD_SECONDS, self._drop)

    def _stop(self) -> None:
        if self._late is not None:
            self._late.cancel()
            self._late = None

    def _drop(self) -> None:
        self._late = None
        if not self.transport.is_closing():
            cast(Any, self.transport).abort()
