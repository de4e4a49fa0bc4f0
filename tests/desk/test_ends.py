"""What has an end: clients that stall, bodies that trickle, works that hang, the desk itself."""

import asyncio
import os
import socket
import threading
import time
from contextlib import suppress
from pathlib import Path

import pytest
import uvicorn
from works_asked import count, echo, pid_in_a_while, refuse, refuse_as_changed

from cutfiles.desk import desk as desks
from cutfiles.desk import guard, wire
from cutfiles.desk.desk import Desk
from cutfiles.desk.works import Busy, Job, TooLong, Works
from cutfiles.errors import ChangedError, CutfilesError, Defect


async def nothing(scope, receive, send):
    """Answer every request with nothing."""
    if scope["type"] == "http":
        await send({"type": "http.response.start", "status": 204, "headers": []})
        await send({"type": "http.response.body", "body": b""})


@pytest.mark.parametrize("sent", [b"", b"GET / HTTP/1.1\r\nHost: x\r\n"])
def test_a_line_whose_head_does_not_come_is_dropped(monkeypatch, sent):
    monkeypatch.setattr(wire, "HEAD_SECONDS", 0.2)
    line = socket.create_server(("127.0.0.1", 0))
    server = uvicorn.Server(uvicorn.Config(nothing, http=wire.Wire, log_config=None))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [line]})
    thread.start()
    with socket.create_connection(line.getsockname(), timeout=5) as client:
        client.sendall(sent)
        begun = time.monotonic()
        with suppress(ConnectionResetError):
            assert client.recv(10) == b""
        assert time.monotonic() - begun < 3
    server.should_exit = True
    thread.join()


def test_a_body_that_trickles_is_refused(monkeypatch):
    monkeypatch.setattr(guard, "BODY_SECONDS", 0.1)

    async def trickle():
        await asyncio.sleep(0.06)
        return {"type": "http.request", "body": b"x", "more_body": True}

    async def read():
        body = guard.Counted(trickle, {})
        while True:
            await body()

    with pytest.raises(guard.Refusal, match="too slowly"):
        asyncio.run(read())


def test_a_work_that_hangs_is_ended_and_the_next_is_done():
    works = Works(1, waiting=1)

    async def all_of_it():
        assert await works.do(echo, {"a": 1}) == {"a": 1}
        with pytest.raises(CutfilesError, match="found this; that; do so"):
            await works.do(refuse)
        with pytest.raises(ChangedError, match="found a changed file; that; look again"):
            await works.do(refuse_as_changed)
        with pytest.raises(Defect, match="a fault of the program"):
            await works.do(int, "no number")
        hanging = asyncio.ensure_future(works.do(time.sleep, 60, seconds=0.3))
        waiting = asyncio.ensure_future(works.do(echo, 2))
        await asyncio.sleep(0.05)
        with pytest.raises(Busy):
            await works.do(echo, 3)
        with pytest.raises(TooLong):
            await hanging
        assert await waiting == 2
        await asyncio.sleep(0)
        assert works.idle

    try:
        asyncio.run(all_of_it())
    finally:
        works.end()


def test_a_second_process_begins_only_where_works_overlap():
    works = Works(2)

    async def one_after_the_other():
        return {await works.do(os.getpid) for _ in range(3)}

    async def at_once():
        return {*await asyncio.gather(works.do(pid_in_a_while), works.do(pid_in_a_while))}

    try:
        assert len(asyncio.run(one_after_the_other())) == 1
        assert len(asyncio.run(at_once())) == 2
    finally:
        works.end()


def test_a_job_tells_how_far_it_is_and_is_stopped():
    done, stopped = Job(count, 2), Job(count, 9)
    done.wait(30)
    assert (done.state, done.result, done.told) == ("done", 2, 1)
    while stopped.told != 8:
        time.sleep(0.01)
    stopped.stop()
    stopped.wait(30)
    assert (stopped.state, stopped.result) == ("stopped", None)


def test_the_desk_is_over_once_its_last_page_is_closed_for_long_enough(monkeypatch):
    now = [0.0]
    monkeypatch.setattr(desks, "_now", lambda: now[0])
    desk = Desk(Path())
    now[0] = 1e6
    assert not desk.over  # no page ever was: its terminal ends it
    desk.heard("a")
    desk.heard("b")
    desk.closed("a")
    now[0] += 1000
    assert not desk.over
    desk.closed("b")
    now[0] += desks.GONE_SECONDS - 1
    assert not desk.over
    desk.heard("c")  # a page that was only reloaded
    now[0] += 10
    assert not desk.over
    desk.closed("c")
    now[0] += desks.GONE_SECONDS + 1
    assert desk.over
    desk.heard("d")
    now[0] += desks.SILENT_SECONDS + 1
    assert not desk.over  # counts as closed from now
    now[0] += desks.GONE_SECONDS + 1
    assert desk.over
