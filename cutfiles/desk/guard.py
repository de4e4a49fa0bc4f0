"""What may reach the desk: this machine, by its own names, with this run's key, from its own pages.

Everything else is refused in words before any page sees it: other host names (a name on the network
that leads here), other origins (a page that sends a form here), a missing key (another user of this
machine), bodies that are too large or too slow.

What remains: a browser sends a cookie of 127.0.0.1 to every port of it. A server that another user
runs on this machine hears the key if this browser visits that server's pages (by a link there, or
typed: from pages elsewhere a strict cookie does not go along), and may then use the desk until it
ends. Ports are not told apart by any attribute of a cookie, and what tells them apart, a name of
its own under localhost or a password in the address, does not work in every browser. So the name
says the port, that two desks do not mix; the key is new in each run, is kept by no browser past
its session, and reaches the desk's folder alone, never a machine. On a machine shared with people
one does not trust, the desk is opened in a browser, or a private window, that visits nothing else.
"""

import asyncio
import secrets
from collections.abc import Mapping
from contextlib import suppress
from html import escape
from urllib.parse import parse_qs

from starlette.types import ASGIApp, Message, Receive, Scope, Send

from cutfiles.desk.limits import ANSWER_SECONDS, BODY_SECONDS, DRAIN_SECONDS, UPLOAD_BYTES

DOOR = "/door"
"""Where a browser shows the key once, and gets it as a cookie."""
BODY = "desk.body"
"""Where a request's scope has its body (`Counted`)."""
SAFE = frozenset({"GET", "HEAD"})
"""Methods that change nothing."""
HEADERS = {
    "content-security-policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
        "connect-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
    ),
    "x-content-type-options": "nosniff",
    # none to others; with none at all, a form of our own would not say where it comes from either
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "x-frame-options": "DENY",
    "cache-control": "no-store",
}
"""What every answer says; one that says it otherwise keeps its own word."""


class Refusal(Exception):
    """A request that is not answered, and why."""

    def __init__(self, status: int, needed: str, remedy: str) -> None:
        super().__init__(needed)
        self.status, self.needed, self.remedy = status, needed, remedy


class Guard:
    """Stands before the pages, and lets through what may reach them."""

    def __init__(self, app: ASGIApp, port: int) -> None:
        """Guard the pages of a desk at a port of this machine."""
        self.app, self.port = app, port
        self.key = secrets.token_urlsafe(32)
        self._once = secrets.token_urlsafe(32)
        tail = "" if port == 80 else f":{port}"  # browsers leave out the usual one
        self.hosts = frozenset({f"127.0.0.1{tail}", f"localhost{tail}"})

    @property
    def door(self) -> str:
        """Where a person opens the desk, as often as she likes while it runs."""
        return f"http://127.0.0.1:{self.port}{DOOR}?key={self.key}"

    @property
    def door_once(self) -> str:
        """The same for a browser that we start: good once, for others see how it is started."""
        return f"http://127.0.0.1:{self.port}{DOOR}?key={self._once}"

    @property
    def cookie(self) -> str:
        """The cookie's name; cookies are shared by all ports."""
        return f"desk{self.port}"

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or refuse it."""
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self.app(scope, receive, send)
            return
        said = _Said(send)
        try:
            headers = _headers(scope)
            self._require_ours(scope, headers)
            if scope["path"] == DOOR:
                await said(*self._opened(scope))
                return
            self._require_key(headers)
            body = scope[BODY] = said.body = Counted(receive, headers)
            async with asyncio.timeout(ANSWER_SECONDS):
                await self.app(scope, body, said.send)
        except Refusal as refusal:
            await said.refuse(refusal)
        except TimeoutError:
            await said.refuse(Refusal(408, "it took too long", "try it again"))

    def _require_ours(self, scope: Scope, headers: Mapping[str, str]) -> None:
        """Refuse what does not come from this machine's own pages.

        Raises:
            Refusal: it names another host, or comes from another origin.

        """
        if headers.get("host") not in self.hosts:
            raise Refusal(
                421, "the desk answers to this machine's own name only", "open it as it was told"
            )
        site, origin = headers.get("sec-fetch-site"), headers.get("origin")
        changes = scope["method"] not in SAFE
        own = origin is not None and origin.removeprefix("http://") in self.hosts
        if origin is not None and not own:
            raise Refusal(403, "a page of another origin asks", "use the desk's own pages")
        if changes and not own and site != "same-origin":
            raise Refusal(403, "what changes something comes from the desk's pages", "go there")
        visits = headers.get("sec-fetch-mode") == "navigate" and not changes
        if site not in (None, "none", "same-origin") and not visits:
            raise Refusal(403, "a page of another origin asks", "use the desk's own pages")

    def _require_key(self, headers: Mapping[str, str]) -> None:
        given = dict(
            part.strip().partition("=")[::2] for part in headers.get("cookie", "").split(";")
        ).get(self.cookie, "")
        if not secrets.compare_digest(given.encode(), self.key.encode()):
            raise Refusal(
                403,
                "the desk is opened with the key of this run",
                "open the address that the terminal shows, whole, once in this browser",
            )

    def _opened(self, scope: Scope) -> tuple[int, bytes, list[tuple[bytes, bytes]]]:
        given = parse_qs(scope["query_string"].decode("latin-1"), max_num_fields=4).get("key", [""])
        once, key = self._once.encode(), given[0].encode()
        if secrets.compare_digest(key, once):
            self._once = secrets.token_urlsafe(32)  # it was seen among the processes: never again
        elif not secrets.compare_digest(key, self.key.encode()):
            raise Refusal(403, "this is not the key of this run", "copy the whole address again")
        # a page, not a redirection: where a link led here, a strict cookie would not go along
        page = (
            '<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>The desk</title>'
            '<link rel="icon" href="data:,">'
            '<meta http-equiv="refresh" content="0;url=/"></head>'
            '<body><p><a href="/">Go to the desk</a></p></body></html>'
        )
        cookie = f"{self.cookie}={self.key}; HttpOnly; SameSite=Strict; Path=/"
        return (
            200,
            page.encode(),
            [(b"set-cookie", cookie.encode()), (b"referrer-policy", b"no-referrer")],
        )


class _Said:
    """An answer on its way: every one says what `HEADERS` say."""

    def __init__(self, send: Send) -> None:
        self._send, self._begun = send, False
        self.body: Counted | None = None

    async def send(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            self._begun = True
            if self.body is not None:
                await self.body.drain()  # who still sends hears no answer, only a line cut off
            told = {name for name, _ in message["headers"]}
            message["headers"] = [
                *message["headers"],
                *((n.encode(), v.encode()) for n, v in HEADERS.items() if n.encode() not in told),
            ]
        await self._send(message)

    async def __call__(
        self, status: int, body: bytes, headers: list[tuple[bytes, bytes]] | None = None
    ) -> None:
        own = [(b"content-type", b"text/html; charset=utf-8"), *(headers or [])]
        own.append((b"content-length", str(len(body)).encode()))
        await self.send({"type": "http.response.start", "status": status, "headers": own})
        await self.send({"type": "http.response.body", "body": body})

    async def refuse(self, refusal: Refusal) -> None:
        if self._begun:
            return
        page = (
            '<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>Refused</title>'
            '<link rel="icon" href="data:,">'
            f"</head><body><h1>Refused</h1><p>{escape(refusal.needed)}; "
            f"{escape(refusal.remedy)}.</p></body></html>"
        )
        # the rest of a body that nobody reads ends with the line
        await self(refusal.status, page.encode(), [(b"connection", b"close")])


class Counted:
    """A request's body as it comes in: its bytes counted, its time too.

    Attributes:
        most: bytes it may have; a page that takes less lowers it.

    """

    most = UPLOAD_BYTES

    def __init__(self, receive: Receive, headers: Mapping[str, str]) -> None:
        self._receive, self._bytes, self._whole = receive, 0, False
        told = headers.get("content-length", "0")
        if not told.isdecimal() or int(told[:20]) > self.most:
            raise _too_large(self.most)
        self._end = asyncio.get_running_loop().time() + BODY_SECONDS

    async def __call__(self) -> Message:
        """Return the next part of it.

        Raises:
            Refusal: it is too large, or came too slowly.

        """
        if self._whole:
            return await self._receive()  # tells only whether the client is still there
        try:
            async with asyncio.timeout_at(self._end):
                message = await self._receive()
        except TimeoutError:
            raise Refusal(408, "the body came too slowly", "try it again") from None
        self._bytes += len(message.get("body", b""))
        self._whole = not message.get("more_body", False)
        if self._bytes > self.most:
            raise _too_large(self.most)
        return message

    async def drain(self) -> None:
        """Let what still comes go by, for a while."""
        self.most = UPLOAD_BYTES
        self._end = min(self._end, asyncio.get_running_loop().time() + DRAIN_SECONDS)
        with suppress(Refusal):
            while not self._whole:
                await self()


def _too_large(most: int) -> Refusal:
    return Refusal(413, f"this takes at most {most:,} bytes at once", "send less")


def _headers(scope: Scope) -> dict[str, str]:
    """Return a request's headers; one that may stand once only and stands twice is refused.

    Raises:
        Refusal: it says twice where it goes, or where it comes from.

    """
    found: dict[str, str] = {}
    for raw, value in scope["headers"]:
        name = raw.decode("latin-1")
        if name in found and name in ("host", "origin", "sec-fetch-site", "content-length"):
            raise Refusal(400, f"the header {name} stands once", "send it once")
        text = value.decode("latin-1")
        found[name] = f"{found[name]}; {text}" if name in found else text
    return found
