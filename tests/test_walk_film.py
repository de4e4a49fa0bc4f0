"""From books on the bench to a piece that is proved: chosen, made, tried, recorded, taken up."""

import json
from dataclasses import replace

import pytest
from click.testing import CliRunner
from pages import text_of

from cutfiles.cli import cli
from cutfiles.job.trial import trials_at

SLIP = """\
number = "{number}"
units = "mm"
height = "{height}"
width = "{width}"
spine_width = "25"
opening_angle = "120"
"""
PLAIN = '[support]\nconstruction = "plain"\ngauge = "5 mil"\nlayers = "3"\n'
"""What the user keeps to, though it is not sure."""


def run(*args):
    return CliRunner().invoke(cli, [str(arg) for arg in args])


@pytest.fixture
def slip(tmp_path):
    def write(number, height, width, weight=None):
        text = SLIP.format(number=number, height=height, width=width)
        path = tmp_path / f"{number}.toml"
        text += f'weight = "{weight}"\n' if weight else ""
        path.write_text(text + PLAIN, encoding="utf-8")
        return path

    return write


def test_a_trial_is_planned_recorded_and_proves(slip, tmp_path):
    path, table = slip("A1", 140, 100, "420 g"), tmp_path / "trials.csv"
    planned = run("trial", path)
    assert planned.exit_code == 0
    assert "316 g on the left board, 316 g on the right board" in planned.output
    assert "no load test in this studio" in planned.output
    assert not table.exists()
    short = run(
        "trial", path, "--trials", table, "--weight", "630 g", "--hours", 1, "--ended", "stood"
    )
    assert short.exit_code == 0
    assert "now        make a trial" in short.output
    done = run(
        *("trial", path, "--trials", table, "--weight", "630 g", "--hours", 24),
        *("--ended", "stood", "--date", "2026-03-02", "--lot", "7731", "--json"),
    )
    data = json.loads(done.output)
    assert (data["before"], data["state"]) == ("make a trial", "proved")
    rows = trials_at(table)
    assert [row.minutes for row in rows] == [60, 60, 1440, 1440]
    assert {row.lot for row in rows[2:]} == {"7731"}
    checked = run("check", path, "--trials", table)
    assert "verdict    proved: " in checked.output
    assert "this very piece stood under its dummy" in checked.output
    # another book of the same measures is another piece; without the table nothing is known
    assert "proved: " not in run("check", slip("A2", 140, 100, "420 g"), "--trials", table).output
    assert "proved: " not in run("check", path).output


LIMP = """\
number = "M3"
units = "mm"
height = 178
width = 112
spine_width = 4
opening_angle = 110
weight = "60 g"
cover = "limp"
"""
WEAK = '[support]\nconstruction = "plain"\ngauge = "2 mil"\nlayers = "1"\n'


def told_everywhere(path, folder):
    """What check, the plan of a trial and the bench card say of a slip."""
    assert run("make", path, "--to", folder).exit_code == 0
    card = " ".join(text_of((folder / f"{path.stem}.bench.pdf").read_bytes()))
    return run("check", path).output, run("trial", path).output, card


def test_what_is_not_to_be_used_says_why_and_not_how_it_is_proved(tmp_path):
    """Its cover sags: a dummy that stands on its legs shows nothing of that."""
    path = tmp_path / "M3.toml"
    path.write_text(LIMP, encoding="utf-8")
    for said in told_everywhere(path, tmp_path / "out"):
        assert "ot to be used: left board panel sags 3.2 mm (at most 1.8 mm)" in said
        for proving in ("prove it", "dummy of", "45 g", "Stood for 24 h", "with the book, before"):
            assert proving not in said
        assert "no dummy that stands on it changes that" in said


def test_a_leg_far_too_weak_is_tried_with_bags_and_not_proved_by_them(slip, tmp_path):
    path = slip("A1", 203, 133, "641 g")
    path.write_text(path.read_text("utf-8").replace(PLAIN, WEAK), encoding="utf-8")
    checked, planned, card = told_everywhere(path, tmp_path / "out")
    for said in (checked, planned, card):
        assert "ot to be used: left leg bears" in said
        assert "at most tried with a dummy, never with the book, which does not prove it" in said
        assert "Stood for 24 h" not in said
        assert "prove it with" not in said
    assert "left board" in planned.partition("bags")[2]
    assert "This piece carries no book, whether it stood or not" in card


def test_a_piece_that_fell_is_told(slip, tmp_path):
    path, table = slip("A1", 140, 100, "420 g"), tmp_path / "trials.csv"
    fell = run(
        "trial", path, "--trials", table, "--weight", "100 g", "--hours", 1, "--ended", "collapsed"
    )
    assert fell.exit_code == 0
    checked = run("check", path, "--trials", table)
    assert "the model is unsafe for this kind" in checked.output
    # what is chosen, where the slip leaves it open, is made otherwise
    path.write_text(path.read_text("utf-8").replace(PLAIN, ""), encoding="utf-8")
    chosen = run("check", path, "--trials", table).output.split("bears")[0]
    assert "verdict    adequate: one layer" in chosen


SERMONS = """\
number = "M2"
units = "cm"
height = "19,8"
width = "12,6"
spine_width = "4,1"
left_rise = "5,2"
right_rise = "4,4"
left_joint = "2,1"
right_joint = "0"
left_side = "1,0"
right_side = "3,0"
weight = "540 g"
cover = "boards"
"""


def collapsed(path, table, grams):
    told = ("--weight", f"{grams} g", "--hours", 1, "--ended", "collapsed", "--fell", "left")
    return run("trial", path, "--trials", table, *told).output


def told_of(said, head):
    """What a line that begins with a word says."""
    return next(x.split(maxsplit=1)[1] for x in said.splitlines() if x.split()[:1] == [head])


def test_a_collapse_tells_what_check_then_tells(tmp_path):
    """The way that fell is out; what is made instead is what `check` says next."""
    path, table = tmp_path / "M2.toml", tmp_path / "trials.csv"
    path.write_text(SERMONS, encoding="utf-8")
    said = collapsed(path, table, 500)
    assert told_of(said, "before") == "adequate"
    assert told_of(said, "now").startswith("make a trial, made the way that was tried: that way is")
    instead = told_of(said, "instead")
    assert instead.startswith("adequate: one layer of 7 mil with lips")
    assert f"verdict    {instead}; counted" in run("check", path, "--trials", table).output
    kept = tmp_path / "kept.toml"  # film and construction that the slip fixes stay
    kept.write_text(SERMONS + PLAIN.replace("5 mil", "10 mil").replace("3", "1"), "utf-8")
    again = collapsed(kept, table, 500)
    assert "instead" not in again
    fell = told_of(again, "now")
    assert fell.endswith("collapsed: it is made the same way again")
    state, _, piece = fell.partition("; ")
    checked = run("check", kept, "--trials", table).output
    assert f"verdict    {state}: " in checked
    assert piece in checked


def test_a_collapse_far_under_what_was_sure_says_stop(tmp_path):
    path, table = tmp_path / "M2.toml", tmp_path / "trials.csv"
    path.write_text(SERMONS, encoding="utf-8")
    stop = told_of(collapsed(path, table, 500), "STOP")
    assert stop.startswith("it collapsed at 0.")
    assert "before you know what was wrong: a fold, a lap, the film, the opening" in stop
    assert float(stop.split()[3]) < 0.5
    fewer = float(stop.split()[3]) / 500
    for part, stops in ((0.49, True), (0.51, False)):
        other = tmp_path / f"{part}.csv"
        assert ("STOP" in collapsed(path, other, round(part / fewer))) == stops


def test_what_was_proved_is_made_again(slip, tmp_path):
    """A piece that stood stays the way it is made, though another would be chosen without it."""
    path, table = slip("A1", 140, 100, "420 g"), tmp_path / "trials.csv"
    done = run(
        "trial", path, "--trials", table, "--weight", "640 g", "--hours", 24, "--ended", "stood"
    )
    assert done.exit_code == 0, done.output
    path.write_text(path.read_text("utf-8").replace(PLAIN, ""), encoding="utf-8")
    assert "verdict    adequate: one layer" in run("check", path).output
    again = run("check", path, "--trials", table).output
    assert "verdict    proved: three layers of 5 mil" in again
    # another book is not bound by it
    other = slip("A2", 140, 100, "420 g")
    other.write_text(other.read_text("utf-8").replace(PLAIN, ""), encoding="utf-8")
    assert "verdict    adequate: one layer" in run("check", other, "--trials", table).output


def test_half_a_record_is_refused(slip, tmp_path):
    path, table = slip("A1", 140, 100, "420 g"), tmp_path / "trials.csv"
    assert run("trial", path, "--trials", table, "--weight", "630 g").exit_code == 2
    assert run("trial", path, "--weight", "1 g", "--hours", 1, "--ended", "stood").exit_code == 2
    told = ("--trials", table, "--weight", "1 g", "--hours", 1, "--fell", "left")
    assert run("trial", path, *told, "--ended", "stood").exit_code == 2
    table.write_text("not,ours\n", encoding="utf-8")
    bad = run("trial", path, "--trials", table, "--weight", "1 g", "--hours", 1, "--ended", "stood")
    assert bad.exit_code == 1
    assert table.read_text(encoding="utf-8") == "not,ours\n"


def test_an_exhibit_takes_up_what_was_proved(slip, tmp_path):
    path, table = slip("A1", 140, 100, "420 g"), tmp_path / "trials.csv"
    run("trial", path, "--trials", table, "--weight", "640 g", "--hours", 24, "--ended", "stood")
    books = tmp_path / "books.csv"
    books.write_text(
        "No,Title,H,W,Spine,Opens to,Weight,Construction,Gauge,Layers\n"
        "A1,Tried,140 mm,100 mm,25 mm,120,420 g,plain,5 mil,3\n"
        "A2,Not tried,140 mm,100 mm,25 mm,120,420 g,plain,5 mil,3\n"
        "A3,Unweighed,140 mm,100 mm,25 mm,120,,,,\n",
        encoding="utf-8",
    )
    out = tmp_path / "out"
    made = run("exhibit", books, "--to", out, "--trials", table, "--format", "svg", "--no-cards")
    assert made.exit_code == 0, made.output
    states = {
        one["number"]: one["verdict"]
        for one in json.loads((out / "supports.json").read_text(encoding="utf-8"))
    }
    assert states["A1"] == "proved"
    assert states["A2"] == "make a trial"
    assert states["A3"].endswith("(weight estimated)")


def test_fewest_kinds_of_film_serve_an_exhibit(tmp_path):
    """Books that each would take another film are served by one, where one serves all."""
    from cutfiles.bench.slip import slip_from
    from cutfiles.exhibit.films import choose_films
    from cutfiles.support.settle import settle

    def book(number, height, width, spine, weight, **support):
        return slip_from(
            {
                "number": number,
                "units": "mm",
                "height": height,
                "width": width,
                "spine_width": spine,
                "opening_angle": 120,
                "weight": f"{weight} g",
                "support": support,
            }
        )

    slips = {
        2: book("small", 100, 70, 16, 40),
        3: book("middle", 120, 80, 20, 110),
        4: book("larger", 140, 100, 24, 200),
    }
    alone = {settle(slip).film.gauge for slip in slips.values()}
    chosen = choose_films(slips)
    assert len(alone) == 3
    assert chosen.films == ("PET 7 mil",)
    assert {slip.film.name for slip in chosen.slips.values()} == {"PET 7 mil"}
    # least film instead of the fewest folds: thinner, held by posts
    thrifty = choose_films(
        {
            row: replace(slip, choices=replace(slip.choices, prefer="film"))
            for row, slip in slips.items()
        }
    )
    assert thrifty.films == ("PET 4 mil",)
    assert thrifty.told[0].cost < chosen.told[0].cost
    assert chosen.unserved == ()
    # what a slip fixes stays; what nothing serves is told, and made of film that others need
    fixed = choose_films({**slips, 5: book("own", 100, 70, 16, 20, gauge="2 mil", layers=3)})
    assert chosen.slips[2].film.gauge != fixed.slips[5].film.gauge == pytest.approx(0.0508)
    heavy = choose_films({**slips, 6: book("heavy", 203, 133, 34, 2300)})
    assert heavy.unserved == ("heavy",)
    assert heavy.slips[6].film.name == "PET 7 mil"


def test_made_tried_recorded_made_again(slip, tmp_path):
    """The card says what to lay on it; what is written down afterwards proves it everywhere."""
    path, table, out = slip("A1", 140, 100, "420 g"), tmp_path / "trials.csv", tmp_path / "out"

    def state():
        verdict = json.loads((out / "A1.json").read_text("utf-8"))["verdict"]["state"]
        first, *_, last = text_of((out / "A1.bench.pdf").read_bytes())
        assert f"Verdict: {verdict}" in first
        return verdict, last

    made = run("make", path, "--to", out)
    assert made.exit_code == 0, made.output
    verdict, card = state()
    assert verdict == "make a trial"
    assert "left board, 316 g 158 g 158 g" in card
    assert "right board, 316 g 158 g 158 g" in card
    assert 1.5 * 420 <= 4 * 158 < 1.5 * 420 + 4
    assert "1.5 × a book of 420 g" in card
    for field in ("date", "weight laid", "hours", "stood or collapsed", "film lot", "initials"):
        assert field in card
    told = ("--trials", table, "--weight", "632 g", "--hours", 24, "--ended", "stood")
    done = run("trial", path, *told, "--date", "2 March", "--initials", "K.", "--lot", "77")
    assert done.exit_code == 0, done.output
    assert "now        proved" in done.output
    assert [row.side for row in trials_at(table)] == ["left", "right"]
    assert {(row.initials, row.date) for row in trials_at(table)} == {("K.", "2 March")}
    assert run("make", path, "--to", out, "--trials", table).exit_code == 0
    assert state()[0] == "proved"
    assert run("make", path, "--to", out).exit_code == 0
    assert state()[0] == "make a trial"  # by the record alone
    books = tmp_path / "books.csv"
    books.write_text(
        "No,Title,H,W,Spine,Opens to,Weight,Gauge,Layers,Construction\n"
        "A1,Tried,140 mm,100 mm,25 mm,120,420 g,5 mil,3,plain\n"
        "A2,Not tried,140 mm,100 mm,25 mm,120,420 g,5 mil,3,plain\n",
        encoding="utf-8",
    )
    whole = tmp_path / "whole"
    made = run("exhibit", books, "--to", whole, "--trials", table, "--format", "svg")
    assert made.exit_code == 0, made.output
    rows = json.loads((whole / "supports.json").read_text("utf-8"))
    assert [row["verdict"] for row in rows] == ["proved", "make a trial"]
    pages = "".join(p.read_text("utf-8") for p in whole.rglob("*.html"))
    assert "proved" in pages
