"""What may reach the desk, and what it refuses in words, the rest going on."""

import os
import signal
import socket
import subprocess
import sys
import time

import pytest
from conftest import ROOT
from desks import running

from cutfiles.desk import limits

pytestmark = pytest.mark.skipif(os.name == "nt", reason="signals of POSIX end it here")


def raw(desk, text, *, wait=5.0):
    """Return what comes back for bytes sent as they are, until the line is closed."""
    with socket.create_connection(("127.0.0.1", desk.port), timeout=wait) as line:
        line.sendall(text.encode())
        answer = b""
        while part := line.recv(65536):
            answer += part
    return answer.decode()


def test_door_gives_the_key_once_as_a_cookie(desk):
    with desk.client(cookie="") as client:
        door = client.get(desk.door)
        assert door.status_code == 200
        said = door.headers["set-cookie"]
        assert "HttpOnly" in said
        assert "SameSite=Strict" in said
        assert door.headers["referrer-policy"] == "no-referrer"
        assert client.get("/door?key=wrong").status_code == 403
        assert client.get("/door").status_code == 403
    with desk.client() as client:
        page = client.get("/")
        assert page.status_code == 200
        assert "script-src 'self'" in page.headers["content-security-policy"]
        assert "unsafe" not in page.headers["content-security-policy"]
        assert "frame-ancestors 'none'" in page.headers["content-security-policy"]
        assert page.headers["x-content-type-options"] == "nosniff"
        assert page.headers["referrer-policy"] == "same-origin"
        assert desk.cookie.partition("=")[2] not in page.text


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({"host": "books.example"}, 421),
        ({"host": "127.0.0.1"}, 421),
        ({"cookie": ""}, 403),
        ({"cookie": "desk=wrong"}, 403),
        ({"origin": "http://books.example"}, 403),
        ({"origin": "null"}, 403),
        ({"origin": "http://127.0.0.1:1"}, 403),
        ({"sec-fetch-site": "cross-site"}, 403),
        ({"sec-fetch-site": "same-site", "sec-fetch-mode": "no-cors"}, 403),
    ],
)
def test_what_comes_from_elsewhere_is_refused_in_words(desk, headers, status):
    with desk.client(**headers) as client:
        answer = client.get("/")
    assert answer.status_code == status
    assert "Refused" in answer.text


def test_what_changes_something_says_where_it_comes_from(desk):
    with desk.client() as client:
        del client.headers["origin"]
        assert client.post("/page/a/open").status_code == 403
        assert client.post("/page/a/open", headers={"sec-fetch-site": "same-origin"}).is_success
        assert client.post("/page/a/open", headers={"sec-fetch-site": "none"}).status_code == 403


@pytest.mark.parametrize(
    "path",
    [
        "/static/../app.py",
        "/static/..%2f..%2fversion.py",
        "/static/%2e%2e/app.py",
        "/static//etc/passwd",
        "/../../etc/passwd",
        "/static/..\\app.py",
    ],
)
def test_no_path_leads_out_of_what_is_served(desk, path):
    head = f"GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{desk.port}\r\n"
    answer = raw(desk, f"{head}Cookie: {desk.cookie}\r\nConnection: close\r\n\r\n")
    assert answer.startswith("HTTP/1.1 404")
    assert "import" not in answer


def test_a_header_that_stands_twice_is_refused(desk):
    head = f"GET / HTTP/1.1\r\nHost: 127.0.0.1:{desk.port}\r\nCookie: {desk.cookie}\r\n"
    own, other = f"Origin: {desk.origin}\r\n", "Origin: http://books.example\r\n"
    assert raw(desk, head + other + own + "Connection: close\r\n\r\n").startswith("HTTP/1.1 400")


def test_a_body_told_too_large_is_refused_before_it_comes(desk):
    head = f"POST /page/a/open HTTP/1.1\r\nHost: 127.0.0.1:{desk.port}\r\n"
    head += f"Cookie: {desk.cookie}\r\nOrigin: {desk.origin}\r\n"
    answer = raw(desk, head + f"Content-Length: {limits.UPLOAD_BYTES + 1}\r\n\r\n")
    assert answer.startswith("HTTP/1.1 413")
    assert "at most 33,554,432 bytes" in answer


def test_clients_that_stall_hold_nobody_up(desk):
    stalled = [socket.create_connection(("127.0.0.1", desk.port)) for _ in range(8)]
    head = f"POST /page/a/open HTTP/1.1\r\nHost: 127.0.0.1:{desk.port}\r\n"
    body = f"Cookie: {desk.cookie}\r\nOrigin: {desk.origin}\r\nContent-Length: 99\r\n\r\nx"
    for i, line in enumerate(stalled):
        line.sendall((head + body if i % 2 else head).encode())
    begun = time.monotonic()
    with desk.client() as client:
        assert client.get("/").is_success
    assert time.monotonic() - begun < 5
    for line in stalled:
        line.close()


def test_the_address_stands_for_this_machine_alone(desk):
    others = [info[4][0] for info in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)]
    for other in {"127.0.0.2", *others} - {"127.0.0.1"}:
        with pytest.raises(ConnectionRefusedError):
            socket.create_connection((other, desk.port), timeout=2).close()


def test_it_ends_with_its_terminal(tmp_path):
    with running(tmp_path) as one:
        one.process.send_signal(signal.SIGINT)
        out, err = one.process.communicate(timeout=15)
    assert one.process.returncode == 0
    assert out.endswith("the desk is closed\n")
    assert err == ""


def test_without_its_extra_it_says_what_to_install(tmp_path):
    code = (
        "import importlib.util as u, sys\nfind = u.find_spec\n"
        "u.find_spec = lambda name: None if name == 'uvicorn' else find(name)\n"
        "from cutfiles.cli import cli\ncli(['desk', '--no-browser'], prog_name='cutfiles')"
    )
    run = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True)
    assert run.returncode == 1
    assert "found no uvicorn here" in run.stderr
    assert "pip install 'cutfiles[desk]'" in run.stderr
