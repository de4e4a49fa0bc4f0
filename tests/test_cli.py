"""The command line as users meet it: what it prints, writes and refuses."""

import json
import os
import subprocess
import sys

import pytest
from click.testing import CliRunner
from conftest import SAMPLES

from cutfiles.bench.fields import FIELDS
from cutfiles.cli import cli

FILES = SAMPLES / "files"
BOOK = [
    "--number",
    "A1",
    "--units",
    "mm",
    "--height",
    "203",
    "--width",
    "133",
    "--spine-width",
    "34",
    "--opening-angle",
    "120",
]

PICTURES = ["standing", "flat", "folded", "folded-page", "bench"]


def run(*args):
    return CliRunner().invoke(cli, [str(a) for a in args])


def test_make_prints_a_table_and_writes_the_files(tmp_path):
    result = run("make", SAMPLES / "A1.toml", "--to", tmp_path)
    assert result.exit_code == 0
    assert "674.7 mm long, 217.0 mm broad" in result.output
    assert "left board panel 130.0" in result.output
    assert "left apex" in result.output
    assert "120.0°  mountain" in result.output
    assert result.output.count("verified") == 6
    names = {path.name for path in tmp_path.iterdir()}
    assert names == {
        "A1.svg",
        "A1.r12.dxf",
        "A1.r2000.dxf",
        "A1.pdf",
        "A1.hpgl",
        "A1.standing.svg",
        "A1.flat.svg",
        "A1.bench.pdf",
        "A1.json",
        "A1.fold",
        "A1.folded.svg",
        "A1.folded.html",
    }
    assert "folds      into its support: left apex 65.3" in result.output


def test_json_has_the_documented_keys(tmp_path):
    result = run("make", SAMPLES / "F3.toml", "--to", tmp_path, "--json")
    data = json.loads(result.stdout)
    for key in (
        "number",
        "units",
        "panels_mm",
        "creases",
        "piece_mm",
        "layers",
        "gauge_mm",
        "files",
        "findings",
    ):
        assert key in data
    assert data["units"] == "in"
    assert set(data["panels_mm"][0]) == {"name", "length"}
    assert set(data["creases"][0]) == {"name", "position_mm", "angle_deg", "direction"}
    assert sum(p["length"] for p in data["panels_mm"]) == pytest.approx(
        data["piece_mm"][0], abs=1e-3
    )
    assert sum(c["angle_deg"] for c in data["creases"]) == pytest.approx(-360)
    import hashlib

    for file in data["files"]:
        from pathlib import Path

        assert hashlib.sha256(Path(file["path"]).read_bytes()).hexdigest() == file["sha256"]
        assert file["verified"] is (None if file["format"] in PICTURES else True)


def test_several_slips_as_json_and_one_refused(tmp_path):
    bad = tmp_path / "bad.toml"
    bad.write_text('number = "Z"\nheight = "tall"\n', encoding="utf-8")
    result = CliRunner().invoke(
        cli,
        [
            "make",
            str(SAMPLES / "A1.toml"),
            str(bad),
            str(SAMPLES / "B2.toml"),
            "--json",
            "--to",
            str(tmp_path / "out"),
        ],
    )
    assert result.exit_code == 1
    data = json.loads(result.stdout)
    assert [entry.get("number") for entry in data] == ["A1", None, "B2"]
    fault = data[1]["refused"][0]
    assert fault["place"] == "slip bad.toml, height"
    assert fault["found"] == '"tall"'
    assert "slip bad.toml, height" in result.stderr
    assert not list((tmp_path / "out").glob("Z*"))


def test_options_instead_of_a_slip(tmp_path):
    result = run(
        "make",
        *BOOK,
        "--gauge",
        "3 mil",
        "--layers",
        "1",
        "--to",
        tmp_path,
        "--format",
        "svg",
        "--json",
    )
    data = json.loads(result.output)
    assert (data["layers"], data["gauge_mm"]) == (1, 0.0762)
    assert [f["format"] for f in data["files"]] == ["svg", *PICTURES]


def test_faults_name_the_options():
    result = run("make", "--number", "A1", "--height", "203", "--left-rise", "-4 mm")
    assert result.exit_code == 1
    assert 'option --height: found "203"; a bare number needs units' in result.output
    assert 'option --left-rise: found "-4 mm"' in result.output


@pytest.mark.parametrize(
    ("args", "message"),
    [
        (["make"], "Usage"),
        (["make", "--to", "x"], "name a slip"),
        (["make", str(SAMPLES / "A1.toml"), "--height", "3 mm"], "--height describes a book"),
        (["make", *BOOK, "--format", "dwg"], '"dwg" is no format'),
        (["make", *BOOK, "--bed", "600"], "a bed is width x height"),
        (["make", *BOOK, "--bed", "600x400"], "and a unit"),
        (["make", *BOOK, "--pen", "blade=1"], "cut-outline"),
        (["make", *BOOK, "--pen", "label=9"], "0 to 8"),
        (["make", "--colour", "red"], "No such option"),
        (["verify"], "Usage"),
        (["slip", "--units", "ell"], "mm, cm or in"),
    ],
)
def test_wrong_usage_exits_2(args, message):
    result = run(*args)
    assert result.exit_code == 2
    assert message in result.output


def test_formats_by_name_group_and_comma(tmp_path):
    run("make", *BOOK, "--format", "svg,pdf", "--format", "dxf", "--to", tmp_path)
    assert {p.name for p in tmp_path.glob("*")} == {
        "A1.svg",
        "A1.pdf",
        "A1.r12.dxf",
        "A1.r2000.dxf",
        "A1.standing.svg",
        "A1.flat.svg",
        "A1.bench.pdf",
        "A1.json",
        "A1.folded.svg",
        "A1.folded.html",
    }


def test_bed_and_range(tmp_path):
    small = run("make", *BOOK, "--bed", "600x400 mm", "--to", tmp_path)
    assert small.exit_code == 1
    assert "a piece of 676.6 × 217.0 mm; the bed holds 600.0 × 400.0 mm" in small.output
    assert run("make", *BOOK, "--bed", "27 in x 24 in", "--to", tmp_path).exit_code == 0
    named = run("make", SAMPLES / "D1.toml", "--format", "hpgl", "--to", tmp_path)
    assert named.exit_code == 1
    assert "1048.5 × 184.0 mm" in named.output
    assert not list(tmp_path.glob("D1*"))
    usual = run("make", SAMPLES / "D1.toml", "--to", tmp_path)
    assert usual.exit_code == 0
    assert "not made: D1.hpgl" in usual.output
    assert (
        run("make", SAMPLES / "D1.toml", "--hpgl-range", "60000", "--to", tmp_path).exit_code == 0
    )
    assert (tmp_path / "D1.hpgl").exists()


def test_png_on_request(tmp_path):
    run("make", SAMPLES / "B1.toml", "--png", "--to", tmp_path, "--format", "svg")
    for kind in ("standing", "flat", "folded"):
        assert (tmp_path / f"B1.{kind}.png").read_bytes()[:8] == b"\x89PNG\r\n\x1a\n"


def test_verify(tmp_path):
    run("make", SAMPLES / "A1.toml", "--to", tmp_path)
    files = [
        tmp_path / f"A1{s}" for s in (".svg", ".r12.dxf", ".r2000.dxf", ".pdf", ".hpgl", ".fold")
    ]
    good = run("verify", *files, "--slip", SAMPLES / "A1.toml")
    assert good.exit_code == 0
    assert good.output.count(": verified") == 6
    bad = run("verify", tmp_path / "A1.svg", "--slip", SAMPLES / "B1.toml")
    assert bad.exit_code == 1
    assert "A1.svg: different" in bad.output
    assert 'this is the file of "A1"; the slip is of "B1"' in bad.output
    assert "  and " not in bad.output
    assert "do not cut" in bad.output
    none = run("verify", tmp_path / "none.svg", "--slip", SAMPLES / "A1.toml")
    assert none.exit_code == 1
    assert "no such file" in none.output


def test_verify_knows_other_pens(tmp_path):
    pens = ["--pen", "score-valley=5"]
    run("make", SAMPLES / "A1.toml", "--to", tmp_path, *pens)
    file = tmp_path / "A1.hpgl"
    assert run("verify", file, "--slip", SAMPLES / "A1.toml", *pens).exit_code == 0
    assert run("verify", file, "--slip", SAMPLES / "A1.toml").exit_code == 1


def test_slip_command(tmp_path):
    assert run("slip").output.startswith("# Measuring slip")
    path = tmp_path / "A1.toml"
    made = run("slip", path, *BOOK, "--gauge", "3 mil")
    assert made.exit_code == 0
    assert run("make", path, "--to", tmp_path / "out").exit_code == 0
    again = run("slip", path)
    assert again.exit_code == 1
    assert "a file that exists" in again.output


def test_two_slips_with_one_number(tmp_path):
    other = tmp_path / "copy.toml"
    other.write_bytes((SAMPLES / "A1.toml").read_bytes())
    result = run("make", SAMPLES / "A1.toml", other, "--to", tmp_path / "out")
    assert result.exit_code == 1
    assert 'the number "A1", which slip A1.toml has too' in result.output


def test_help_teaches():
    text = run("make", "--help").output
    for one in FIELDS:
        assert f"--{one.name.replace('_', '-')}" in text
    assert "free hand out of the blade" in text
    assert "cutfiles make A1.toml" in text
    assert "extraction on" in run("--help").output
    for command in ([], ["make"], ["verify"], ["slip"]):
        shown = run(*command, "--help").output
        assert "\\b" not in shown
        assert "\n  cutfiles " in shown  # examples stand on lines of their own


def test_three_lines_of_python(tmp_path):
    code = (
        "from cutfiles import deliver, make, read_slip\n"
        f"made = make(read_slip({str(SAMPLES / 'A1.toml')!r}))\n"
        f"print(len(deliver(made, {str(tmp_path)!r}).files))\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "12\n"


def test_public_names_are_there():
    import cutfiles

    for name in dir(cutfiles):
        assert getattr(cutfiles, name) is not None
    with pytest.raises(AttributeError, match="nothing_such"):
        _ = cutfiles.nothing_such


def test_verify_without_slip_and_record_says_what_it_needs(tmp_path):
    file = tmp_path / "A1.svg"
    file.write_bytes((FILES / "A1.svg").read_bytes())
    result = run("verify", file)
    assert result.exit_code == 1
    assert "a file without a record, and no slip" in result.output
    assert "cutfiles verify A1.svg --slip SLIP" in result.output


def test_verify_goes_on_after_a_file_it_cannot_read(tmp_path):
    (tmp_path / "half.svg").write_bytes((FILES / "A1.svg").read_bytes()[:900])
    bad = [tmp_path / "half.svg", tmp_path / "none.svg", tmp_path]
    result = run("verify", *bad, FILES / "A1.svg", "--slip", SAMPLES / "A1.toml")
    assert result.exit_code == 1
    assert "half.svg: found text that is no XML" in result.output
    assert "none.svg: found no such file" in result.output
    assert f"{tmp_path}: found a folder" in result.output
    assert "A1.svg: verified" in result.output


def test_verify_lists_only_so_many_lines_of_another_support(tmp_path):
    file = tmp_path / "A1.svg"  # of the same number, once F3's
    file.write_bytes((FILES / "A1.svg").read_bytes().replace(b"number: A1", b"number: F3"))
    result = run("verify", file, "--slip", SAMPLES / "F3.toml")
    assert result.exit_code == 1
    lines = result.output.splitlines()
    assert len(lines) < 35
    more = next(line for line in lines if line.startswith("  and "))
    assert int(more.split()[1]) > 20


def test_a_slip_that_is_a_folder():
    result = run("make", SAMPLES)
    assert result.exit_code == 1
    assert "slip samples: found a folder; " in result.output


def test_bed_without_a_unit_is_told_how_to_write_it():
    result = run("make", *BOOK, "--bed", "600x400")
    assert result.exit_code == 2
    assert '"600x400"' in result.output
    assert "slip" not in result.output.partition("Error")[2]
    assert '"600x400 mm"' in result.output


def test_full_output_is_refused_without_a_traceback(tmp_path):
    if not os.path.exists("/dev/full"):
        pytest.skip("no /dev/full here")
    command = [sys.executable, "-m", "cutfiles", "make", *BOOK, "--to", tmp_path]
    with open("/dev/full", "w") as full:
        done = subprocess.run(command, stdout=full, stderr=subprocess.PIPE, text=True, check=False)
    assert done.returncode == 1
    assert "Traceback" not in done.stderr
    assert "no space left on device" in done.stderr.lower()


def test_slip_refuses_values_that_no_slip_could_hold(tmp_path):
    path = tmp_path / "A1.toml"
    done = run("slip", path, "--height", "abc", "--left-slope", "95", "--number", "A1")
    assert done.exit_code == 1
    assert 'option --height: found "abc"' in done.output
    assert 'option --left-slope: found "95"' in done.output
    assert not path.exists()


def test_fold_goes_on_after_a_file_it_cannot_read(tmp_path):
    run("make", SAMPLES / "B2.toml", "--format", "svg", "--no-cards", "--to", tmp_path)
    none = tmp_path / "none.svg"
    done = run("fold", none, tmp_path / "B2.svg", "--json", "--check")
    assert done.exit_code == 1
    refused, proved = json.loads(done.stdout)
    assert refused["refused"][0]["found"]
    assert proved["folds"] is True
    page = run("fold", tmp_path / "B2.svg")
    assert page.exit_code == 0
    assert "left leg off the upright" in page.output
    assert (tmp_path / "B2.svg.folded.html").exists()
