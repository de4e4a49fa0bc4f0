"""A format that nobody has: a writer, a reader and one row here, and the whole house knows it."""

import pytest
from click.testing import CliRunner
from conftest import SAMPLES

from cutfiles.cli import cli
from cutfiles.files.formats import FORMATS, Format
from cutfiles.files.readers.reading import Reading, facts_in, straight
from cutfiles.machine.formats import Wire
from cutfiles.plane.measure import chords

LIST = "number,units,height,width,spine_width,opening_angle\nT1,mm,203,133,34,120\n"
PROFILE = """\
name = "toy cutter"
kind = "knife"
formats = ["toy"]
[bed]
width = "700 mm"
length = "1500 mm"
origin = "centre"
[score]
method = "perforate"
turn = "never"
[tool]
knife_offset = "machine"
overcut = "machine"
"""


def write_toy(sheet, options):
    """A toy: ``# name: value``, ``ROLE role``, ``GO x y`` (tool up), ``TO x y``, ``BACK``."""
    lines = ["toy", *(f"# {name}: {value}" for name, value in sheet.facts)]
    for stroke in sheet.strokes:
        (x, y), *rest = chords(stroke.path, 0.003)
        lines += [f"ROLE {stroke.role}", f"GO {x:.3f} {y:.3f}"]
        lines += [f"TO {x:.3f} {y:.3f}" for x, y in rest]
        lines += ["BACK"] if stroke.path.closed else []
    return ("\n".join(lines) + "\n").encode()


def read_toy(data):
    paths, facts, run, role = [], [], [], ""
    for line in [*data.decode().splitlines()[1:], "ROLE end"]:
        word, _, rest = line.partition(" ")
        if word in ("ROLE", "BACK") and run:
            paths.append(straight(role, run, closed=word == "BACK"))
            run = []
        if word == "#":
            facts.append(rest)
        elif word == "ROLE":
            role = rest
        elif word in ("GO", "TO"):
            x, y = map(float, rest.split())
            run.append((x, y))
    return Reading(paths=tuple(paths), facts=facts_in(facts))


TOY = Format(
    key="toy",
    suffix=".toy",
    title="Toy",
    step=0.001,
    curve=0.01,
    text="dropped",
    size=False,
    layer=lambda stroke, _: stroke.role.value,
    write=write_toy,
    read=read_toy,
    told=lambda data: data.startswith(b"toy\n"),
    wire=Wire(lift=b"\nHOME\n", up=b"GO"),
)


@pytest.fixture(autouse=True)
def _toy(monkeypatch):
    monkeypatch.setitem(FORMATS, "toy", TOY)


def test_help_tells_it(run):
    for command in ("make", "exhibit"):
        assert "toy" in run(command, "--help")


def test_is_made_verified_and_folded(run, tmp_path):
    slip = SAMPLES / "A1.toml"
    assert "verified   A1.toy" in run("make", slip, "--format", "toy,fold", "--to", tmp_path)
    assert run("verify", tmp_path / "A1.toy", "--slip", slip) == "A1.toy: verified\n"
    (tmp_path / "by-its-bytes").write_bytes((tmp_path / "A1.toy").read_bytes())
    assert "verified" in run("verify", tmp_path / "by-its-bytes", "--slip", slip)
    assert "folds" in run("fold", tmp_path / "A1.toy", "--check").lower()


def test_damage_is_named(run, tmp_path):
    slip = SAMPLES / "A1.toml"
    run("make", slip, "--format", "toy", "--to", tmp_path)
    file = tmp_path / "A1.toy"
    file.write_bytes(file.read_bytes().replace(b"ROLE score-valley", b"ROLE score-mountain", 1))
    done = CliRunner().invoke(cli, ["verify", str(file), "--slip", str(slip)])
    assert done.exit_code == 1
    assert "should be on layer score-valley" in done.output
    assert CliRunner().invoke(cli, ["fold", str(file), "--check"]).exit_code == 1


def test_a_cutter_takes_it_and_it_is_sent(run, tmp_path):
    slip, profile, out = SAMPLES / "A1.toml", tmp_path / "toy.toml", tmp_path / "out"
    profile.write_text(PROFILE, encoding="utf-8")
    run("cutters", "check", profile)
    run("make", slip, "--cutter", profile, "--to", out)
    file = out / "A1.face-a.toy"
    run("verify", file, "--slip", slip, "--cutter", profile)
    run("send", file, "--cutter", profile, "--to", f"file:{tmp_path / 'sent'}")
    assert (tmp_path / "sent").read_bytes() == file.read_bytes()


def test_an_exhibit_has_it(run, tmp_path):
    (tmp_path / "show.csv").write_text(LIST, encoding="utf-8")
    out = tmp_path / "out"
    run("exhibit", tmp_path / "show.csv", "--format", "toy", "--to", out, "--workers", 1)
    assert (out / "supports" / "T1.toy").read_bytes().startswith(b"toy\n")
    assert (out / "sheets" / "sheet-001.toy").exists()
