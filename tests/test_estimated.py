"""A book that nobody weighed: every output that judges it says that its weight is estimated."""

import csv
import json
import re

import pytest
from click.testing import CliRunner
from pages import codes_of, text_of

from cutfiles.cli import cli

SLIP = """\
number = "N1"
units = "mm"
height = "140"
width = "100"
spine_width = "25"
opening_angle = "120"
"""
MARK = "(weight estimated)"
STATES = ("adequate", "make a trial", "another support", "proved")


def run(*args):
    done = CliRunner().invoke(cli, [str(one) for one in args])
    assert done.exit_code in (0, 1), done.output
    return done.output


def judged(text):
    """The first state in a text, with what stands behind it: others are of other ways."""
    at = min((text.find(state) for state in STATES if state in text), default=None)
    return [] if at is None else [text[at : at + 40]]


@pytest.fixture(scope="module", params=["", 'weight = "300 g"\n'], ids=["unweighed", "weighed"])
def made(request, tmp_path_factory):
    """A folder with a slip, what `make` and `cards` write of it, and whether it was weighed."""
    folder = tmp_path_factory.mktemp("estimated")
    (folder / "N1.toml").write_text(SLIP + request.param, encoding="utf-8")
    run("make", folder / "N1.toml", "--to", folder, "--format", "svg")
    run("cards", folder / "N1.toml", "--to", folder)
    return folder, not request.param


def test_verdict_in_text(made):
    folder, marked = made
    for command in ("check", "trial"):
        said = run(command, folder / "N1.toml")
        verdict = next(line for line in said.splitlines() if " verdict  " in line)
        assert (MARK in verdict) == marked
        assert ("judged at" in verdict) == marked
    said = run("make", folder / "N1.toml", "--to", folder / "again", "--format", "svg")
    assert (f"{MARK}: " in said) == marked
    (folder / "N2.toml").write_text((folder / "N1.toml").read_text().replace("N1", "N2"))
    table = run("check", folder / "N1.toml", folder / "N2.toml")
    assert table.count(MARK) >= (2 if marked else 0)
    assert (MARK in table) == marked


def test_verdict_in_data(made):
    folder, marked = made
    checked = json.loads(run("check", folder / "N1.toml", "--json"))
    one = checked[0] if isinstance(checked, list) else checked
    record = json.loads((folder / "N1.json").read_text("utf-8"))
    for verdict in (one["verdict"], record["verdict"]):
        assert verdict["weight_estimated"] is marked
        assert (MARK in verdict["sentence"]) == marked
        assert (verdict["state_if_light"] is not None) == marked


def test_bench_card(made):
    folder, marked = made
    first, *_, last = text_of((folder / "N1.bench.pdf").read_bytes())
    verdict = first.partition("Verdict: ")[2]
    assert verdict.startswith(STATES)
    assert (MARK in verdict[:60]) == marked
    assert (MARK in last.partition("Proving")[2]) == marked, "beside the bags"
    dummy = first.partition("dummy of ")[2]
    assert re.match(r"\d+ g", dummy)
    assert (MARK in dummy[:30]) == marked


def test_label(made):
    folder, marked = made
    data = (folder / "N1.labels.pdf").read_bytes()
    assert ("limit: weight estimated" in text_of(data)[0]) == marked
    codes = codes_of(data)
    assert len(codes) == 2
    assert all(("weight estimated" in code) == marked for code in codes)


def test_pictures(made):
    """Beside the mark, which is one word, every picture says the verdict."""
    folder, marked = made
    for name in ("flat", "standing", "folded"):
        said = (folder / f"N1.{name}.svg").read_text("utf-8")
        assert any(f">{state}" in said for state in STATES), name
        assert (MARK in said) == marked, name


def test_exhibit(tmp_path):
    """Page, tables, cards and data of a list in which one book was weighed and one was not."""
    books = tmp_path / "books.csv"
    books.write_text(
        "No,Title,H,W,Spine,Opens to,Weight\n"
        "N1,Unweighed,140 mm,100 mm,25 mm,120,\n"
        "W1,Weighed,140 mm,100 mm,25 mm,120,300 g\n",
        encoding="utf-8",
    )
    out = tmp_path / "out"
    run("exhibit", books, "--to", out, "--format", "svg", "--workers", "1")
    rows = json.loads((out / "supports.json").read_text("utf-8"))
    assert [MARK in row["verdict"] for row in rows] == [True, False]
    [table] = [p for p in out.rglob("*.csv") if "supports" in p.name]
    cells = list(csv.DictReader(table.read_text("utf-8-sig").splitlines()))
    assert [MARK in row["verdict"] for row in cells] == [True, False]
    [page] = [p for p in out.rglob("*.html") if "article" in p.read_text("utf-8")]
    articles = page.read_text("utf-8").split('<article class="card support"')[1:]
    assert len(articles) == 2
    for article in articles:
        [said] = re.findall(r"</svg> ([^<]*)</span></p>", article)
        assert said.startswith(STATES)
        assert (MARK in said) == ("Unweighed" in article)
    prints = " ".join(
        page for path in sorted(out.rglob("*.pdf")) for page in text_of(path.read_bytes())
    )
    assert "weight estimated" in prints
