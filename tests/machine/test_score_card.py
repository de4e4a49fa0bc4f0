"""The score coupon as it is handed out: its card, its formats, and what its options say."""

import pytest
from benches import cutter
from click.testing import CliRunner
from pages import check_tidy, sizes, text_of

from cutfiles.cli import cli
from cutfiles.machine.coupon import coupon, tried
from cutfiles.plane.measure import box_of
from cutfiles.report.printed.score_card import score_card

FILM = {"gauge": "5 mil", "cut_force": 4000, "score_force": 3500, "mark_force": 1000}
CUTTERS = {
    "passes": {},
    "land": {"score": {"method": "perforate"}},
    "force": {"formats": ["hpgl"], "material": [FILM]},
}


@pytest.fixture(params=CUTTERS)
def made(request):
    return coupon(cutter(**CUTTERS[request.param]), 0.127)


def test_the_card_tells_each_strip_and_what_it_tries(made):
    data = score_card(made)
    check_tidy(data)
    (said,) = text_of(data)
    trial = tried(made)
    for number, value in enumerate(trial.values, 1):
        assert f"{number} {trial.label(value)}" in said
    assert "towards the face on which the numbers read" in said
    assert "its manual comes first" in said
    states = trial.what != "score_passes"
    assert ("the files state neither power nor force" in said) != states


def test_a_strip_says_what_its_number_means(made):
    """Not "1 1": the value has its unit, and stays clear of the score."""
    assert all(not tried(made).label(value).isdigit() for value in tried(made).values)
    scores = [s for s in made.drawing.strokes if s.name.startswith("setting ")]
    left = min(box_of([s.path]).left for s in scores)
    labels = [s.path for s in made.drawing.strokes if s.name.startswith("label ")]
    assert box_of(labels).right < left - 2.0


def run(*words):
    return CliRunner().invoke(cli, [str(word) for word in words])


def test_its_options_are_honoured(tmp_path):
    args = ("coupon", "score", "--cutter", "desktop-knife")
    plain = run(*args, "--to", tmp_path / "a", "--format", "pdf", "--paper", "Letter")
    assert plain.exit_code == 0, plain.output
    stem = "coupon-desktop-knife-127um"
    names = {path.name for path in (tmp_path / "a").iterdir()}
    assert {f"{stem}.pdf", f"{stem}.card.pdf", f"{stem}.passes.pdf"} <= names
    assert f"{stem}.svg" not in names
    assert sizes((tmp_path / "a" / f"{stem}.card.pdf").read_bytes())[0][0] == pytest.approx(215.9)
    bare = run(*args, "--to", tmp_path / "b", "--no-cards")
    assert bare.exit_code == 0, bare.output
    assert not list((tmp_path / "b").glob("*.pdf"))
    assert (tmp_path / "b" / f"{stem}.svg").exists()


def test_a_machine_that_the_profile_contradicts_is_refused(tmp_path):
    args = ("coupon", "--cutter", "desktop-knife", "--to", tmp_path)
    wrong = run(*args, "--machine", "laser")
    assert wrong.exit_code == 2
    assert 'the profile "desktop knife" is of a knife' in wrong.output
    assert run(*args, "--machine", "knife").exit_code == 0
