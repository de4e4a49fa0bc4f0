"""A folder the desk cannot trust: links out of it, strange names, scripts in its pages, gone."""

import asyncio
import base64
import hashlib
import os
import sys
from pathlib import Path

import httpx
import pytest
from desks import A1

from cutfiles.desk import exhibits
from cutfiles.desk.app import app_of
from cutfiles.desk.desk import Desk
from cutfiles.desk.folder import names_in
from cutfiles.desk.guard import Guard
from cutfiles.desk.looks import first_look
from cutfiles.desk.shelf import shelf
from cutfiles.disk.system import sum_of
from cutfiles.errors import FileError
from cutfiles.exhibit.page import SCRIPT
from cutfiles.job.order import Order
from cutfiles.report.pages import folded_page


@pytest.mark.skipif(os.name == "nt", reason="links need a right of their own there")
def test_nothing_is_reached_by_a_link_out_of_the_folder(tmp_path):
    inside, outside = (tmp_path / name for name in ("inside", "outside"))
    inside.mkdir()
    outside.mkdir()
    (inside / "A1").symlink_to(outside)
    desk = Desk(inside.resolve())
    with pytest.raises(FileError, match='"A1", a link; nothing is read or written by a link'):
        desk.within("A1")
    assert desk.within("A2") == inside.resolve() / "A2"


def test_a_name_that_no_file_system_takes_is_refused():
    with pytest.raises(FileError, match="not too many"):
        Desk(Path().resolve()).within("ä" * 128)


def test_a_page_that_breaks_says_so_in_words():
    async def asked():
        guard = app_of(Desk(Path()), 8000)
        ours = {"cookie": f"{guard.cookie}={guard.key}"}
        transport = httpx.ASGITransport(guard, raise_app_exceptions=False)
        async with httpx.AsyncClient(
            transport=transport, base_url="http://127.0.0.1:8000", headers=ours
        ) as client:
            return await client.get(f"/list/x/row/0/{'9' * 5000}")

    broken = asyncio.run(asked())
    assert broken.status_code == 500
    assert "the page cannot be shown; go back to the desk" in broken.text
    assert "script-src 'self'" in broken.headers["content-security-policy"]


@pytest.mark.skipif(sys.platform != "linux", reason="other disks take text alone as a name")
def test_a_name_that_no_page_can_show_is_passed_over(tmp_path):
    (tmp_path / "A1.toml").write_text('height = "203 mm"\n')
    (tmp_path / os.fsdecode(b"\xff.toml")).write_text('height = "203 mm"\n')
    assert shelf(str(tmp_path)).slips == ("A1.toml",)


def test_a_folder_that_is_gone_is_named(tmp_path):
    gone = str(tmp_path / "gone")
    seen = first_look(A1, Order(), gone)
    assert f"({gone}); the folder must be one" in seen["others"][0]["text"]
    assert seen["standing"] is None
    with pytest.raises(FileError, match="check the folder"):
        names_in(gone, 9)


def policy(folder, monkeypatch, scripts):
    """Return the policy of a page with these scripts, which its record knows as it is."""
    data = "".join(f"<script>{one}</script>" for one in scripts).encode()
    (folder / "index.html").write_bytes(data)
    known = {"index.html": frozenset({sum_of(data)})}
    monkeypatch.setattr(exhibits, "_files", lambda _: known)
    return exhibits.exhibit_file(str(folder), "index.html")[2]


def allowed(script):
    """Return how a policy lets a script run."""
    return f"'sha256-{base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()}'"


def test_a_page_runs_no_script_but_ours_whatever_its_record_says(tmp_path, monkeypatch):
    before, after = folded_page._around()
    own = SCRIPT, f'{before}{{"faces":[]}}{after}'
    foreign = "alert(1)", f"{before}alert(1){after}", f"{SCRIPT}alert(1)", f"{before}{after}"
    said = policy(tmp_path, monkeypatch, own + foreign)
    assert [one for one in own + foreign if allowed(one) in said] == [*own]
    assert "script-src" not in policy(tmp_path, monkeypatch, foreign)


def test_the_usual_port_is_left_out_of_a_hosts_name():
    assert Guard(None, 80).hosts == {"127.0.0.1", "localhost"}
    assert Guard(None, 8000).hosts == {"127.0.0.1:8000", "localhost:8000"}
