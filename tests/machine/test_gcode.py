"""G-code: the beam's rules by an interpreter of its own, power from the profile or refused."""

import itertools

import pytest
from benches import laser, pass_files, small_sheet
from conftest import drawn
from gcode_machine import BeamError, burn
from hypothesis import given, settings
from strategies import slips

from cutfiles.draft import draft_of
from cutfiles.errors import FileError, FormatError
from cutfiles.files.formats import FORMATS, Options, write_drawing
from cutfiles.files.passes import verify_pass, write_plan
from cutfiles.machine.cutter import Setting
from cutfiles.machine.plan import plan
from cutfiles.pattern.pattern import Role
from cutfiles.plane.measure import distance_to_path, path_length

FILM = {
    "gauge": "5 mil",
    "cut_power": 60,
    "cut_speed": 20,
    "score_power": 15,
    "score_speed": 40,
    "mark_power": 8,
    "mark_speed": 80,
}
BEAM = {role.value: Setting(power=30, speed=20) for role in Role}


def burner(**sections):
    return laser(**{"formats": ["gcode"], "material": [FILM], **sections})


@settings(max_examples=drawn(40))
@given(slips())
def test_beam_is_on_only_along_the_lines(slip):
    sheet = draft_of(slip).drawing
    data = write_drawing(FORMATS["gcode"].prepared(sheet), FORMATS["gcode"], Options(settings=BEAM))
    burnt = burn(data)
    strokes = [s for s in sheet.strokes if s.role is not Role.GUIDE]
    assert len(burnt) == len(strokes)
    for (s, f, places), stroke in zip(burnt, strokes, strict=True):
        assert (s, f) == (300, 1200)
        length = sum(
            ((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5 for a, b in itertools.pairwise(places)
        )
        assert length == pytest.approx(path_length(stroke.path), abs=0.05)
        assert max(distance_to_path(place, stroke.path) for place in places) < 0.002


def test_power_by_kind_of_work_and_passes():
    made = plan(small_sheet(), burner(material=[{**FILM, "cut_passes": 2}]))
    files = write_plan(made)
    kinds = [{(s, f) for s, f, _ in burn(file.data)} for file in pass_files(made)]
    assert kinds[0] == {(80, 4800), (150, 2400), (600, 1200)}
    assert kinds[1] == {(150, 2400), (600, 1200)}
    runs = [tuple(places) for s, _, places in burn(files[1].data) if s == 600]
    assert len(runs) == 2 * len(set(runs))


def test_range_and_beam_of_the_profile():
    made = plan(small_sheet(), burner(laser={"power_range": 255, "beam": "M3"}))
    data = write_plan(made)[1].data
    assert {s for s, _, _ in burn(data)} == {round(0.6 * 255, 1), round(0.15 * 255, 1)}
    assert b"M3 S0" in data
    assert b"M4" not in data


def test_no_power_no_file():
    """The film is named, and what the profile knows of; before anything is planned."""
    lacking = r"film of 0\.127 mm \(5 mil\), and a profile with a \[\[material\]\] of no film"
    with pytest.raises(FormatError, match=lacking):
        plan(small_sheet(), burner(material=[]))
    other = {**FILM, "gauge": "3 mil"}
    with pytest.raises(FormatError, match=r"\[\[material\]\] of 0\.0762 mm \(3 mil\)") as told:
        plan(small_sheet(), burner(material=[other]))
    assert "cut a coupon" in told.value.fault.remedy
    no_speed = {k: v for k, v in FILM.items() if k != "score_speed"}
    with pytest.raises(FormatError, match="no speed for score"):
        write_plan(plan(small_sheet(), burner(material=[no_speed])))


def test_another_power_is_a_difference():
    made = plan(small_sheet(), burner())
    file = write_plan(made)[1]
    hot = file.data.replace(b"S600", b"S900", 1)
    assert any("S900" in str(d) or "S600" in str(d) for d in verify_pass(made, file.name, hot))


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (b"M4 S0", b"M4 S500", "power at rest"),
        (b"M5 S0\n(role", b"(role", "armed|before any M5"),
        (b"G21\n", b"G20\n", "G20"),
        (b"G90\n", b"G91\n", "G91"),
        (b"M2\n", b"", "M5 and M2"),
    ],
)
def test_a_dangerous_file_is_refused_by_reader_and_interpreter(old, new, said):
    data = write_plan(plan(small_sheet(), burner()))[1].data
    burn(data)
    spoilt = data.replace(old, new, 2)
    with pytest.raises(FileError, match=said):
        FORMATS["gcode"].read(spoilt)
    with pytest.raises((BeamError, AssertionError)):
        burn(spoilt)


def test_origin_and_axes_reach_the_file():
    made = plan(small_sheet(), burner(bed={"origin": "upper-left", "y_axis": "down"}))
    top = 3000.0
    for file in pass_files(made):
        for _, _, places in burn(file.data):
            assert all(0 <= x <= 300 and top - 100 <= y <= top for x, y in places)
