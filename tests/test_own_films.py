"""A slip that names a film of an own table: the table can be given wherever the slip is read."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from cutfiles import check_table, draft_of, read_films, slip_from
from cutfiles.cli import cli
from cutfiles.report.pictures.standing import standing_picture
from cutfiles.words.verdict import sentence

SAMPLE = Path(__file__).parents[1] / "samples" / "A1.toml"


@pytest.mark.parametrize(
    "words",
    [
        ["make", "{slip}", "--to", "{to}"],
        ["check", "{slip}"],
        ["cards", "{slip}", "--to", "{to}", "--only", "profile"],
        ["verify", "{files}/A1.svg", "--slip", "{slip}"],
        ["fold", "{files}/A1.svg", "--slip", "{slip}", "--check"],
    ],
)
def test_own_table_wherever_a_slip_is_read(words: list[str], tmp_path: Path) -> None:
    run = CliRunner().invoke
    films, slip = tmp_path / "ours.toml", tmp_path / "A1.toml"
    films.write_text(run(cli, ["films", "--blank"]).output, "utf-8")
    text = SAMPLE.read_text("utf-8")
    assert "[support]" not in text.splitlines()
    slip.write_text(text + '\n[support]\nfilm = "flat sheets 5 mil"\n', "utf-8")
    table = ["--films", str(films)]
    done = run(cli, ["make", str(slip), "--to", str(tmp_path / "made"), "--format", "svg", *table])
    assert done.exit_code == 0, done.output
    places = {"slip": slip, "to": tmp_path / "out", "files": tmp_path / "made"}
    given = [word.format(**places) for word in words]
    refused = run(cli, given)
    assert refused.exit_code == 1
    assert "--films" in refused.output
    result = run(cli, [*given, *table])
    assert "no such option" not in result.output.lower()
    if words[0] != "check":  # whose verdict on this book is another matter
        assert result.exit_code == 0, result.output


def test_of_two_films_of_one_gauge_it_is_told_which(tmp_path: Path) -> None:
    """On the terminal, on cards and in pictures: the softer one carries less."""
    text = "".join(
        f'[[film]]\nname = "{name}"\ngauge = "5 mil"\nmodulus = {modulus}\n'
        for name, modulus in (("stiff sheets", 4500), ("soft sheets", 2500))
    )
    (tmp_path / "films.toml").write_text(text, encoding="utf-8")
    films = read_films(str(tmp_path / "films.toml")).kinds
    book = {"number": "U1", "units": "mm", "height": 215, "width": 140, "spine_width": 32}
    book |= {"left_rise": 65, "right_rise": 70, "weight": "1100 g"}
    for wanted in ("stiff sheets", "soft sheets"):
        draft = draft_of(slip_from({**book, "support": {"film": wanted}}, "slip", films))
        said = f'5 mil ("{wanted}")'
        assert said in check_table(draft)
        assert said in sentence(draft.verdict, draft.slip)
        assert wanted in standing_picture(draft.support).decode()
