"""--open shows the picture that belongs to what was made, and only where that is asked for."""

import os
import shutil
import sys
import time

import pytest
from click.testing import CliRunner
from conftest import SAMPLES

from cutfiles.cli import cli, opening

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="a viewer of this test's own")


@pytest.fixture
def desk(tmp_path, monkeypatch):
    """A desktop whose viewer writes down what it is shown."""
    folder = tmp_path / "bin"
    folder.mkdir()
    viewer, seen = folder / "xdg-open", tmp_path / "seen"
    viewer.write_text(
        f'#!/bin/sh\nprintf "%s\\n" "$@" >> "{seen}.part"\nmv "{seen}.part" "{seen}"\n'
    )
    viewer.chmod(0o755)
    monkeypatch.setenv("PATH", str(folder), prepend=os.pathsep)
    monkeypatch.setenv("DISPLAY", ":7")
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)

    def shown(wait=10.0):
        until = time.monotonic() + wait
        while not seen.exists() and time.monotonic() < until:
            time.sleep(0.02)
        text = seen.read_text() if seen.exists() else ""
        seen.unlink(missing_ok=True)
        return text.splitlines()

    return shown


def run(*words):
    done = CliRunner().invoke(cli, [str(word) for word in words])
    return done.exit_code, done.output


def test_make_shows_the_support_standing(desk, tmp_path):
    make = ("make", SAMPLES / "B2.toml", "--format", "svg", "--no-cards", "--to", tmp_path / "o")
    code, _ = run(*make)
    assert code == 0
    assert desk(wait=0.2) == []
    code, _ = run(*make, "--open")
    assert code == 0
    assert desk() == [str(tmp_path / "o" / "B2.standing.svg")]


def test_a_coupon_and_cards_show_what_is_printed(desk, tmp_path):
    assert run("coupon", "crease", "--to", tmp_path, "--format", "svg", "--open")[0] == 0
    (shown,) = desk()
    assert shown.endswith(".card.pdf")
    assert run("cards", SAMPLES / "B2.toml", "--only", "bench", "--to", tmp_path, "--open")[0] == 0
    assert desk() == [str(tmp_path / "B2.bench.pdf")]


def test_an_exhibit_shows_its_page(desk, tmp_path):
    text = "No.,Title,H,W,Spine,Opens to\nB1,Poems,120 mm,80 mm,20 mm,120°\n"
    (tmp_path / "list.csv").write_text(text, encoding="utf-8")
    words = ("--format", "svg", "--no-cards", "--to", tmp_path / "out", "--open", "--workers", "1")
    code, said = run("exhibit", tmp_path / "list.csv", *words)
    assert code == 0, said
    assert desk() == [str(tmp_path / "out" / "index.html")]


def test_fold_shows_its_page(desk, tmp_path):
    shutil.copy(SAMPLES / "files" / "B2.svg", tmp_path)
    assert run("fold", tmp_path / "B2.svg", "--open")[0] == 0
    assert desk() == [str(tmp_path / "B2.svg.folded.html")]


def test_a_viewer_that_fails_is_told(desk, tmp_path):
    (tmp_path / "bin" / "xdg-open").write_text("#!/bin/sh\nexit 3\n")
    make = ("make", SAMPLES / "B2.toml", "--format", "svg", "--no-cards", "--to", tmp_path / "o")
    code, said = run(*make, "--open")
    assert code == 1
    assert "no program here that shows pictures" in said


def test_without_a_viewer_it_is_refused_and_the_files_stay(tmp_path, monkeypatch):
    make = ("make", SAMPLES / "B2.toml", "--format", "svg", "--no-cards", "--to", tmp_path)
    for name, value in (("DISPLAY", None), ("PATH", "/nowhere")):
        monkeypatch.setenv("DISPLAY", ":7")
        monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
        if value is None:
            monkeypatch.delenv(name)
        else:
            monkeypatch.setenv(name, value)
        code, said = run(*make, "--open")
        assert code == 1
        assert "no program here that shows pictures" in said
        assert "the files are made all the same" in said
        assert (tmp_path / "B2.standing.svg").exists()


def test_several_slips_are_not_all_shown(desk, tmp_path):
    slips = [SAMPLES / "B2.toml", SAMPLES / "P2.toml"]
    code, said = run("make", *slips, "--to", tmp_path, "--open")
    assert code == 2
    assert "--open shows one picture" in said
    assert not [*tmp_path.glob("*.svg")]


def test_the_workshop_opens_in_a_terminal_only(desk, tmp_path, monkeypatch):
    (tmp_path / "workshop.toml").write_text('open = "yes"', encoding="utf-8")
    monkeypatch.setenv("CUTFILES_CONFIG", str(tmp_path))
    make = ("make", SAMPLES / "B2.toml", "--format", "svg", "--no-cards", "--to", tmp_path / "o")
    code, said = run(*make)
    assert code == 0
    assert "workshop: open yes" in said
    assert desk(wait=0.2) == []
    monkeypatch.setattr(opening, "_looked_at", lambda: True)
    assert run(*make)[0] == 0
    assert desk() == [str(tmp_path / "o" / "B2.standing.svg")]


def test_the_guided_run_shows_the_pass_card(desk, tmp_path, monkeypatch):
    words = ("--cutter", "wide-roll-knife", "--format", "svg", "--to", tmp_path / "o")
    assert run("make", SAMPLES / "B2.toml", *words)[0] == 0
    monkeypatch.setattr("cutfiles.cli.cut.at_keyboard", lambda: True)
    plan = tmp_path / "o" / "B2.plan.json"
    assert run("cut", plan)[0] == 1
    assert desk(wait=0.2) == []
    code, said = run("cut", plan, "--open")
    assert code == 1  # nobody answers
    assert "nobody answers here any more" in said
    assert desk() == [str(tmp_path / "o" / "B2.passes.pdf")]
