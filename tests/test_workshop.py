"""A workshop said once: what goes before what, what a file beside a list may not say, all told."""

import json
import shutil

import pytest
from click.testing import CliRunner
from conftest import ROOT, SAMPLES

from cutfiles import CutfilesError, read_workshop
from cutfiles.cli import cli
from cutfiles.job.workshop import FIELDS, OWN, blank_workshop

PROFILES = ROOT / "cutfiles" / "machine" / "profile" / "examples"


@pytest.fixture
def shop(tmp_path, monkeypatch):
    """Return a function that writes the user's own file and one beside the slips."""
    own, slips = tmp_path / "own", tmp_path / "slips"
    own.mkdir()
    slips.mkdir()
    monkeypatch.setenv("CUTFILES_CONFIG", str(own))
    shutil.copy(SAMPLES / "A1.toml", slips)

    def write(mine="", beside=""):
        for folder, text in ((own, mine), (slips, beside)):
            if text:
                (folder / "workshop.toml").write_text(text, encoding="utf-8")
        return own, slips

    return write


def said(*words):
    done = CliRunner().invoke(cli, [str(word) for word in words])
    return done.exit_code, done.output, done.stdout


def test_no_test_reads_what_the_user_of_this_machine_said():
    assert "nobody" in read_workshop().own
    assert read_workshop(ROOT).values == {}


def test_an_option_goes_before_the_file_beside_which_goes_before_the_own(shop):
    own, slips = shop('paper = "A4"\nmachine = "laser"', 'paper = "Letter"')
    here = read_workshop(slips)
    assert here.values == {"machine": "laser", "paper": "Letter"}
    assert here.sources["paper"] == str(slips / "workshop.toml")
    assert here.sources["machine"] == str(own / "workshop.toml")
    assert here.order().paper == "Letter"
    assert here.order(paper="A4").paper == "A4"
    to = slips.parent / "out"
    words = ("make", slips / "A1.toml", "--to", to, "--format", "svg", "--json")
    code, _, out = said(*words)
    assert code == 0
    assert json.loads(out)["workshop"] == {
        "machine": {"value": "laser", "from": str(own / "workshop.toml")},
        "paper": {"value": "Letter", "from": str(slips / "workshop.toml")},
    }
    assert "792" in _media_box((to / "A1.bench.pdf").read_bytes())  # Letter is 612 × 792 points
    code, _, out = said(*words, "--paper", "A4", "--machine", "knife")
    assert json.loads(out)["workshop"] == {}
    assert "841" in _media_box((to / "A1.bench.pdf").read_bytes())
    code, _, out = said(*words, "--no-workshop")
    assert json.loads(out)["workshop"] == {}


def _media_box(pdf):
    return str(pdf[pdf.index(b"/MediaBox") :][:60])


def test_where_things_go_is_said_in_the_own_file_only(shop):
    own, slips = shop(
        'folder = "mine"', 'folder = "theirs"\nline = "tcp:192.0.2.9:9100"\nflow = "none"'
    )
    here = read_workshop(slips)
    assert here.values == {"folder": str(own / "mine")}
    assert set(here.left) == {"folder", "line", "flow"} < OWN
    code, out, _ = said("make", slips / "A1.toml", "--format", "svg", "--no-cards")
    assert code == 0
    assert f"not taken: folder, line, flow in {slips / 'workshop.toml'}" in out
    assert (own / "mine" / "A1.svg").exists()
    assert not (slips / "theirs").exists()
    code, out, _ = said("workshop", slips / "A1.toml")
    assert code == 0
    assert "not taken: folder, line, flow" in out
    assert f"folder    {own / 'mine'}; no such file  (from your own)" not in out


def test_a_file_beside_a_list_names_nothing_to_write_outside_of_its_folder(shop, tmp_path):
    own, slips = shop(
        "", 'trials = "../trials.csv"\nshelf = "/tmp/shelf.toml"\nfilms = "../f.toml"'
    )
    here = read_workshop(slips)
    assert set(here.left) == {"trials", "shelf"}
    assert set(here.values) == {"films"}  # it is only read
    stood = ("--weight", "962 g", "--hours", "24", "--ended", "stood")
    code, out, _ = said("trial", slips / "A1.toml", *stood)
    assert code == 2
    assert "--trials names the table" in out
    assert not (tmp_path / "trials.csv").exists()
    (slips / "inside").mkdir()
    (slips / "workshop.toml").write_text('trials = "inside/trials.csv"', encoding="utf-8")
    assert read_workshop(slips).values == {"trials": str(slips / "inside" / "trials.csv")}
    (slips / "inside").rmdir()
    (slips / "inside").symlink_to(tmp_path)
    assert set(read_workshop(slips).left) == {"trials"}
    (own / "workshop.toml").write_text('trials = "../trials.csv"', encoding="utf-8")
    assert read_workshop(slips).values == {"trials": str(own / ".." / "trials.csv")}


def test_a_cutter_beside_the_slips_is_found_from_its_own_folder(shop):
    _, slips = shop("", 'cutter = "knife.toml"')
    shutil.copy(PROFILES / "wide-roll-knife.toml", slips / "knife.toml")
    code, out, _ = said("check", slips / "A1.toml")
    assert code == 0
    assert out.startswith(f"workshop: cutter {slips / 'knife.toml'} (from {slips}")
    assert read_workshop(slips).order().cutter.name == "wide roll knife"
    code, out, _ = said("make", slips / "A1.toml", "--bed", "900x900 mm", "--to", slips / "out")
    assert code == 0, out  # who names a bed wants no other machine
    assert not [*(slips / "out").glob("*.plan.json")]


def test_a_packaged_cutter_is_no_file(shop):
    _, slips = shop('cutter = "laser"')
    assert read_workshop(slips).values["cutter"] == "laser"
    assert read_workshop(slips).order().kind == "laser"


def test_slips_beside_different_files_are_not_made_together(shop, tmp_path):
    _, slips = shop("", 'paper = "Letter"')
    shutil.copy(SAMPLES / "A2.toml", tmp_path)
    code, out, _ = said("check", slips / "A1.toml", tmp_path / "A2.toml")
    assert code == 2
    assert "different workshop files" in out
    shutil.copy(slips / "workshop.toml", tmp_path)
    code, out, _ = said("check", slips / "A1.toml", tmp_path / "A2.toml")
    assert code == 2  # they say the same, but each says it of its own


BARE = 'number = "B1"\nheight = 8\nwidth = 5.25\nspine_width = 1.3\nopening_angle = "120°"\n'


def test_bare_numbers_of_slips_count_in_the_unit_of_the_workshop(shop):
    _, slips = shop('units = "in"')
    (slips / "B1.toml").write_text(BARE, encoding="utf-8")
    code, out, stdout = said("check", slips / "B1.toml", "--json")
    assert code == 0, out
    assert json.loads(stdout)["units"] == "in"
    assert json.loads(stdout)["workshop"]["units"]["value"] == "in"
    code, out, _ = said("check", slips / "B1.toml", "--no-workshop")
    assert code == 1
    code, out, stdout = said("check", slips / "A1.toml", "--json")
    assert json.loads(stdout)["units"] == "mm"  # its own word goes first
    measures = ["--number", "B1", "--height", "8", "--width", "5.25", "--spine-width", "1.3"]
    code, out, _ = said("check", *measures, "--opening-angle", "120")
    assert code == 0, out
    code, out, stdout = said("slip")
    assert 'units = "in"' in stdout
    assert "workshop:" not in stdout


def test_a_list_from_elsewhere_knows_its_unit_itself(shop):
    _, slips = shop('units = "in"')
    text = "No.,Title,H,W,Spine,Opens to\nB1,Poems,8,5.25,1.3,120°\n"
    (slips / "list.csv").write_text(text, encoding="utf-8")
    code, out, _ = said("list", slips / "list.csv")
    assert code == 1
    assert "0 can be made, 1 refused" in out
    (slips / "workshop.toml").write_text('units = "in"', encoding="utf-8")
    code, out, _ = said("list", slips / "list.csv")
    assert code == 0
    assert out.startswith(f"workshop: units in (from {slips}") or "units in" in out.split("\n")[0]


def test_all_faults_are_told_with_what_was_meant(shop):
    _, slips = shop('cuter = "laser"\npaper = "A5"\nline = "usb"\nspares = 50\nbaud = "fast"')
    with pytest.raises(CutfilesError) as refused:
        read_workshop(slips)
    assert len(refused.value.faults) == 5
    code, out, _ = said("check", slips / "A1.toml")
    assert code == 1
    for needed in ('did you mean "cutter"?', "A4", "tcp:HOST:PORT", "from 0 to 20", "fast"):
        assert needed in out
    code, out, _ = said("check", "--help")
    assert code == 0  # help is told whatever the files say


def test_no_toml_is_refused_with_its_line(shop):
    _, slips = shop("", "paper = Letter")
    code, out, _ = said("check", slips / "A1.toml")
    assert code == 1
    assert "line 1" in out
    assert "cutfiles workshop --blank" in out


def test_the_blank_file_reads_back_whole(shop):
    text = blank_workshop()
    _, slips = shop(text, text)
    assert read_workshop(slips).values == {}
    lines = text.split("\n")
    filled = [line.removeprefix("# ") if '= "' in line else line for line in lines]
    _, slips = shop("\n".join(filled), "\n")
    found = read_workshop(slips)
    assert list(found.values) == [one.name for one in FIELDS]
    assert not found.left


def test_trials_and_films_reach_their_commands(shop):
    own, slips = shop('trials = "trials.csv"\nfilms = "films.toml"')
    film = '[[film]]\nname = "clear"\ngauge = "7 mil"\nmodulus = 4500\n'
    (own / "films.toml").write_text(film, encoding="utf-8")
    code, out, _ = said("check", slips / "A1.toml")
    assert code == 0, out
    assert f"no trials yet: {own / 'trials.csv'} is not there" in out
    code, out, _ = said(
        *("trial", "--coupon", "post", "--measured", "5 mil", "--weight", "810 g"),
        *("--ended", "stood"),
    )
    assert code == 0, out
    assert (own / "trials.csv").exists()
    code, out, _ = said("check", slips / "A1.toml")
    assert f"films {own / 'films.toml'}, trials {own / 'trials.csv'}" in out
    code, out, stdout = said("films", "--json")
    assert [one["name"] for one in json.loads(stdout)] == ["clear"]
    assert f"films {own / 'films.toml'}" in out


LIST = "No.,Title,H,W,Spine,Opens to\nB1,Poems,203 mm,133 mm,34 mm,120°\n"


def test_an_exhibit_takes_spares_shelf_and_a_folder_of_its_own(shop):
    own, slips = shop('spares = 2\nfolder = "out"\nshelf = "shelf.toml"', 'paper = "Letter"')
    (slips / "poems.csv").write_text(LIST, encoding="utf-8")
    roll = "\n".join(
        f'[[roll]]\nname = "roll {mil}"\ngauge = "{mil} mil"\nwidth = "900 mm"'
        for mil in (3, 5, 7, 10)
    )
    (own / "shelf.toml").write_text(roll, encoding="utf-8")
    code, _, stdout = said("exhibit", slips / "poems.csv", "--json", "--format", "svg")
    assert code == 0
    told = json.loads(stdout)
    assert told["workshop"]["spares"]["value"] == "2"
    assert told["workshop"]["paper"]["from"] == str(slips / "workshop.toml")
    assert told["supports"][0]["copies"] == 3
    assert (own / "out" / "poems" / "index.html").exists()
    assert "poems" in (own / "shelf.toml").read_text(encoding="utf-8")


def test_python_asks_the_same(shop):
    _, slips = shop('paper = "Letter"\ntrials = "none.csv"\nfilms = "none.toml"')
    with pytest.raises(CutfilesError, match=r"none\.toml"):
        read_workshop(slips).order()
    order = read_workshop(slips).order(films=())
    assert (order.paper, order.trials) == ("Letter", ())
