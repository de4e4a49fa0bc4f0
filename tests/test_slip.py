"""Slips: what is read, and more than sixty that are refused, each with its message."""

import pytest
from click.testing import CliRunner
from conftest import is_refused_for
from hypothesis import given
from strategies import st_numbers

from cutfiles.bench.blank import blank_slip, quoted
from cutfiles.bench.fields import FIELDS
from cutfiles.bench.slip import read_slip, slip_from
from cutfiles.cli import cli
from cutfiles.errors import DesignError, FileError, SlipError
from cutfiles.pattern.lettering import undrawable
from cutfiles.support.design import design

GOOD = {
    "number": "A1",
    "units": "mm",
    "height": 203,
    "width": 133,
    "spine_width": 34,
    "left_rise": 66.5,
    "right_rise": 66.5,
}
DROP = object()


def changed(**changes):
    values = {**GOOD, **changes}
    return {name: value for name, value in values.items() if value is not DROP}


BAD = [
    # field, changes, parts of the message
    ("number", {"number": DROP}, ["found nothing", "number is needed", 'number = "A1"']),
    ("number", {"number": "  "}, ["found nothing"]),
    ("number", {"number": "藏12"}, ['"藏12"', "no letter", "shelf_mark"]),
    ("number", {"number": "x" * 41}, ["41 characters", "at most 40"]),
    ("number", {"number": "A\u0007"}, ["U+0007", "printable"]),
    ("number", {"number": 3.5}, ['"3.5"', "a text is needed"]),
    ("number", {"number": True}, ['"True"', "a text is needed"]),
    ("title", {"title": 12}, ['"12"', "a text is needed"]),
    ("title", {"title": "x" * 301}, ["301 characters", "at most 300"]),
    ("title", {"title": "a\u0000b"}, ["U+0000"]),
    ("opening", {"opening": "p" * 121}, ["121 characters"]),
    ("units", {"units": "ell"}, ['"ell"', '"mm" or "cm" or "in"']),
    ("height", {"height": DROP}, ["found nothing", "head to tail"]),
    ("height", {"height": "tall"}, ['"tall"', "one number and its unit"]),
    ("height", {"height": 0}, ['"0"', "from 15 to 1000 mm"]),
    ("height", {"height": "-4 mm"}, ['"-4 mm"', "from 15 to 1000 mm"]),
    ("height", {"height": "5 m"}, ['"5 m", that is 5000 mm; ', "from 15 to 1000 mm"]),
    ("height", {"height": 1203}, ['"1203"; ', "from 15 to 1000 mm"]),
    ("height", {"height": "1.5 m"}, ['"1.5 m", that is 1500 mm; ', "from 15 to 1000 mm"]),
    ("weight", {"weight": "99 kg"}, ['"99 kg", that is 99000 g; ']),
    ("height", {"height": "1203,5 mm"}, ['"1203,5 mm"; ']),
    ("height", {"height": "203 cm"}, ['"203 cm", that is 2030 mm; ', "from 15 to 1000 mm"]),
    ("height", {"height": float("inf")}, ['"inf"', "finite"]),
    ("height", {"height": float("nan")}, ['"nan"', "finite"]),
    ("height", {"height": "1,234 mm"}, ["comma", '"1.234"', '"1234"']),
    ("height", {"height": True}, ['"True"']),
    ("height", {"height": ["203"]}, ["a text or a number"]),
    ("height", {"height": {"mm": 203}}, ["a text or a number"]),
    ("height", {"height": "203", "units": DROP}, ['"203"', "needs units"]),
    ("height", {"height": 203, "units": DROP}, ['"203"', "needs units"]),
    ("height", {"height": "8 1/0 in"}, ["no proper fraction"]),
    ("height", {"height": "203 g"}, ['"g" is no unit of length']),
    ("height", {"height": '9"x5 5/8"x2"'}, ["one number and its unit"]),
    ("width", {"width": DROP}, ["width of each board", "left_width and right_width"]),
    ("right_width", {"width": DROP, "left_width": 130}, ["width of each board"]),
    ("left_width", {"left_width": 130}, ['width "133"', 'left_width "130"', "both boards"]),
    ("width", {"width": "tbc"}, ['"tbc"']),
    ("width", {"width": 9}, ["from 10 to 1000 mm"]),
    ("spine_width", {"spine_width": DROP}, ["spine width", "thickness"]),
    ("spine_width", {"spine_width": "5 mil"}, ['"5 mil"', "from 0.5 to 300 mm"]),
    ("spine_width", {"spine_width": "<34"}, ['"<34"']),
    ("thickness", {"spine_width": DROP, "thickness": -3}, ['"-3"']),
    ("left_rise", {"left_rise": DROP}, ["left board opens", "a rise, a slope or the opening"]),
    ("right_rise", {"right_rise": DROP}, ["right board opens"]),
    ("left_rise", {"left_rise": "-4 mm"}, ['"-4 mm"', "left_rise is 0 mm or more"]),
    ("left_rise", {"left_rise": 140}, ['"140"', "at most the board's width, 133.0 mm"]),
    ("left_rise", {"left_rise": 132}, ['"132"', "83.0°", "at most 75°"]),
    ("left_slope", {"left_rise": DROP, "left_slope": 76}, ['"76"', "from 0 to 75°"]),
    ("left_slope", {"left_rise": DROP, "left_slope": -1}, ["0° or more"]),
    ("right_slope", {"right_rise": DROP, "right_slope": "2 rad"}, ['"rad" is no unit of angle']),
    (
        "opening_angle",
        {"left_rise": DROP, "right_rise": DROP, "opening_angle": 29},
        ['"29"', "from 30 to 180°"],
    ),
    ("opening_angle", {"opening_angle": 181}, ["from 30 to 180°"]),
    ("opening_angle", {"right_rise": DROP, "opening_angle": 170}, ["leaves -20.0°"]),
    ("opening_angle", {"right_rise": DROP, "opening_angle": 60}, ["leaves 90.0°"]),
    ("left_side", {"left_side": "-1 mm"}, ["0 mm or more"]),
    ("right_side", {"right_side": "thick"}, ['"thick"']),
    ("weight", {"weight": "641 mm"}, ['"mm" is no unit of weight']),
    ("weight", {"weight": 0}, ["from 1 to 50000 g"]),
    (
        "weight",
        {
            "weight": 22,
            "units": "in",
            "height": 8,
            "width": 5,
            "spine_width": 1,
            "left_rise": 2,
            "right_rise": 2,
        },
        ['"22"', "weight"],
    ),
    ("cover", {"cover": "soft"}, ['"soft"', '"boards" or "limp"']),
    ("heigth", {"heigth": 3}, ["no such field", 'did you mean "height"']),
    ("gauge", {"gauge": "5 mil"}, ["no such field", 'did you mean "support.gauge"']),
    ("colour", {"colour": "red"}, ["no such field", "a blank slip shows all fields"]),
    ("support", {"support": "thin"}, ['"thin"', "a table"]),
    ("support.gauge", {"support": {"gauge": 5}}, ['"5"', "0.012 to 0.6 mm", "5 mil"]),
    ("support.gauge", {"support": {"gauge": "5 mm"}}, ["0.012 to 0.6 mm"]),
    ("support.layers", {"support": {"layers": 2}}, ['"2"', '"1" or "3"']),
    ("support.layers", {"support": {"layers": True}}, ['"True"']),
    ("support.nesting", {"support": {"nesting": "1 mm"}}, ["plain number"]),
    ("support.nesting", {"support": {"nesting": 3}}, ["from 0 to 2"]),
    ("support.corner_radius", {"support": {"corner_radius": "-1 mm"}}, ["0 mm or more"]),
    ("support.height", {"support": {"height": 3}}, ["no such field", 'did you mean "height"']),
    ("support.end_inset", {"support": {"end_inset": "x"}}, ['"x"']),
]


def test_there_are_many():
    assert len(BAD) >= 60


def test_a_bare_number_too_large_is_told_as_what_it_was_read():
    """Millimetres in a slip of centimetres or inches; the limits are told in millimetres."""
    for units, told in (("cm", "2030 mm"), ("in", "5156.2 mm")):
        with pytest.raises(SlipError) as refusal:
            slip_from(changed(units=units, height=203, width=13, spine_width=3))
        assert f'"203", that is {told}; height is from 15' in str(refusal.value)


@pytest.mark.parametrize("name", ["books.csv", "Books.XLSX"])
def test_a_list_is_no_slip_and_is_told_what_reads_it(tmp_path, name):
    (tmp_path / name).write_bytes(b"No,Title\n1,One\n")
    for command in ("check", "make"):
        done = CliRunner().invoke(cli, [command, str(tmp_path / name)])
        assert done.exit_code == 1
        assert f"slip {name}: found a table, by its name" in done.output
        assert "cutfiles exhibit LIST --to DIR" in " ".join(done.output.split())
    with pytest.raises(FileError, match="no such file"):
        read_slip(tmp_path / f"other-{name}")


@pytest.mark.parametrize(
    ("field", "changes", "parts"), BAD, ids=[f"{i}-{b[0]}" for i, b in enumerate(BAD)]
)
def test_bad_slip(field, changes, parts):
    with pytest.raises(SlipError) as refusal:
        slip_from(changed(**changes), "slip A1.toml")
    lines = [str(f) for f in refusal.value.faults if str(f.place) == f"slip A1.toml, {field}"]
    assert lines, str(refusal.value)
    for part in parts:
        assert part in lines[0]
    if changes.get("units") is not DROP:
        assert len(refusal.value.faults) == 1, str(refusal.value)


BAD_DESIGN = [
    (
        "spine_width",
        {"spine_width": 6, "left_joint": 5},
        ["a spine panel of 7.0 mm with a step of 5.0 mm", 'write both joints "0"'],
    ),
    (
        "support.layers",
        {"left_joint": 12, "support": {"layers": 3}},
        ["three layers with a riser", "made in one layer", 'layers = "1"'],
    ),
    ("left_rise", {"left_rise": 5, "right_rise": 7}, ["rises of 5.0 and 7.0 mm", "no cradle"]),
    (
        "left_width",
        {"width": 10, "left_rise": 9, "right_rise": 9, "support": {"fore_inset": "6 mm"}},
        ["a board panel of 4.0 mm"],
    ),
    ("height", {"height": 15, "support": {"end_inset": "3 mm"}}, ["finished breadth of 9.0 mm"]),
]


@pytest.mark.parametrize(("field", "changes", "parts"), BAD_DESIGN, ids=[b[0] for b in BAD_DESIGN])
def test_no_cradle_follows(field, changes, parts):
    with pytest.raises(DesignError) as refusal:
        design(slip_from(changed(**changes), "slip A1.toml"))
    message = str(refusal.value)
    assert message.startswith(f"slip A1.toml, {field}: ")
    for part in parts:
        assert part in message


def test_a_thin_spine_gets_crossed_tabs_and_whole_tape():
    made = design(slip_from(changed(spine_width=1)))
    assert made.kind == "level, crossed"
    assert made.length("tab", "left") == 12
    assert [tape.width for tape in made.contacts.tapes] == [6, 6]
    assert (made.film.layers, [one.rule for one in made.told]) == (1, ["layers"])


def test_all_faults_together():
    with pytest.raises(SlipError) as refusal:
        slip_from(
            {"heigth": 1, "height": "-4 mm", "left_rise": "x", "weight": "heavy", "units": "mm"},
            "slip A3.toml",
        )
    places = [str(fault.place).removeprefix("slip A3.toml, ") for fault in refusal.value.faults]
    assert places == [
        "heigth",
        "height",
        "left_rise",
        "weight",
        "number",
        "width",
        "spine_width",
        "right_rise",
    ]
    assert len(str(refusal.value).split("\n")) == 8


@pytest.mark.parametrize(
    ("content", "parts"),
    [
        (b"height = 5 1/4 in\n", ["line 1", "height = 5 1/4 in", "quotation marks"]),
        (b'number = "A1"\nheight = 8"\n', ["line 2", "quotation marks"]),
        (b"height = 1\nheight = 2\n", ["stands once", "line 2"]),
        (b'title = "M\xfcller"\n', ["UTF-8", "save it again"]),
        (b"[support\n", ["line 1"]),
    ],
)
def test_no_toml(tmp_path, content, parts):
    path = tmp_path / "A1.toml"
    path.write_bytes(content)
    with pytest.raises(FileError) as refusal:
        read_slip(path)
    assert str(refusal.value).startswith("slip A1.toml")
    for part in parts:
        assert part in str(refusal.value)


def test_files_that_are_no_slips(tmp_path):
    with pytest.raises(FileError, match="no such file"):
        read_slip(tmp_path / "A1.toml")
    with pytest.raises(FileError, match="a folder"):
        read_slip(tmp_path)
    large = tmp_path / "film.mov"
    large.write_bytes(b"#" * 1_000_001)
    with pytest.raises(FileError, match="at most 1000000"):
        read_slip(large)


def test_bom_and_windows_lines(tmp_path):
    path = tmp_path / "A1.toml"
    text = blank_slip("mm", {k: str(v) for k, v in GOOD.items()})
    path.write_bytes(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode())
    assert read_slip(path).book.height == 203


def test_ways_to_say_the_opening():
    angle = changed(left_rise=DROP, right_rise=DROP, opening_angle=120)
    assert slip_from(angle).opening.left.slope == 30
    one = slip_from(changed(right_rise=DROP, opening_angle=110))
    assert one.opening.left.slope == pytest.approx(30)
    assert one.opening.right.slope == pytest.approx(40)
    assert [f.rule for f in one.findings] == ["slope-from-opening"]
    both = slip_from(changed(left_slope=31, opening_angle=121))
    assert both.opening.left.slope == pytest.approx(30)
    assert [f.place for f in both.findings] == ["left_slope", "opening_angle"]


def test_thickness_stands_in():
    slip = slip_from(changed(spine_width=DROP, thickness=30))
    assert slip.opening.spine_width == 30
    assert slip.findings[0].rule == "spine-from-thickness"


def test_blank_slip_has_every_field_and_reads_as_empty(tmp_path):
    text = blank_slip()
    for one in FIELDS:
        assert f"{one.name} = " in text
    path = tmp_path / "blank.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(SlipError) as refusal:
        read_slip(path)
    assert {fault.found for fault in refusal.value.faults} == {"nothing"}


def test_a_blank_slip_shows_no_film_as_usual_where_it_is_chosen_for_each_book():
    text = blank_slip()
    for name, example in (("gauge", "5 mil"), ("layers", "1 or 3")):
        [line] = [line for line in text.splitlines() if line.startswith(f"# {name} = ")]
        assert line.startswith(f'# {name} = "" ')
        assert line.endswith(f"chosen by what is sure, if not set ({example})")


def test_filled_slip_reads_back(tmp_path):
    known = {
        "number": 'A"1',
        "title": 'It\'s "new" \\ 藏',
        "height": '7 3/4"',
        "width": "5 in",
        "spine_width": "1 in",
        "opening_angle": "120",
        "support.gauge": "3 mil",
    }
    path = tmp_path / "A1.toml"
    path.write_text(blank_slip("in", known), encoding="utf-8")
    slip = read_slip(path)
    assert slip.book.title == known["title"]
    assert slip.film.gauge == pytest.approx(0.0762)
    assert quoted(known["title"]).startswith('"')


@given(st_numbers())
def test_every_number_a_slip_takes_can_be_drawn(text):
    try:
        number = slip_from(changed(number=text)).book.number
    except SlipError:
        return
    assert undrawable(number) == ""


BOARD, LEG, SIDE, SHOWCASE, GAP = (10, 1000), (0, 1000), (0, 300), (20, 10_000), (0, 10)
LIMITS = {
    "mm": {
        "height": (15, 1000),
        **dict.fromkeys(("width", "left_width", "right_width"), BOARD),
        **dict.fromkeys(("spine_width", "thickness"), (0.5, 300)),
        **{
            f"{side}_{of}": LEG
            for side in ("left", "right")
            for of in ("rise", "joint", "fore_edge")
        },
        "span": (0, 2000),
        **dict.fromkeys(("left_side", "right_side"), SIDE),
        **dict.fromkeys(("case_depth", "case_width", "case_height"), SHOWCASE),
        "support.gauge": (0.012, 0.6),
        "support.spine_clearance": (0, 30),
        **{f"support.{name}": (0, 50) for name in ("fore_inset", "end_inset", "deck_lift")},
        "support.tape_thickness": (0, 2),
        **{f"support.{name}": (2, 60) for name in ("tab_most", "tab_least")},
        "support.tab_gap": (0.5, 10),
        "support.least_rise": (0.5, 60),
        **{f"support.{name}": GAP for name in ("fold_gap", "edge_gap", "score_gap")},
        **{f"support.{name}": (0, 6) for name in ("relief_diameter", "stiff_board")},
        **{f"support.{name}": (0, 20) for name in ("corner_radius", "tape_inset")},
        "support.adjust": (0, 4),
    },
    "°": {
        **dict.fromkeys(("left_slope", "right_slope"), (0, 75)),
        **dict.fromkeys(("opening_angle", "support.opening_ceiling"), (30, 180)),
        "spine_tilt": (-90, 90),
        "page_angle": (5, 180),
    },
    "g": {"weight": (1, 50_000)},
    "": {"pages": (1, 20_000), "support.posts": (0, 8), "support.nesting": (0, 2)},
}
"""What a book, its case and a support of film may measure: beyond it a unit was mistaken."""


def out_of_range(path, value, unit):
    """Whether a slip with this value is refused for its size alone."""
    table, _, name = path.rpartition(".")
    written = f"{value} {unit}" if unit else value
    more = {table: {name: written}} if table else {name: written}
    return is_refused_for(
        lambda: slip_from(changed(**more), "slip A1.toml"),
        SlipError,
        f", {path}",
        rf"{name} is (from )?-?\d",
    )


@pytest.mark.parametrize(
    ("path", "unit"), [(path, unit) for unit, paths in LIMITS.items() for path in paths]
)
def test_a_size_no_book_or_support_has_is_refused(path, unit):
    least, most = LIMITS[unit][path]
    step = 0.001 if unit else 1
    assert out_of_range(path, least - step, unit)
    assert out_of_range(path, most + step, unit)
    assert not out_of_range(path, least, unit)
    assert not out_of_range(path, most, unit)


def test_all_sizes_of_a_slip_are_among_these():
    kinds = ("length", "number", "whole", "angle", "weight")
    known = {path for paths in LIMITS.values() for path in paths}
    assert {field.path for field in FIELDS if field.kind in kinds} == known
