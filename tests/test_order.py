"""One order for command line, exhibit and Python; options told once, under headings, 80 wide."""

import json
from dataclasses import replace

import click
import pytest
from click.testing import CliRunner
from conftest import SAMPLES

from cutfiles.bench.slip import read_slip
from cutfiles.cli import COMMANDS, cli
from cutfiles.cli.grouped import GROUPS, GroupedOption
from cutfiles.cli.options import OPTIONS
from cutfiles.errors import DesignError, SlipError
from cutfiles.job.make import make, make_cards
from cutfiles.job.order import Order
from cutfiles.job.trial import trials_at
from cutfiles.machine.profile.read import find_cutter

HEAD = "number,units,height,width,spine_width,opening_angle,weight,coating\n"
SOUND = "T1,mm,203,133,34,120,500,uncoated\n"
HEAVY = "T2,mm,203,133,34,120,2500,uncoated\n"
COATED = "T3,mm,203,133,34,120,500,coated\n"


def run(*words):
    return CliRunner().invoke(cli, [str(word) for word in words])


def commands():
    return [name for name in COMMANDS if name != "cutters"]


@pytest.mark.parametrize("name", [*COMMANDS, ""])
def test_help_is_narrow(name):
    done = CliRunner().invoke(cli, [*([name] if name else []), "--help"], env={"COLUMNS": "200"})
    assert done.exit_code == 0
    assert [line for line in done.output.split("\n") if len(line) > 80] == []


@pytest.mark.parametrize("name", commands())
def test_an_option_is_told_once(name):
    """What stands in the table no command tells anew: only under the same heading, one way."""
    of_slips = ("--units",) if name in ("slip", "make", "check") else ()
    for param in cli.get_command(click.Context(cli), name).params:
        shared = OPTIONS.get(param.opts[0])
        if shared is not None and param.opts[0] not in of_slips:
            assert isinstance(param, GroupedOption)
            assert param.group == shared.group
            assert tuple(param.opts) == shared.names[:1]


def test_headings_in_their_order():
    text = run("exhibit", "--help").output
    places = [text.index(f"{group}:") for group in GROUPS if f"{group}:" in text]
    assert len(places) == 3
    assert places == sorted(places)
    text = run("make", "--help").output
    places = [text.index(f"{group}:") for group in GROUPS[:4]]
    assert places == sorted(places)


def test_order_by_names_or_as_one():
    slip = read_slip(SAMPLES / "A1.toml")
    order = Order(formats=("svg",), paper=None)
    assert make(slip, order) == make(slip, formats=("svg",), paper=None)
    assert make(slip, order, formats=("pdf",)).files[0].name == "A1.pdf"
    assert Order(cutter=find_cutter("laser"), machine="knife").kind == "laser"
    assert Order(cutter=find_cutter("laser")).drawn.method == find_cutter("laser").method
    with pytest.raises(TypeError, match="colour"):
        make(slip, colour="red")


def test_sheets_heed_the_order(by_hand):
    from cutfiles.bench.slip import slip_from

    coated = slip_from({**by_hand, "support": {**by_hand["support"], "coating": "coated"}})
    with pytest.raises(DesignError, match="a coated film"):
        make_cards(coated, ("bench",), machine="laser")
    odd = read_slip(SAMPLES / "A1.toml")
    plain, laser = (make_cards(odd, ("bench",), machine=m).files[0] for m in ("knife", "laser"))
    assert plain.data != laser.data


@pytest.fixture
def shown(tmp_path):
    def shown(rows, *more):
        (tmp_path / "show.csv").write_text(HEAD + rows, encoding="utf-8")
        common = ("--format", "svg", "--no-cards", "--workers", 1, "--json", *more)
        done = run("exhibit", tmp_path / "show.csv", "--to", tmp_path / "out", *common)
        return json.loads(done.stdout)["supports"]

    return shown


def test_exhibit_makes_a_heavy_book_only_anyway(shown):
    [refused] = shown(HEAVY)
    assert refused["made"] is False
    [made] = shown(HEAVY, "--anyway")
    assert made["made"]
    [again] = shown(HEAVY)  # what was made for a trial does not count as made
    assert again["made"] is False


def test_exhibit_is_strict(shown):
    odd = SOUND.replace("120", "100").replace(",500", ",5")
    [asked] = shown(odd)
    assert asked["made"]
    assert make_asks(odd)
    [refused] = shown(odd, "--strict")
    assert refused["made"] is False


def make_asks(row):
    """Whether the slip in this row raises a question, told by the one slip itself."""
    from cutfiles.bench.slip import slip_from

    names, values = HEAD.strip().split(","), row.strip().split(",")
    flat = dict(zip(names, values, strict=True))
    support = {"coating": flat.pop("coating")}
    slip = slip_from({**flat, "support": support})
    with pytest.raises(SlipError):
        make(slip, strict=True)
    return True


def test_exhibit_knows_the_films_at_hand(shown, tmp_path):
    films = tmp_path / "films.toml"
    films.write_text('[[film]]\nname = "odd one"\ngauge = "6.2 mil"\n', encoding="utf-8")
    usual = shown(SOUND)
    [ours] = shown(SOUND, "--films", films)
    assert ours["verdict"]
    assert json.dumps(ours) != json.dumps(usual[0])


def test_exhibit_tells_a_laser(shown):
    [support] = shown(COATED)
    assert support["made"]
    [support] = shown(COATED, "--machine", "laser")
    assert support["made"] is False


def test_exhibit_draws_pictures_as_png(shown, tmp_path):
    shown(SOUND, "--png")
    assert (tmp_path / "out" / "supports" / "T1.flat.png").exists()


def test_films_at_hand_count_for_one_support_too():
    from cutfiles.bench.films import films_from

    slip = read_slip(SAMPLES / "A1.toml")
    kinds = films_from({"film": [{"name": "odd one", "gauge": "6.2 mil"}]}).kinds
    said = make(slip, formats=["svg"], films=kinds, paper=None).draft.verdict.ways
    assert {one.way.film.name for one in said} == {"odd one"}


def test_drawings_for_people_take_the_cutters_pens_and_range():
    cutter = find_cutter("wide-roll-knife")
    drawn = Order(cutter=replace(cutter, pens={"score-valley": 5})).drawn
    assert drawn.pens["score-valley"] == 5
    assert drawn.hpgl_range == cutter.bed.range_most == 64000


def test_a_file_is_checked_as_it_was_made(tmp_path, monkeypatch):
    """Film and construction left open are chosen with trials: all commands choose alike."""
    from cutfiles.job import order as job_order

    seen = []
    real = job_order.draft_of

    def spied(slip, trials=()):
        seen.append(tuple(trials))
        return real(slip, trials)

    monkeypatch.setattr(job_order, "draft_of", spied)
    trials = tmp_path / "trials.csv"
    slip, to = SAMPLES / "A1.toml", ("--to", tmp_path)
    record = ("--weight", "600 g", "--hours", "24", "--ended", "stood", "--trials", trials)
    assert run("trial", slip, *record).exit_code == 0
    real_trials = trials_at(trials)
    assert real_trials
    with_trials = ("--trials", trials)
    assert run("make", slip, *to, *with_trials, "--format", "svg").exit_code == 0
    for words in (
        ("cards", slip, *to, "--only", "labels"),
        ("verify", tmp_path / "A1.svg", "--slip", slip),
        ("fold", tmp_path / "A1.svg", "--slip", slip, "--check"),
    ):
        seen.clear()
        done = run(*words, *with_trials)
        assert done.exit_code == 0, done.output
        assert seen[0] == real_trials, words


def test_fold_replaces_a_foreign_page_when_asked(tmp_path):
    page = tmp_path / "A1.svg.folded.html"
    page.write_text("mine")
    words = ("fold", SAMPLES / "files" / "A1.svg", "--to", tmp_path)
    done = run(*words)
    assert done.exit_code == 1
    assert "give --replace" in done.output
    assert page.read_text() == "mine"
    assert run(*words, "--replace").exit_code == 0
    assert page.read_text() != "mine"
