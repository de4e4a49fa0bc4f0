"""A walk: a list of eight books of every kind of opening, some unmeasured, to files that fold.

The list as it came is refused with its questions; they are answered in the list; the supports are
made, opened by readers that are not ours, and folded from a file by this test's own rotations.
"""

import csv
import io
import itertools
import json
import math
import re

import pytest
from click.testing import CliRunner
from conftest import outside_module

from cutfiles.cli import cli

CAME = """
number,title,opening,height,width,spine width,left rise,right rise,left joint,right joint,left side,right side,page angle,weight,notes,joints,follow,adjust
W1,Garden calendar,p. 84,160 mm,105 mm,26 mm,38 mm,38 mm,,,13 mm,13 mm,,260 g,,,,2 mm
W2,Orchard notes,p. 11,150 mm,100 mm,24 mm,66 mm,40 mm,,,4 mm,20 mm,,210 g,front opening,,,
W3,Field book,p. 61,150 mm,100 mm,24 mm,66 mm,48 mm,19 mm,10 mm,7 mm,17 mm,,220 g,on props,,,
W4,Small herbal,title page,120 mm,80 mm,20 mm,50 mm,0 mm,20 mm,0 mm,3 mm,17 mm,,160 g,lone cover,,,
W5,Recipes,p. 300,150 mm,100 mm,about 22 mm,40 mm,60 mm,0 mm,12 mm,17 mm,5 mm,,200 g,back opening,,,
W6,Seed list,p. 4,160 mm,100 mm,3 mm,34 mm,34 mm,,,1.5 mm,1.5 mm,,30 g,pamphlet,,,
W7,Almanack,p. 20,140 mm,95 mm,15 mm,17 mm,17 mm,,,7 mm,7 mm,110,110 g,,,,
W8,Sermons,p. 40,150 mm,100 mm,20 mm,60 mm,40 mm,,,5 mm,15 mm,,190 g,not to be propped,,,
""".strip()  # noqa: E501
ANSWERS = {
    "W2": {"left joint": "16 mm", "right joint": "0 mm"},
    "W7": {"follow": "leaves"},
    "W8": {"joints": "guess"},
}
JOINTS = {"W2": (16, 0), "W3": (9, 0), "W4": (20, 0), "W5": (0, 12)}
"""Of the left and the right side, above the table, as measured: set down by the lower one."""


def answered():
    rows = list(csv.DictReader(io.StringIO(CAME)))
    for row in rows:
        row |= ANSWERS.get(row["number"], {})
    out = io.StringIO()
    writer = csv.DictWriter(out, fieldnames=list(rows[0]))
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


def run(*args):
    return CliRunner().invoke(cli, [str(arg) for arg in args])


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    home = tmp_path_factory.mktemp("walk")
    table = home / "books.csv"
    table.write_text(answered(), encoding="utf-8")
    result = run("exhibit", table, "--no-cards", "--workers", "1", "--to", home / "out")
    assert result.exit_code == 0, result.output
    assert "8 rows: 8 made, 0 refused" in result.output
    return home / "out" / "supports"


def test_the_list_as_it_came_is_asked_about(tmp_path):
    table = tmp_path / "books.csv"
    table.write_text(CAME, encoding="utf-8")
    result = run(
        "exhibit", table, "--strict", "--no-cards", "--workers", "1", "--to", tmp_path / "out"
    )
    assert result.exit_code == 1
    told = (tmp_path / "out" / "report.txt").read_text(encoding="utf-8")
    lines = told.splitlines()
    for number, field, remedy in (
        ("W2", "left_joint", "measure left_joint"),
        ("W8", "left_joint", 'write both joints "0"'),
        ("W7", "page_angle", "write follow ="),
    ):
        at = next(i for i, line in enumerate(lines) if line.startswith(f"    {number} "))
        assert field in lines[at - 1]
        assert remedy in lines[at - 1]
        assert not (tmp_path / "out" / "supports" / f"{number}.svg").exists()
    for number in ("W1", "W3", "W4", "W5", "W6"):
        assert (tmp_path / "out" / "supports" / f"{number}.svg").exists(), told


def record(made, number):
    return json.loads((made / f"{number}.json").read_text(encoding="utf-8"))


def test_every_book_gets_its_kind(made):
    assert [record(made, f"W{number}")["kind"] for number in range(1, 9)] == [
        "level, side by side",
        "riser",
        "riser",
        "lone cover",
        "riser",
        "level, crossed",
        "level, lapped",
        "riser",
    ]
    creases = {n: {c["name"] for c in record(made, f"W{n}")["creases"]} for n in range(1, 9)}
    high = {2: "left", 3: "left", 4: "left", 5: "right", 8: "left"}
    for number, names in creases.items():
        side = high.get(number)
        assert (f"{side} toe" in names) == (side is not None), number
    assert "right foot" not in creases[4]  # its thick side lies flat
    assert "right joint" in creases[6]  # crossed
    slopes = [c["angle_deg"] for c in record(made, "W7")["creases"] if "spine" in c["name"]]
    assert slopes == [pytest.approx(35), pytest.approx(35)]  # 110° between the leaves


def test_guessed_is_said(made):
    state = record(made, "W8")["verdict"]
    assert (state["state"], state["governing"]["check"]) == ("make a trial", "joints")
    text = (made / "W8.svg").read_text(encoding="utf-8")
    assert "guessed" in text
    assert "guessed" not in (made / "W2.svg").read_text(encoding="utf-8")


def test_opened_by_readers_that_are_not_ours(made):
    ezdxf, pikepdf = outside_module("ezdxf"), outside_module("pikepdf")
    svgelements = outside_module("svgelements")
    for number in range(1, 9):
        name, told = f"W{number}", record(made, f"W{number}")
        space = ezdxf.readfile(made / f"{name}.r2000.dxf").modelspace()
        outlines = [ends_of(e) for e in space if e.dxf.layer == "CUT_OUTLINE"]
        strip = max(outlines, key=lambda ends: max(p[0] for p in ends) - min(p[0] for p in ends))
        left = min(p[0] for p in strip)
        across = (min(p[1] for p in strip) + max(p[1] for p in strip)) / 2  # the middle's creases
        end = left + sum(panel["length"] for panel in told["panels_mm"])  # an end hem folds there
        scores = [ends_of(e) for e in space if e.dxf.layer.startswith("SCORE_")]
        xs = sorted(
            a[0]
            for a, b in scores
            if min(a[1], b[1]) < across < max(a[1], b[1]) and a[0] < end - 0.01
        )
        assert [x - left for x in xs] == pytest.approx(
            [c["position_mm"] for c in told["creases"]], abs=0.01
        )
        with pikepdf.open(made / f"{name}.pdf") as pdf:
            assert len(pdf.pages) == 1
        drawn = svgelements.SVG.parse(made / f"{name}.svg")
        assert sum(isinstance(one, svgelements.Shape) for one in drawn.elements()) > len(xs)


def ends_of(entity):
    if entity.dxftype() == "LINE":
        return [entity.dxf.start, entity.dxf.end]
    return list(entity.get_points())


def test_folded_from_the_file_joints_and_fore_edges_stand_where_measured(made):
    rows = {row["number"]: row for row in csv.DictReader(io.StringIO(answered()))}
    assert guessed_step(made) > 4  # of the book whose joints were not to be measured
    for number in range(1, 9):
        name = f"W{number}"
        joints = (guessed_step(made), 0) if name == "W8" else JOINTS.get(name, (0, 0))
        told, row = record(made, name), rows[name]
        places = folded(made / f"{name}.fold", [p["name"] for p in told["panels_mm"]])
        lift = min(y for (x, y) in (places["left joint"], places["right joint"]))
        for side, joint in zip(("left", "right"), joints, strict=True):
            height = places[f"{side} joint"][1] - lift
            assert height == pytest.approx(joint, abs=2.01)  # in one line: up to 2 mm
            panel = float(row["width"].removesuffix(" mm")) - 3
            rise = float(row[f"{side} rise"].removesuffix(" mm"))
            if name == "W7":  # leaves at 110°: both boards at 35°
                rise = (panel + 3) * math.sin(math.radians(35))
            fore = places[f"{side} fore edge"][1] - places[f"{side} joint"][1]
            meant = rise * panel / (panel + 3) if rise >= 8 else 0
            assert fore == pytest.approx(meant, abs=0.02)


def guessed_step(made):
    """What the file of the book with guessed joints says of its left joint, mm."""
    text = (made / "W8.svg").read_text(encoding="utf-8")
    return float(re.search(r"left joint\W+([\d.]+) mm", text)[1])


def folded(path, names):
    """Joints and fore ends by a FOLD file's creases alone, turned one after the other."""
    flat = json.loads(path.read_text(encoding="utf-8"))
    at, turns = flat["vertices_coords"], {}
    across = max(y for _, y in at) / 2  # in the middle of three layers
    for (a, b), kind, angle in zip(
        flat["edges_vertices"], flat["edges_assignment"], flat["edges_foldAngle"], strict=True
    ):
        if kind in "MV" and min(at[a][1], at[b][1]) < across < max(at[a][1], at[b][1]):
            turns[round((at[a][0] + at[b][0]) / 2, 4)] = math.radians(angle)
    ends = [0.0, *sorted(turns), max(x for x, _ in at)]
    heading, x, y, corners = 0.0, 0.0, 0.0, [(0.0, 0.0)]
    for start, end in itertools.pairwise(ends):
        heading += turns.get(start, 0.0)
        x, y = x + (end - start) * math.cos(heading), y + (end - start) * math.sin(heading)
        corners.append((x, y))
    return set_down(corners, ends, path, names)


def set_down(corners, ends, path, names):
    """Turn the strip so that its bases lie level, and name joints and fore ends."""
    told = json.loads(path.with_suffix(".json").read_text(encoding="utf-8"))
    stops, x = {}, 0.0
    for panel in told["panels_mm"]:
        stops[panel["name"]] = (x, x + panel["length"])
        x += panel["length"]

    def place(x):
        for (a, b), (start, end) in zip(
            itertools.pairwise(corners), itertools.pairwise(ends), strict=True
        ):
            if start - 1e-3 <= x <= end + 1e-3:
                share = (x - start) / (end - start)
                return a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])
        raise AssertionError(x)

    base = "left base" if "left base" in names else "right base"
    (ax, ay), (bx, by) = (place(x) for x in stops[base])
    turn = math.pi - math.atan2(by - ay, bx - ax)
    cos, sin = math.cos(turn), math.sin(turn)
    wanted = {
        "left fore edge": stops["left board"][0],
        "left joint": stops["left board"][1],
        "right joint": stops["right board"][0],
        "right fore edge": stops["right board"][1],
    }
    found = {name: place(x) for name, x in wanted.items()}
    return {name: (cos * x - sin * y, sin * x + cos * y) for name, (x, y) in found.items()}
