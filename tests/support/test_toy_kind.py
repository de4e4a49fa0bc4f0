"""A kind of support is one file and one row: a toy wedge, told by data, gets all there is.

It carries the right board alone: board, leg, base, and a tab that turns up at the joint and is
taped under the board. No spine panel, no left half; it stands by its base, whose book face is down.
"""

import json
import math
from dataclasses import replace

import pytest
from click.testing import CliRunner
from conftest import drawn
from hypothesis import given, settings
from hypothesis import strategies as st
from pages import check_tidy, text_of

from cutfiles.bench.slip import slip_from
from cutfiles.cli import cli
from cutfiles.draft import draft_of
from cutfiles.files.fold_check import check_reading
from cutfiles.files.formats import FORMATS, Options, write_drawing
from cutfiles.pattern.pattern import Role
from cutfiles.plane.shapes import Point
from cutfiles.report.text.check import check_table
from cutfiles.support import design as kinds
from cutfiles.support.checks import check_standing
from cutfiles.support.contacts import Contacts, Tape, tape_place
from cutfiles.support.profile import Fold, Panel, Profile, Root
from cutfiles.support.standing import Bearing, Half, Support, board_of
from cutfiles.support.steps import FoldStep, all_steps, folding
from cutfiles.words.verdict import load_path

TAB = 12.0


def wanted(slip):
    return slip.opening.label == "wedge"


def wedge(slip):
    """Return a wedge under the right board: a triangle of board, leg and base, closed by a tab."""
    choices, board = slip.choices, board_of(slip, "right")
    a, long = math.radians(board.slope), board.width - choices.fore_inset
    lift = (slip.film.stack + choices.tape_thickness) / math.cos(a)
    out, high = long * math.cos(a), long * math.sin(a) + lift
    profile = Profile(
        (
            Panel("board", "right", long),
            Panel("leg", "right", high),
            Panel("base", "right", out),
            Panel("tab", "right", TAB),
        ),
        (
            Fold("apex", "right", 1, -(math.pi / 2 + a)),
            Fold("foot", "right", 2, -math.pi / 2),
            Fold("joint", "right", 3, a - math.pi),
        ),
        Root("right base", Point(out, 0.0), math.pi),
    )
    joint, apex = Point(0.0, lift), Point(out, high)
    tip = Point(TAB * math.cos(a), TAB * math.sin(a))
    clear, width = tape_place(TAB, choices.tape_inset)
    tape = Tape(
        panel="right tab",
        face="book",
        to="right board",
        to_face="table",
        end="right",
        clear=clear,
        width=width,
    )
    return Support(
        slip=slip,
        kind="wedge",
        breadth=slip.book.height - 2 * choices.end_inset,
        deck_lift=lift,
        profile=profile,
        places=(joint, apex, Point(out, 0.0), Point(0.0, 0.0), tip),
        halves=(Half(side="right", slope=a, joint=joint, apex=apex, book=joint, stands=True),),
        bearings=(Bearing("right leg", "right"),),
        contacts=Contacts(tapes=(tape,), table=("right base",)),
        steps=all_steps(
            slip.film,
            (
                folding("Bend", profile.folds, "apex"),
                folding("Turn in", profile.folds, "foot"),
                folding("Roll", profile.folds, "joint"),
                FoldStep("Stick", taped=(tape,)),
            ),
        ),
    )


@pytest.fixture(autouse=True)
def _row(monkeypatch):
    monkeypatch.setattr(kinds, "KINDS", (kinds.Kind("wedge", wanted, wedge), *kinds.KINDS))


VALUES = {
    "number": "W1",
    "units": "mm",
    "height": 160,
    "width": 110,
    "spine_width": 24,
    "left_rise": 0,
    "right_rise": 45,
    "weight": "240 g",
    "opening": "wedge",
    "support": {"layers": 1},
}


def made(**changed):
    return draft_of(slip_from({**VALUES, **changed}))


def folded(draft, key):
    form = FORMATS[key]
    data = write_drawing(draft.drawing, form, Options())
    return check_reading(form.read(data), f"x.{key}", draft, form, Options())


def test_the_row_is_walked():
    assert made().support.kind == "wedge"
    assert made(opening="page 3").support.kind == "level, one side flat"


def test_drafted_and_labelled():
    draft = made()
    assert [c.name for c in draft.pattern.creases] == ["right apex", "right foot", "right joint"]
    names = {s.name for s in draft.pattern.of_role(Role.LABEL)}
    assert names == {"label right", "tape tick, right tab"}
    guides = [s.name for s in draft.pattern.strokes if s.use == "tape"]
    assert guides == ["tape right, on the book face"]


@pytest.mark.parametrize("key", ["svg", "dxf-r12", "dxf-r2000"])
def test_folds_from_the_written_file(key):
    draft = made()
    proved = folded(draft, key)
    assert [f.message for f in proved.check.findings] == []
    found = {(m.rule, m.place): m.found for m in proved.check.measures}
    lift = (draft.support.film.stack + 0.1) / math.cos(math.asin(45 / 110))
    assert found[("height", "right apex")] == pytest.approx(107 * 45 / 110 + lift, abs=2e-3)
    assert found[("upright", "right leg")] == pytest.approx(0.0, abs=0.01)
    # the tape's length at the joint: a tab turned up too little does not reach the board
    crease = replace(draft.pattern.creases[-1].fold, angle=-2.6)
    creases = (*draft.pattern.creases[:-1], replace(draft.pattern.creases[-1], fold=crease))
    wrong = replace(draft, pattern=replace(draft.pattern, creases=creases))
    assert {f.rule for f in folded(wrong, key).check.findings if f.severity == "stop"} >= {"tab"}


@settings(max_examples=drawn(60), deadline=None)
@given(st.floats(12, 60), st.floats(60, 240), st.floats(80, 250))
def test_any_wedge_closes_and_folds(slope, width, height):
    changed = {k: v for k, v in VALUES.items() if k not in ("right_rise", "weight")}
    slip = slip_from({**changed, "right_slope": slope, "width": width, "height": height})
    draft = draft_of(slip)
    assert [f for f in check_standing(draft.support) if f.severity == "stop"] == []
    assert folded(draft, "svg").check.folds


def test_closing_is_checked_against_its_own_places():
    support = made().support
    places = (*support.places[:-1], Point(0.0, 1.0))
    assert [f.place for f in check_standing(replace(support, places=places))] == ["right tab"]


def test_loads_of_its_one_leg():
    draft = made()
    assert {c.place for c in draft.verdict.checks if c.name == "leg"} == {"right leg"}
    path = load_path(draft.support, 240.0)
    assert path["right"]["leg_N"] == pytest.approx(0.24 * 9.80665 / 2 * 110 / (2 * 107), abs=1e-3)
    assert "leg_N" not in path["left"]
    assert "right leg" in check_table(draft)


def run(*args):
    result = CliRunner().invoke(cli, [str(arg) for arg in args])
    assert result.exit_code == 0, result.output
    return result.output


def test_every_file_and_print(tmp_path):
    slip = tmp_path / "W1.toml"
    lines = [f"{k} = {json.dumps(v)}" for k, v in VALUES.items() if k != "support"]
    slip.write_text("\n".join([*lines, "[support]", "layers = 1"]) + "\n", encoding="utf-8")
    out = tmp_path / "out"
    said = run("make", slip, "--format", "all", "--to", out)
    assert "right tab 12.0" in said
    assert "folds into its support" in run("fold", out / "W1.fold", "--slip", slip, "--to", out)
    for name in ("svg", "r12.dxf", "r2000.dxf", "pdf", "fold", "standing.svg", "folded.svg"):
        assert (out / f"W1.{name}").stat().st_size > 500
    page = (out / "W1.folded.html").read_text(encoding="utf-8")
    assert '"Roll"' in page
    data = (out / "W1.bench.pdf").read_bytes()
    check_tidy(data)
    card = " ".join(text_of(data))
    assert "the right tab to the right board panel's table face" in card
    assert "On the right tab: 6.0 mm wide" in card
    assert "the end of the strip round: C" in card
    run("cards", slip, "--to", tmp_path / "prints")
    assert (tmp_path / "prints" / "W1.labels.pdf").stat().st_size > 500


def test_a_row_of_an_exhibit(tmp_path):
    table = tmp_path / "books.csv"
    table.write_text(
        "number,height,width,spine width,left rise,right rise,weight,opening\n"
        "W1,160 mm,110 mm,24 mm,0 mm,45 mm,240 g,wedge\n",
        encoding="utf-8",
    )
    run("exhibit", table, "--workers", "1", "--to", tmp_path / "ex")
    facts = json.loads((tmp_path / "ex" / "exhibit.json").read_text(encoding="utf-8"))
    assert "W1" in json.dumps(facts)
    assert "right apex" in (tmp_path / "ex" / "supports" / "W1.json").read_text(encoding="utf-8")
