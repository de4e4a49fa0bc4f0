"""`check` and `films` as users meet them, and what `make` says of strength."""

import json
import re
from dataclasses import replace

import pytest
from conftest import SAMPLES
from scenarios import rows, values_of
from test_cli import BOOK, run

from cutfiles import check_data, check_table, draft_of, make, read_films, read_slip, slip_from
from cutfiles.bench.blank import quoted
from cutfiles.bench.films import BLANK
from cutfiles.errors import DesignError
from cutfiles.job.make import require_carried
from cutfiles.report.text.check import rows_table
from cutfiles.report.text.made import made_data

WEIGHED = [*BOOK, "--weight", "550 g", "--strict"]


def write(folder, name, **fields):
    text = "".join(f"{key} = {quoted(str(value))}\n" for key, value in fields.items())
    path = folder / f"{name}.toml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def scenario_files(tmp_path_factory):
    folder = tmp_path_factory.mktemp("scenarios")
    return [write(folder, row["support_no"], **values_of(row)) for row in rows()]


def test_one_slip_in_full(tmp_path):
    result = run("check", SAMPLES / "A1.toml")
    assert result.exit_code == 0
    for said in (
        "verdict    adequate: one layer of 7 mil with lips, edges hemmed bears 3.43 N for "
        "a load of 1.66 N, 2.07 × its load (1.25 needed)",
        "counted: the free middle (Euler), plate action, fold lines that stay straight; "
        "not counted: creases",
        "no load test in this studio",
        "dummy of 964 g (1.5 × the weight) for 24 h",
        "left leg 1.66 N",
        "left board panel sags 0.3 mm (at most 2.2 mm): adequate",
        "PET 10 mil",
        "three layers",
        "±6.0",
        "matters most",
        "beware     knife",
        "a conservator decides",
    ):
        assert said in result.output
    assert "laser" not in result.output
    assert list(tmp_path.iterdir()) == []


def test_several_slips_in_a_table(scenario_files):
    result = run("check", *scenario_files)
    assert result.exit_code == 1
    lines = result.stdout.splitlines()
    assert lines[0].split()[:3] == ["number", "title", "verdict"]
    numbers = [line.split()[0] for line in lines[1:35]]
    assert numbers == [row["support_no"] for row in rows()]
    folio = next(line for line in lines if line.startswith("F2"))
    for said in ("another support", "book's weight", "7259 g", "1361 g"):
        assert said in folio
    closed = next(line for line in lines if line.startswith("C3"))
    assert "refused" in closed
    assert "a cradle carries an open book" in closed
    assert "closed book" in result.stderr


def test_a_slip_without_a_number_is_told_by_the_name_of_its_file(tmp_path):
    (tmp_path / "bare.toml").write_text('units = "mm"\nheight = 200\n', encoding="utf-8")
    (tmp_path / "bad.toml").write_text("units = mm", encoding="utf-8")
    result = run("check", SAMPLES / "A1.toml", tmp_path / "bare.toml", tmp_path / "bad.toml")
    rows_told = [line.split()[0] for line in result.stdout.splitlines()[1:4]]
    assert rows_told == ["A1", "bare.toml", "bad.toml"]


def test_exit_code(scenario_files):
    files = {path.stem: path for path in scenario_files}
    assert run("check", files["A4"], files["A1"]).exit_code == 0
    assert run("check", files["A4"], files["F2"]).exit_code == 1
    assert run("check", files["C3"]).exit_code == 1
    assert run("check").exit_code == 2
    assert run("check", files["A4"], "--height", "9 in").exit_code == 2


def test_json(scenario_files):
    one = json.loads(run("check", SAMPLES / "F3.toml", "--json").stdout)
    assert one["refused"] is False
    assert one["verdict"]["state"] == "adequate"
    assert one["verdict"]["governing"] in one["verdict"]["checks"]
    path = one["verdict"]["load_path"]
    assert {"left", "right", "friction", "riser_N", "margin_mm", "tips_at_deg"} <= set(path)
    assert path["riser_N"] == 0
    assert path["tips_at_deg"] > path["slides_at_deg"]
    assert one["matters_most"] in ("left_rise", "right_rise")  # equal halves
    assert one["cautions"][0]["rule"] == "knife"
    many = json.loads(run("check", *scenario_files, "--json").stdout)
    assert len(many) == 34
    assert [entry["number"] for entry in many if isinstance(entry["refused"], list)] == ["C3"]
    assert next(e for e in many if e["number"] == "F2")["refused"] is True


def test_json_is_plain_json():
    """A side that weighs nothing loads its leg with nothing: no infinity gets out."""
    slip = slip_from(
        {
            "number": "T",
            "units": "mm",
            "height": 190,
            "width": 124,
            "spine_width": 32,
            "opening_angle": 120,
            "left_side": 0,
            "right_side": 30,
            "weight": "100 g",
        }
    )
    data = json.dumps(check_data(draft_of(slip)), allow_nan=False)
    assert '"measured": null' in data
    assert "adequate" in check_table(draft_of(slip))


def test_other_ways_are_told_in_brief_beside_the_files_and_in_full_by_check():
    made = make(read_slip(SAMPLES / "A1.toml"), formats=["svg"], paper=None)
    brief = made_data(made)["verdict"]["ways"]
    full = check_data(made.draft)["verdict"]["ways"]
    assert len(brief) > 20
    assert brief == [{key: way[key] for key in ("words", "state", "sure")} for way in full]
    for way in full:
        legs = [leg["capacity_N"] / leg["load_N"] for leg in way["legs"]]
        assert min(legs) == pytest.approx(way["sure"], abs=0.001)


@pytest.mark.parametrize(("units", "width"), [("mm", "133 mm"), ("in", '6 1/4"')])
def test_what_a_millimetre_does_stands_in_columns(tmp_path, units, width):
    rises = {"left_rise": "3 in", "right_rise": "2.5 in"}
    book = {"number": "A1", "units": units, "height": "203 mm", "width": width, "weight": "641 g"}
    lines = run("check", write(tmp_path, "A1", **book, **rises, spine_width="34 mm")).output
    head, *rows = lines[lines.index("  measured ") :].splitlines()[:7]
    names = ("usual error", "leg, mm", "base, mm", "opening")
    ends = [head.index(name) + len(name) for name in names]
    begins = [27, *(end + 2 for end in ends[:-1])]
    for row in rows:
        cells = [row[begin:end] for begin, end in zip(begins, ends, strict=True)]
        assert all(re.fullmatch(r" *(±[^±–]*|–)", cell) for cell in cells), row
        assert re.match(r"  \w", row[ends[-1] :])


def test_no_weight():
    result = run("check", *BOOK)
    assert result.exit_code == 0
    assert "adequate (weight estimated): one layer of 5 mil with two posts a leg" in result.output
    assert "g (weight estimated) (1.5 × the weight) for 24 h" in result.output


def test_questions_and_strict(tmp_path):
    path = write(
        tmp_path,
        "Q",
        number="Q",
        units="mm",
        height=203,
        width=133,
        spine_width=34,
        left_slope=30,
        right_slope=30,
        opening_angle=110,
    )
    asked = run("check", path)
    assert asked.exit_code == 0
    assert 'question   opening_angle: is "110" right? the two sides leave 120.0°' in asked.output
    strict = run("check", path, "--strict")
    assert strict.exit_code == 1
    assert 'slip Q.toml, opening_angle: found "110"' in strict.output
    refused = run("make", path, "--strict", "--to", tmp_path / "out")
    assert refused.exit_code == 1
    assert not (tmp_path / "out").exists()
    assert run("make", path, "--to", tmp_path / "out", "--format", "svg").exit_code == 0


def test_case_without_room(tmp_path):
    result = run("check", *WEIGHED, "--case-width", "200 mm")
    assert result.exit_code == 1
    assert "does not fit: it takes 265.4 mm, and the case has 200.0 mm" in result.output
    assert run("check", *WEIGHED, "--case-width", "400 mm").exit_code == 0


def test_laser(tmp_path):
    cut = run("check", *WEIGHED, "--machine", "laser")
    assert cut.exit_code == 0
    assert "extraction on" in cut.output
    assert "knife" not in cut.output
    for command in (["check"], ["make", "--to", tmp_path / "out"]):
        coated = run(*command, *WEIGHED, "--machine", "laser", "--coating", "coated")
        assert coated.exit_code == 1
        assert "a laser cuts uncoated polyester only" in coated.output
    assert not (tmp_path / "out").exists()


# -- make ------------------------------------------------------------------------------------------


def test_make_never_makes_silently_what_does_not_hold(tmp_path):
    result = run("make", SAMPLES / "D1.toml", "--to", tmp_path)
    assert result.exit_code == 0
    assert "D1: another support: left board panel sags 76.1 mm" in result.stderr
    assert "verdict    another support" in result.stdout
    data = json.loads((tmp_path / "D1.json").read_text(encoding="utf-8"))
    assert data["verdict"]["state"] == "another support"
    assert [f["rule"] for f in data["findings"]].count("strength") == 1
    for picture in ("D1.standing.svg", "D1.flat.svg"):
        assert "another support: left board" in (tmp_path / picture).read_text(encoding="utf-8")


def test_make_refuses_what_no_film_carries(tmp_path):
    heavy = [*BOOK, "--weight", "7 kg"]
    result = run("make", *heavy, "--to", tmp_path / "out")
    assert result.exit_code == 1
    assert "the book weighs 7000 g (at most 1361 g in film)" in result.output
    assert "--anyway" in result.output
    assert not (tmp_path / "out").exists()
    again = run("make", *heavy, "--anyway", "--to", tmp_path / "out", "--format", "svg")
    assert again.exit_code == 0
    assert "another support: the book weighs" in again.stderr


def test_cut_files_do_not_depend_on_the_weight():
    from dataclasses import replace

    slip = replace(read_slip(SAMPLES / "A1.toml"), settled=True)

    other = replace(slip, book=replace(slip.book, weight=100.0))
    for one, two in zip(make(slip).files, make(other).files, strict=True):
        assert (one.data == two.data) == (one.verified is True)


# -- films -----------------------------------------------------------------------------------------


def test_films(tmp_path):
    usual = run("films")
    assert usual.exit_code == 0
    assert "PET 10 mil  0.254" in usual.output
    assert run("films", "--blank").output == BLANK
    own = tmp_path / "ours.toml"
    own.write_text(
        BLANK.replace('"5 mil"  ', '"12 mil" ').replace("flat sheets 5", "thick 12"),
        encoding="utf-8",
    )
    assert "500 × 700" in run("films", own).output
    (data,) = json.loads(run("films", own, "--json").output)
    assert data["sizes_mm"] == [[500, 700]]
    assert read_films(own).kinds[0].name == "thick 12 mil"
    used = run("check", SAMPLES / "A4.toml", "--films", own)
    assert "thick 12 mil" in used.output
    assert "PET" not in used.output
    made = run(
        "make",
        *BOOK,
        "--film",
        "thick 12 mil",
        "--layers",
        "1",
        "--films",
        own,
        "--to",
        tmp_path / "out",
        "--format",
        "svg",
        "--json",
    )
    assert json.loads(made.stdout)["gauge_mm"] == 0.3048


def test_bad_films_are_refused(tmp_path):
    own = tmp_path / "ours.toml"
    own.write_text('[[film]]\ngauge = "5"\n', encoding="utf-8")
    for command in (["films", own], ["check", *BOOK, "--films", own]):
        result = run(*command)
        assert result.exit_code == 1
        assert "films ours.toml, film 1, name" in result.output
        assert "films ours.toml, film 1, gauge" in result.output


def test_long_titles_keep_the_table_narrow():
    row = ("1", "x" * 300, "adequate", "left leg", "1.43", "1.25", "7 mil in one layer")
    assert max(map(len, rows_table([row]).splitlines())) < 120


def test_layers_that_bow_are_refused(tmp_path):
    """Three layers of 10 mil cannot be folded flat: refused, and made where that is asked."""
    thick = [*WEIGHED, "--gauge", "10 mil", "--layers", "3", "--construction", "plain"]
    result = run("make", *thick, "--to", tmp_path / "out")
    assert result.exit_code == 1
    assert "0.254 mm film in three layers (at most 0.127 mm)" in result.output
    assert "make it of one layer" in result.output
    assert not (tmp_path / "out").exists()
    again = run("make", *thick, "--anyway", "--to", tmp_path / "out", "--format", "svg")
    assert again.exit_code == 0, again.output


@pytest.mark.parametrize(
    ("settings", "name"), [({}, "least film"), ({"construction": "posts", "posts": 2}, "runner-up")]
)
def test_a_runner_up_of_more_film_is_not_called_the_least(settings, name):
    """What is made has fewer folds than the one below it, or less film than it."""
    book = {"number": "U1", "units": "mm", "height": 200, "width": 130, "spine_width": 30}
    book |= {"opening_angle": 120, "weight": "600 g", "support": settings}
    draft = draft_of(slip_from(book))
    made, least = draft.verdict.made, draft.verdict.least
    assert (least.grams < made.grams) == (name == "least film")
    assert [line for line in check_table(draft).splitlines() if line.startswith(f"  {name} ")]


@pytest.mark.parametrize(("height", "said"), [("270 mm", "254.0 mm"), ("300 mm", "280.0 mm")])
def test_the_height_that_practice_allows_is_the_one_that_was_passed(tmp_path, height, said):
    """Above 254 mm a trial, above 280 mm another support: each names its own limit."""
    path = tmp_path / "T1.toml"
    path.write_text(
        f'number = "T1"\nunits = "mm"\nheight = "{height}"\nwidth = "133"\nspine_width = "34"\n'
        'opening_angle = "120"\nweight = "600 g"\n'
    )
    told = run("check", path).output
    assert f"mm tall (at most {said} in film)" in told


@pytest.mark.parametrize("units", ["mm", "in"])
def test_a_book_a_little_too_heavy_does_not_read_as_just_right(units):
    """Three pounds are 1360.8 g: 1361 g are more."""
    book = {"number": "H1", "units": units, "height": "203 mm", "width": "133 mm"}
    slip = slip_from({**book, "spine_width": "34 mm", "opening_angle": 120, "weight": "1361 g"})
    said = "the book weighs 1361.0 g (at most 1360.8 g in film)"
    assert said in check_table(draft_of(slip))
    light = replace(slip, book=replace(slip.book, weight=1360.0))
    assert "1360 g" in check_table(draft_of(light))


@pytest.mark.parametrize(
    ("spine", "slope", "gauge", "told"),
    [
        # each rule alone. 2 t a over the spine's 46: (2/π) √(0.133 × 46); over the foot's leg of 23
        # 2 t (90 + 100)° / 2: (2/π) √(0.421 × 23.05), a twelfth of it at most
        (34, 20, "7 mil", "0.178 mm film in three layers (at most 0.127 mm)"),
        (45, 30, "5 mil", "inner layers rise 1.57 mm towards the spine (at most 1.5 mm)"),
        (20, 10, "5 mil", "inner layers bow 1.98 mm in the left leg (at most 1.9)"),
    ],
)
def test_each_way_layers_bow_is_refused_by_itself(spine, slope, gauge, told):
    """Film that cannot lie flat was cut for nothing: `make` says so before it writes a file."""
    fields = {"number": "B1", "units": "mm", "height": 203, "width": 133, "weight": "300 g"}
    fields |= {"spine_width": spine, "left_slope": slope, "right_slope": slope}
    support = {"layers": 3, "gauge": gauge, "construction": "plain"}
    with pytest.raises(DesignError) as refused:
        require_carried(draft_of(slip_from({**fields, "support": support})))
    assert told in str(refused.value)
