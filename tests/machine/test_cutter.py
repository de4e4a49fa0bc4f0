"""Cutter profiles: read, refused with all faults together, contradictions named."""

import copy
import json
import tomllib
from types import SimpleNamespace

import pytest
from click.testing import CliRunner
from conftest import is_refused_for

from cutfiles.bench.choices import CHOSEN
from cutfiles.bench.fields import MEASURES
from cutfiles.cli import cli
from cutfiles.errors import CutterError, FileError, FormatError
from cutfiles.files.formats import FORMATS, HPGL_PENS
from cutfiles.files.passes import _check_range
from cutfiles.machine.formats import drawn_formats
from cutfiles.machine.options import drawing_options
from cutfiles.machine.place import machine_path, machine_point
from cutfiles.machine.profile.fields import ENTRIES, JUDGED, MATERIAL
from cutfiles.machine.profile.read import (
    cutter_from,
    find_cutter,
    packaged_cutters,
    packaged_text,
    read_cutter,
)
from cutfiles.pattern.pattern import Role
from cutfiles.plane.measure import path_area
from cutfiles.plane.shapes import circle, closed_path, open_path
from cutfiles.tables.value import read_value

BASE = {
    "name": "bench",
    "kind": "knife",
    "formats": ["hpgl"],
    "bed": {"width": "600 mm", "length": "800 mm"},
    "score": {"method": "half-cut"},
}


def changed(**sections):
    values = copy.deepcopy(BASE)
    for name, value in sections.items():
        if isinstance(value, dict) and isinstance(values.get(name), dict):
            values[name].update(value)
        else:
            values[name] = value
    return values


def faults(values):
    with pytest.raises(CutterError) as caught:
        cutter_from(values, "cutter x.toml")
    return {str(f.place).partition(", ")[2]: f for f in caught.value.faults}


@pytest.mark.parametrize("name", packaged_cutters())
def test_packaged_profiles_are_sound(name):
    cutter = find_cutter(name)
    assert cutter.about
    assert cutter.values == tomllib.loads(packaged_text(name))


def test_packaged_profiles_cover_the_kinds():
    cutters = [find_cutter(name) for name in packaged_cutters()]
    assert {c.kind for c in cutters} == {"knife", "laser"}
    assert {c.bed.tiles for c in cutters} == {"none", "feed", "shift"}


@pytest.mark.parametrize("name", packaged_cutters())
def test_packaged_profiles_set_nothing_that_nobody_measured(name):
    """No force, power or speed is sent, no controller's words, and nothing is cut in black."""
    made = find_cutter(name)
    assert made.materials == ()
    assert made.judged == ()
    assert (made.power_range, made.beam) == (None, None)
    if made.kind == "laser":
        drawn = drawing_options(made)
        for key in made.formats:
            for role in (Role.OUTLINE, Role.HOLES):
                assert FORMATS[key].colour(role, drawn) not in ("#000000", None)


@pytest.mark.parametrize("name", packaged_cutters())
def test_packaged_beds_are_of_no_machine(name):
    """Round sizes, and all lengths of the tool's reach to be measured."""
    bed = find_cutter(name).bed
    assert bed.width % 50 == 0
    assert bed.length % 50 == 0


def test_the_laser_profile_says_what_black_means():
    said = packaged_text("laser")
    assert "Many programs take black for engraving. Nothing is sent black" in said


@pytest.mark.parametrize(
    ("controller", "lacking"),
    [
        ({}, "power_range"),
        ({}, "beam"),
        ({"power_range": 255}, "beam"),
        ({"beam": "M3"}, "power_range"),
    ],
)
def test_gcode_needs_what_the_controller_calls_things(controller, lacking):
    refused = faults(changed(kind="laser", formats=["gcode"], laser=controller))
    assert "controller's manual" in refused[f"laser.{lacking}"].remedy


def test_all_formats_may_be_named():
    assert set(drawn_formats()) == set(FORMATS) - {"fold"}
    assert set(HPGL_PENS.values()) == {1, 2, 3, 4}


def test_lengths_as_people_write_them(tmp_path):
    file = tmp_path / "mine.toml"
    file.write_text(
        'name = "m"\nkind = "laser"\nunits = "in"\nformats = ["svg"]\n[bed]\n'
        "width = 24\nlength = '18 1/2 in'\n[score]\nmethod = 'half-cut'\n"
        '[tool]\nkerf = "6 mil"\n',
        encoding="utf-8",
    )
    cutter = read_cutter(file)
    assert cutter.bed.reach == pytest.approx((609.6, 469.9))
    assert cutter.tool.kerf == pytest.approx(0.1524)
    assert cutter.tool.overcut is None


def test_all_faults_together():
    found = faults(
        changed(
            kind="saw",
            formats=["dwg"],
            bed={"width": "-3 mm", "lenght": 4},
            pens={"blade": 1, "label": 9},
            colours={"label": "red"},
            layers={"label": "1 x"},
            tool={"overcut": "ow"},
            colour=1,
        )
    )
    assert set(found) == {
        "kind",
        "formats",
        "bed.width",
        "bed.lenght",
        "pens.blade",
        "pens.label",
        "colours.label",
        "layers.label",
        "tool.overcut",
        "colour",
    }
    assert 'did you mean "bed.length"?' in found["bed.lenght"].remedy
    assert 'write "machine"' in found["tool.overcut"].remedy
    for fault in found.values():
        assert str(fault.place).startswith("cutter x.toml, ")
        assert fault.found
        assert fault.needed
        assert fault.remedy


@pytest.mark.parametrize(
    ("place", "usual", "absurd"),
    [
        # what benches set and what is a slip of the pen or another unit: common practice, no source
        ("bed.width", ("150 mm", "80 cm"), ("6 mm", "60 m")),
        ("bed.length", ("200 mm", "80 cm"), ("6 mm", "60 m")),
        ("bed.margin", ("0 mm", "25 mm"), ("250 mm",)),
        ("score.dash", ("0.5 mm", "10 mm"), ("0.05 mm", "5 cm")),
        ("score.land", ("0.3 mm", "10 mm"), ("0.03 mm", "5 cm")),
        ("tool.knife_offset", ("0 mm", "0.25 mm", "1.5 mm"), ("2.5 cm",)),
        ("tool.overcut", ("0 mm", "0.3 mm", "3 mm"), ("3 cm",)),
        ("tool.lead_in", ("0 mm", "5 mm"), ("5 cm",)),
        ("tool.bridges", (0, 24), (1000, -1)),
        ("speed.cut", (1, 800), (0, 80000)),
        ("speed.lift", (0.05, 2), (100, -1)),
        ("speed.tool_change", (5, 300), (20000, -1)),
        ("speed.acceleration", (100, 20000), (1, 1e7)),
    ],
)
def test_what_benches_set_is_taken_and_what_is_absurd_refused(place, usual, absurd):
    section, name = place.split(".")
    for value in usual:
        cutter_from(changed(kind="knife", **{section: {name: value}}), "x.toml")
    for value in absurd:
        assert set(faults(changed(kind="knife", **{section: {name: value}}))) == {place}, value


@pytest.mark.parametrize("entry", [e for e in ENTRIES if e.needed], ids=lambda e: e.path)
def test_needed_fields(entry):
    values = changed()
    (values[entry.table] if entry.table else values).pop(entry.name)
    assert set(faults(values)) == {entry.path}


@pytest.mark.parametrize(
    ("sections", "place", "said"),
    [
        ({"kind": "laser", "score": {"method": "impress"}}, "score.method", "presses"),
        ({"score": {"side": "inside"}}, "score.side", "tears"),
        ({"score": {"method": "perforate", "side": "inside"}}, "score.side", "no side"),
        ({"score": {"turn": "never"}}, "score.turn", "two faces"),
        ({"tool": {"kerf": "0.2 mm"}}, "tool.kerf", "burns nothing away take kerf out."),
        ({"kind": "laser", "tool": {"knife_offset": "0.3 mm"}}, "tool.knife_offset", "trails"),
        ({"formats": ["gcode"]}, "formats", "lasers only"),
        (
            {"score": {"method": "impress"}, "pens": {"score-valley": 1}},
            "pens.score-valley",
            "tool of its own",
        ),
        # a profile that names no pen for its scores takes the usual ones
        (
            {"score": {"method": "impress"}, "pens": {"cut-outline": 3}},
            "pens.score-valley",
            "tool of its own",
        ),
        (
            {"score": {"method": "impress"}, "pens": {"cut-holes": 2}},
            "pens.score-mountain",
            "tool of its own",
        ),
        ({"bed": {"width": "300 mm", "margin": "140 mm"}}, "bed.margin", "at least 50 mm"),
        ({"bed": {"x_axis": "up"}}, "bed.y_axis", "one axis"),
        ({"bed": {"origin": "centre"}}, "bed.range_least", "range_least = -16000"),
        # a unit short of the corner
        ({"bed": {"origin": "centre", "range_least": -15999}}, "bed.range_least", "= -16000"),
        ({"bed": {"length": "3 m"}}, "bed.range_most", "range_most = 120000"),
        ({"layers": {"guide": "W", "label": "W"}}, "layers.guide", "never machined"),
        (
            {
                "layers": {"score-valley": "S", "score-mountain": "S"},
                "colours": {"score-valley": "#ff0000", "score-mountain": "#00ff00"},
            },
            "colours.score-mountain",
            "share a layer",
        ),
        ({"pens": {"cut-outline": 0}}, "pens.cut-outline", "is cut"),
        ({"material": [{"gauge": "5 mil", "cut_power": 3}]}, "material 1, cut_power", "force"),
        ({"material": [{"gauge": "5 mil"}, {"gauge": "0.127 mm"}]}, "material 2, gauge", "one"),
        (
            {"material": [{"gauge": "5 mil", "cut_force": 90, "score_force": 50}]},
            "material 1, mark_force",
            "stays set",
        ),
        (
            {"formats": ["dxf-r12"], "colours": {"label": "#123456"}},
            "colours.label",
            "has only #FF0000",
        ),
        ({"tool": {"bridges": 3, "overcut": "0.5 mm"}}, "tool.overcut", "part the bridges"),
    ],
)
def test_contradictions_are_named(sections, place, said):
    fault = faults(changed(**sections))[place]
    assert said in f"{fault.needed} {fault.remedy}."


def test_a_plotter_counts_to_24_bits_at_most():
    """HP-GL/2 reference: coordinates of machines that go on past 16 bits (from memory)."""
    most = 2**23 - 1
    assert cutter_from(changed(bed={"range_most": most}), "x.toml").bed.range_most == most
    assert set(faults(changed(bed={"range_most": most + 1}))) == {"bed.range_most"}
    assert set(faults(changed(bed={"range_least": -most - 2}))) == {"bed.range_least"}


@pytest.mark.parametrize(
    ("least", "most", "fits"),
    [
        (40, 1600, True),  # 1 to 40 mm up, in units of 0.025 mm
        (41, 1600, False),
        (40, 1599, False),
    ],
)
@pytest.mark.parametrize("turned", [False, True])
def test_what_the_machine_cannot_count_to_is_refused_either_way(least, most, fits, turned):
    low, high = ((2.0, 1.0), (30.0, 40.0))
    ends = (low[::-1], high[::-1]) if turned else (low, high)
    drawing = SimpleNamespace(strokes=[SimpleNamespace(path=open_path(*ends))])
    bed = SimpleNamespace(range_least=least, range_most=most)
    if fits:
        _check_range(drawing, bed, 0.025, "A1.hpgl")
    else:
        said = f"found coordinates from 40 to 1600; the machine takes {least} to {most}"
        with pytest.raises(FormatError, match=said):
            _check_range(drawing, bed, 0.025, "A1.hpgl")


def test_a_film_is_known_by_its_gauge_to_a_micrometre():
    """5 mil are 127 µm; the next film that mills name is 125 µm, and no entry of it will do."""
    judged = [{"lot": "L", "what": "land", "value": at, "gauge": f"0.{at} mm"} for at in (125, 131)]
    film = [{"gauge": "0.125 mm", "cut_force": 9}, {"gauge": "0.131 mm", "cut_force": 8}]
    made = cutter_from(changed(formats=["svg"], judged=judged, material=film), "x.toml")
    for gauge, value in ((0.1246, 125), (0.1254, 125), (0.127, None), (0.1304, 131), (0.129, None)):
        lot, material = made.judged_lot("L", gauge), made.material(gauge)
        assert (lot and lot.value) == value
        assert (material and material.gauge) == (value and value / 1000)


def test_a_profile_without_contradictions_is_read():
    assert cutter_from(changed(score={"side": "outside"}), "x.toml").side == "outside"
    assert (
        cutter_from(changed(score={"method": "perforate", "turn": "never"}), "x.toml").turn
        == "never"
    )


@pytest.mark.parametrize(
    ("bed", "wanted"),
    [
        ({}, (10, 20)),
        ({"origin": "lower-right", "x_axis": "left"}, (590, 20)),
        ({"origin": "upper-left", "y_axis": "down"}, (10, 780)),
        ({"origin": "lower-right", "x_axis": "up", "y_axis": "left"}, (20, 590)),
        ({"origin": "centre", "range_least": -16000}, (-290, -380)),
    ],
)
def test_origin_and_axes(bed, wanted):
    made = cutter_from(changed(bed=bed), "x.toml").bed
    assert machine_point((10, 20), made) == pytest.approx(wanted)
    # a machine with mirrored axes mirrors again: lengths stay, the turn of arcs follows
    square = closed_path((10, 20), (40, 20), (40, 50), (10, 50))
    hole = circle((30, 30), 5)
    ratio = path_area(machine_path(hole, made)) / path_area(hole)
    assert ratio == pytest.approx(
        path_area(machine_path(square, made)) / path_area(square)
    )  # both +1 or both -1
    assert abs(ratio) == pytest.approx(1)


OF_A_PROFILE = (*ENTRIES, *MATERIAL, *JUDGED)


@pytest.mark.parametrize("one", [*OF_A_PROFILE, *MEASURES, *CHOSEN], ids=lambda one: one.path)
def test_every_example_that_people_are_shown_can_be_read(one):
    """They are told to write it so; a slip says what its bare numbers count in."""
    choices = one.choices or (one.example,)
    read_value(one._replace(choices=choices), written(one), None if one in OF_A_PROFILE else "mm")


def written(one):
    """An example as a file has it: numbers are written bare."""
    bare = one.kind in ("number", "whole")
    return tomllib.loads(f"value = {one.example if bare else json.dumps(one.example)}")["value"]


def test_unknown_name_and_bad_files(tmp_path):
    with pytest.raises(FileError, match='did you mean "laser"'):
        find_cutter("lasr")
    with pytest.raises(FileError, match="a file that can be read"):
        find_cutter(str(tmp_path / "none.toml"))
    for data, said in ((b"\xff\xfe", "UTF-8"), (b"name = ", "TOML")):
        (tmp_path / "bad.toml").write_bytes(data)
        with pytest.raises(FileError, match=said):
            read_cutter(tmp_path / "bad.toml")


def run(*args):
    return CliRunner().invoke(cli, [str(a) for a in args])


def test_command(tmp_path):
    shown = run("cutters", "list").output
    for name in packaged_cutters():
        assert name in shown
    mine = tmp_path / "mine.toml"
    assert run("cutters", "copy", "laser", mine).exit_code == 0
    assert mine.read_text(encoding="utf-8") == packaged_text("laser")
    again = run("cutters", "copy", "laser", mine)
    assert again.exit_code == 1
    assert "a file that exists" in again.output
    checked = run("cutters", "check", mine)
    assert checked.exit_code == 0
    assert "valley from the table face, mountain from the book face" in checked.output
    text = mine.read_text(encoding="utf-8").replace('"dxf-r2000"]', '"dxf-r2000", "gcode"]')
    text = text.replace("[speed]", '[laser]\npower_range = 255\nbeam = "M3"\n\n[speed]')
    mine.write_text(text, encoding="utf-8")
    assert "G-code is refused until there is one" in run("cutters", "check", mine).output
    mine.write_text('name = "x"\nkind = "plane"\n', encoding="utf-8")
    bad = run("cutters", "check", mine, "laser")
    assert bad.exit_code == 1
    assert "cutter mine.toml, kind" in bad.output
    assert "cutter mine.toml, bed.width" in bad.output
    assert "laser: laser, checked" in bad.output


SET = {"power": (0.1, 100), "speed": (0.1, 5000), "force": (1, 5000), "passes": (1, 20)}
LIMITS = {
    "bed": {"width": (50, 10_000), "length": (50, 50_000), "margin": (0, 200)},
    "score": {"dash": (0.3, 30), "land": (0.3, 30)},
    "tool": {
        "kerf": (0, 2),
        "knife_offset": (0, 3),
        "overcut": (0, 10),
        "bridge_width": (0.3, 1),
        "lead_in": (0, 20),
        "bridges": (0, 200),
    },
    "speed": {
        **dict.fromkeys(("cut", "score", "mark", "travel"), (0.5, 5000)),
        "acceleration": (10, 100_000),
        "lift": (0, 30),
        "tool_change": (0, 3600),
    },
    "laser": {"power_range": (1, 100_000)},
    "pens": dict.fromkeys((role.value for role in Role), (0, 8)),
    "material": {
        "gauge": (0.012, 0.6),
        **{f"{work}_{name}": SET[name] for work in ("cut", "score", "mark") for name in SET},
    },
    "judged": {"gauge": (0.012, 0.6), "setting": (1, 9), "value": (0.01, 5000)},
}
"""mm, mm/s, mm/s², s, per cent of full power: what no machine for film goes beyond."""
LENGTHS = {*LIMITS["bed"], *LIMITS["score"], *LIMITS["tool"], "gauge"} - {"bridges"}
LISTED = ("material", "judged")


def out_of_range(section, name, value):
    """Whether a profile with this value is refused for it, and for its size."""
    written = f"{value} mm" if name in LENGTHS else value
    rest = {"gauge": "5 mil"} if section in LISTED else {}
    one = {**rest, name: written}
    where = f"{section} 1, {name}" if section in LISTED else f"{section}.{name}"
    return is_refused_for(
        lambda: cutter_from(
            changed(**{section: [one] if section in LISTED else one}), "cutter x.toml"
        ),
        CutterError,
        f", {where}",
        rf"{name} is (from )?\d",
    )


@pytest.mark.parametrize(
    ("section", "name"), [(section, name) for section, names in LIMITS.items() for name in names]
)
def test_a_size_no_machine_has_is_refused(section, name):
    """1,000 per cent of a laser's power would be sent as it is written."""
    least, most = LIMITS[section][name]
    step = 1 if isinstance(least, int) and isinstance(most, int) else 0.001
    assert out_of_range(section, name, least - step)
    assert out_of_range(section, name, most + step)
    assert not out_of_range(section, name, least)
    assert not out_of_range(section, name, most)


def test_all_sizes_of_a_profile_are_among_these():
    numbers = ("length", "number", "whole")
    tables = {"material": MATERIAL, "judged": JUDGED}
    fields = [*ENTRIES, *(f._replace(table=name) for name in tables for f in tables[name])]
    sizes = {(f.table, f.name) for f in fields if f.kind in numbers}
    known = {(section, name) for section in LIMITS for name in LIMITS[section]}
    assert sizes - known == {("bed", "range_least"), ("bed", "range_most")}  # are told elsewhere
