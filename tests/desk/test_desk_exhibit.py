"""An exhibit made from the desk, as its workshop says: the same bytes as by the command line."""

from dataclasses import replace

from click.testing import CliRunner

from cutfiles.cli import cli
from cutfiles.desk.exhibits import Wish, make_list
from cutfiles.desk.readings import Source
from cutfiles.lists.headers import ColumnMapping

LIST = (
    "No.,Title,Height,Width,Spine,Opens to,Weight\n"
    "A1,Garden calendar,203 mm,133 mm,34 mm,110,400 g\n"
    "A2,Songs,180 mm,120 mm,30 mm,100,300 g\n"
)
FILM = '[[roll]]\ngauge = "5 mil"\nwidth = "610 mm"\nlength = "30 m"\nprice = 9.5\n'
WORKSHOP = 'shelf = "film.toml"\nmemory = "made.json"\nspares = 2\nfold_minutes = 2.5\n'
OPTIONS = ["--longest", "900 mm", "--margin", "15 mm", "--effort", "quick"]


def workshop(folder):
    folder.mkdir()
    for name, text in (("film.toml", FILM), ("workshop.toml", WORKSHOP), ("few.csv", LIST)):
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def plan_of_desk(folder, monkeypatch):
    """Return the plan of a desk that is begun in a folder."""
    plans = []
    monkeypatch.setattr("cutfiles.cli.desk._run", lambda *given: plans.append(given[-1]))
    run = CliRunner().invoke(cli, ["desk", "--folder", str(folder), *OPTIONS])
    assert run.exit_code == 0, run.output
    return replace(plans[0], order=replace(plans[0].order, paper=None))


def files(folder):
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


def test_it_is_made_as_the_workshop_says(tmp_path, monkeypatch):
    """Twice, a support folded in between: film and memory are read anew and kept up."""
    monkeypatch.setenv("CUTFILES_CONFIG", str(tmp_path))
    here, there = workshop(tmp_path / "here"), workshop(tmp_path / "there")
    plan = plan_of_desk(here, monkeypatch)
    source = Source("few.csv", LIST.encode(), ColumnMapping(), plan.order.films)
    way = ["exhibit", str(there / "few.csv"), "--to", str(there / "out"), "--no-cards", *OPTIONS]
    mark = ["--date", "2026-03-02", "--initials", "AB"]
    for _ in range(2):
        wish = Wish(folder=str(here), name="out", spares=plan.spares)
        make_list(print, source, plan, wish)
        run = CliRunner().invoke(cli, [*way, "--name", "out"])
        assert run.exit_code == 0, run.output
        for folder in (here, there):
            run = CliRunner().invoke(cli, ["mark", str(folder / "out"), "folded", "A1", *mark])
            assert run.exit_code == 0, run.output
    made, by_command = files(here), files(there)
    assert b"2.5 min each" in made["out/totals.csv"]
    assert b'"A1"' in made["made.json"]
    assert b"out" in made["film.toml"]
    assert sorted(made) == sorted(by_command)
    assert [name for name, data in by_command.items() if made[name] != data] == []
