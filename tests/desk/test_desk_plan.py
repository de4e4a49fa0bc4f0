"""A plan on the desk: walked as the terminal walks it, marks corrected by the same numbers."""

import csv
import os
import re

import pytest
from click.testing import CliRunner
from conftest import SAMPLES

from cutfiles.cli import cli
from cutfiles.job.cut_record import open_record
from cutfiles.machine.marks import shown_place


@pytest.fixture(scope="module")
def desk(desk):
    """A desk with a slip in its folder."""
    (desk.folder / "B2.toml").write_bytes((SAMPLES / "B2.toml").read_bytes())
    return desk


@pytest.fixture(scope="module")
def first(client):
    """The page of a plan that was made here."""
    data = {"slip_name": "B2.toml", "cutter": "wide-roll-knife"}
    page = client.post("/plan/make", files={"none": b""}, data=data, follow_redirects=True)
    assert page.status_code == 200, page.text
    return page


def said(client, page, words, **fields):
    """Return the page after an answer to the question that stands on another one."""
    base = re.search(r'name="base" value="(\d+)"', page.text)[1]
    data = {"base": base, "said": words} | fields
    own = "/".join(page.url.path.split("/")[:3])
    return client.post(f"{own}/answer", data=data, follow_redirects=True)


def log(desk):
    text = (desk.folder / "B2" / "B2.cutting.csv").read_text(encoding="utf-8")
    return [(row["what"], row["pass"], row["initials"]) for row in csv.DictReader(text.split("\n"))]


def places(plan, change=lambda x, y: (x, y)):
    """Return the fields of marks as the machine shows them, moved."""
    fields = {}
    for number, mark in enumerate(plan.passes[1].marks):
        x, y = change(*(float(part) for part in shown_place(mark, plan.cutter.bed)))
        fields |= {f"x.{number}": f"{x:.2f}", f"y.{number}": f"{y:.2f}"}
    return fields


def test_a_plan_is_walked_from_film_lot_to_the_last_look(client, desk, first):
    plan = open_record(desk.folder / "B2" / "B2.plan.json").plan
    page = said(client, first, "KM")
    page = said(client, page, "L7")
    assert "book face up, head away from you" in page.text
    assert "while your hands are on the bed" in page.text
    assert "style=" not in page.text
    page = said(client, page, "yes")
    assert "free hand out of its path" in page.text
    for words in ("y", "go", ""):
        page = said(client, page, words)
        assert "Hand the pass over" in page.text, words
    name = "B2.face-a.hpgl"
    assert client.get(f"{page.url.path}/file/{name}").status_code == 422
    page = said(client, page, "yes")
    got = client.get(f"{page.url.path}/file/{name}")
    assert got.content == (desk.folder / "B2" / name).read_bytes()
    assert "attachment" in got.headers["content-disposition"]
    assert client.get(f"{page.url.path}/file/B2.face-b.hpgl").status_code == 422
    assert client.get(f"{page.url.path}/file/..%2fB2.toml").status_code in (404, 422)
    page = said(client, page, "yes")
    assert "Turn the sheet over, left to right: table face up" in page.text
    page = said(client, page, "yes")

    # marks: what is no answer, marks of a sheet that was not turned, one bad mark, then good ones
    for words in ("/etc/passwd", "../B2.toml", "type"):
        page = said(client, page, words)
        assert "no such answer" in page.text
    width = plan.passes[1].drawing.width
    again = 2 * plan.cutter.bed.reach[0] - width  # the machine counts from the right, upwards is x
    page = said(client, page, "marks", **places(plan, lambda x, y: (x, again - y)))
    assert "not turned over" in page.text
    assert "Refused: what is left over" in page.text
    bad = places(plan) | {"x.1": "9.00"}
    page = said(client, page, "marks", **bad)
    assert "one bad mark" in page.text
    assert "REFUSED" in page.text
    assert 'value="9.00"' in page.text  # what was typed stays
    half = said(client, page, "marks", **(places(plan) | {"x.0": ""}))
    assert "cross 1: " in half.text
    assert "Correct the pass by these" in half.text
    good = places(plan, lambda x, y: (x + 1.3 + 0.001 * y, y - 0.4 - 0.001 * x))
    page = said(client, half, "marks", **good)
    assert "How the sheet lies" in page.text
    shown = dict(
        re.findall(r'<tr data-mark="([^"]+)"><th[^>]*>[^<]*</th><td>([\d.]+) mm', page.text)
    )

    # the very numbers of `align`
    table = desk.folder / "measured.csv"
    with table.open("w", encoding="utf-8", newline="") as file:
        rows = csv.writer(file)
        rows.writerow(("pass", "mark", "x", "y"))
        for number, mark in enumerate(plan.passes[1].marks):
            rows.writerow(("face-b", mark.name, good[f"x.{number}"], good[f"y.{number}"]))
    run = CliRunner().invoke(
        cli, ["align", str(desk.folder / "B2" / "B2.plan.json"), "--measured", str(table)]
    )
    assert run.exit_code == 0, run.output
    told = dict(re.findall(r"^  ((?:cross|pin hole) \d)\s+([\d.]+) mm$", run.output, re.M))
    assert shown == told
    assert len(shown) == 6
    assert re.search(r"face-b, (\w+: turned .*)", run.output)[1] in page.text

    page = said(client, page, "yes")
    name = "B2.face-b.aligned.hpgl"
    assert client.get(f"{page.url.path}/file/{name}").status_code == 200
    page = said(client, page, "yes")
    page = said(client, page, "yes")
    assert "B2 is cut" in page.text
    whats = [what for what, *_ in log(desk)]
    assert whats == [
        *("begun", "handed over", "ended", "aligned", "handed over", "ended"),
        "inspected, good",
    ]
    assert {initials for *_, initials in log(desk)} == {"KM"}


def test_two_windows_and_a_terminal_do_not_mix(client, desk, first):
    page = client.get(first.url.path)
    page = said(client, page, "yes")  # begin another, with new film
    other = client.post("/plan", data={"plan": "B2/B2.plan.json"}, follow_redirects=True)
    assert other.url.path == page.url.path
    said(client, page, "L8")
    late = said(client, other, "L9")
    assert late.status_code == 409
    assert "a page that was older" in late.text
    record = open_record(desk.folder / "B2" / "B2.plan.json")
    assert record.cutting.lot == "L8"
    state = desk.folder / "B2" / "B2.cutting.json"
    text = state.read_text(encoding="utf-8")
    state.write_text(text.replace("L8", "L5"), encoding="utf-8")  # as another run does
    seen = client.get(page.url.path)
    assert "has gone on with this sheet" in seen.text
    refused = said(client, seen, "yes")
    assert "one run at a time cuts a sheet" in refused.text
    again = client.post(f"{page.url.path}/anew", follow_redirects=True)
    assert "Who stands at the machine?" in again.text
    assert "film lot L5" in said(client, again, "KM").text


def test_plans_are_chosen_of_those_that_lie_there(client):
    for name in ("../B2.plan.json", "/etc/passwd", ""):
        refused = client.post("/plan", data={"plan": name})
        assert refused.status_code == 422
        assert "one of the files in the desk&#39;s folder is chosen" in refused.text
    data = {"slip_name": "B2.toml", "cutter": "/etc/passwd"}
    refused = client.post("/plan/make", files={"none": b""}, data=data)
    assert refused.status_code == 422


@pytest.mark.skipif(os.name == "nt", reason="links need a right of their own there")
def test_no_plan_is_made_through_a_link_out_of_the_folder(client, desk, tmp_path):
    (desk.folder / "L1").symlink_to(tmp_path)
    slip = (SAMPLES / "B2.toml").read_text().replace('"B2"', '"L1"', 1)
    sent, data = {"slip": ("L1.toml", slip.encode())}, {"cutter": "wide-roll-knife"}
    refused = client.post("/plan/make", files=sent, data=data)
    assert refused.status_code == 422
    assert "a link that leads out of the desk" in refused.text
    assert not [*tmp_path.iterdir()]
