"""Where the tool really goes: worked through by machines of the tests' own, from the files."""

import csv
import io
import itertools
import math

import pytest
from conftest import SAMPLES
from dangers.jobs import done, laser, profile, run, slip
from interpreters import KnifeMachine, LaserMachine


def passes(folder, suffix):
    return sorted(folder.glob(f"*.face-?.{suffix}"))


def laser_burns(path):
    machine = LaserMachine().take(path.read_bytes())
    machine.check_ended()
    return machine.burns


def inside(place, polygon):
    """Whether a place lies in a polygon, by crossings of a ray."""
    x, y = place
    crossed = 0
    for (ax, ay), (bx, by) in itertools.pairwise([*polygon, polygon[0]]):
        if (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay):
            crossed += 1
    return crossed % 2 == 1


# -- lead-ins -------------------------------------------------------------------------------------


@pytest.mark.parametrize("hole", ["1 mm", "1.5 mm", "3 mm"])
@pytest.mark.parametrize("lead_in", ["2 mm", "5 mm"])
def test_a_hole_is_pierced_inside_and_the_outline_outside(hole, lead_in, tmp_path):
    """A lead-in longer than its hole would pierce the support beside it."""
    cutter = laser(tmp_path, ('lead_in = "2 mm"', f'lead_in = "{lead_in}"'))
    path = slip(tmp_path, support={"layers": 3, "gauge": "3 mil", "relief_diameter": hole})
    done("make", path, "--cutter", cutter, "--to", tmp_path / "out")
    holes = outlines = 0
    for file in passes(tmp_path / "out", "gcode"):
        for burn in laser_burns(file):
            if burn.power != 400 or burn.places[1] != burn.places[-1]:
                continue
            pierced, loop = burn.places[0], burn.places[1:]
            around = sum(math.dist(a, b) for a, b in itertools.pairwise(loop))
            if around > 60:
                outlines += 1
                assert not inside(pierced, loop)
            else:
                holes += 1
                assert inside(pierced, loop), f"pierced beside a hole of {hole}: {pierced}"
                assert min(math.dist(pierced, p) for p in loop) > 0.1
    assert outlines == 1
    assert holes >= 12


# -- a trailing knife -----------------------------------------------------------------------------

OFFSET = 0.6


class Blade:
    """The tip of a trailing knife: it follows its pivot at a fixed distance, as a caster does."""

    def __init__(self, heading):
        self.x, self.y = -math.cos(heading), -math.sin(heading)

    def run(self, places):
        """Return where the tip goes as the pivot runs a line; it keeps its heading when lifted."""
        px, py = places[0]
        tip = (px + OFFSET * self.x, py + OFFSET * self.y)
        way = [tip]
        for (ax, ay), (bx, by) in itertools.pairwise(places):
            count = max(1, int(math.dist((ax, ay), (bx, by)) / 0.02))
            for i in range(1, count + 1):
                px, py = ax + (bx - ax) * i / count, ay + (by - ay) * i / count
                span = math.dist((px, py), tip) or 1.0
                tip = (px + (tip[0] - px) * OFFSET / span, py + (tip[1] - py) * OFFSET / span)
                way.append(tip)
        self.x, self.y = (tip[0] - px) / OFFSET, (tip[1] - py) / OFFSET
        return way


def off_line(place, line):
    """How far a place is from a polyline, mm."""
    best = math.inf
    for (ax, ay), (bx, by) in itertools.pairwise(line):
        dx, dy = bx - ax, by - ay
        square = dx * dx + dy * dy
        t = ((place[0] - ax) * dx + (place[1] - ay) * dy) / square if square else 0.0
        t = min(1.0, max(0.0, t))
        best = min(best, math.dist(place, (ax + t * dx, ay + t * dy)))
    return best


def knife_lines(folder, offset):
    cutter = profile(
        folder, "wide-roll-knife", ("[pens]", f'[tool]\nknife_offset = "{offset}"\n\n[pens]')
    )
    done("make", slip(folder), "--cutter", cutter, "--to", folder)
    machine = KnifeMachine().take((folder / "S1.face-a.hpgl").read_bytes())
    machine.check_ended()
    return machine.lines


@pytest.fixture(scope="module")
def led(tmp_path_factory):
    """Lines of the knife: as the pivot is led, and as they should come out (offset 0)."""
    pivot = knife_lines(tmp_path_factory.mktemp("led"), f"{OFFSET} mm")
    drawn = knife_lines(tmp_path_factory.mktemp("drawn"), "0 mm")
    return pivot, drawn


@pytest.mark.parametrize("heading", [0, 1, 2.5, math.pi, -2])
def test_the_tip_cuts_what_is_drawn_however_the_blade_stood(led, heading):
    """Scores and cuts alike, for here the blade half-cuts the scores; the first stroke too."""
    pivot, drawn = led
    blade = Blade(heading)
    first, *rest = [line for line in pivot if line.pen in (1, 2)]
    blade.run(first.places)  # the short cut in the waste that turns the blade
    wanted = [line.places for line in drawn if line.pen in (1, 2)]
    assert len(rest) == len(wanted) > 6
    for line, meant in zip(rest, wanted, strict=True):
        way = blade.run(line.places)
        assert max(off_line(tip, meant) for tip in way[::10]) <= 0.06, meant[:2]
        for end in meant:
            assert off_line(end, way) <= 0.06, f"the tip never comes to {end}"


# -- alignment ------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def planned(tmp_path_factory):
    """A plan with marks, and where its marks lie, as the record of the plan says."""
    import json

    folder = tmp_path_factory.mktemp("align")
    done("make", SAMPLES / "B1.toml", "--cutter", "desktop-knife", "--to", folder)
    plan = folder / "B1.plan.json"
    marks = json.loads(plan.read_text(encoding="utf-8"))["passes"][1]["marks"]
    return plan, marks


def measured(folder, marks, move):
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(["mark", "x", "y"])
    for name, x, y in marks:
        writer.writerow([name, *(f"{v:.3f}" for v in move(x, y))])
    path = folder / "marks.csv"
    path.write_text(text.getvalue(), encoding="utf-8")
    return path


@pytest.mark.parametrize(
    "move",
    [
        pytest.param(lambda x, y: (0.1 * x, 0.1 * y), id="read in cm"),
        pytest.param(lambda x, y: (1.02 * x, 1.02 * y), id="2 % too large"),
        pytest.param(lambda x, y: (0.98 * x, 0.98 * y), id="2 % too small"),
        pytest.param(lambda x, y: (1.02 * x, y), id="2 % along x"),
        pytest.param(lambda x, y: (x / 25.4, y / 25.4), id="read in inches"),
        pytest.param(lambda x, y: (x, -y + 400), id="y counted down"),
    ],
)
def test_a_sheet_does_not_grow_between_passes(planned, move, tmp_path):
    """Film stretches by no hundredth: such marks are measured wrong, and no pass is written."""
    plan, marks = planned
    before = {path.name for path in plan.parent.iterdir()}
    ended = run("align", plan, "--measured", measured(tmp_path, marks, move))
    assert ended.exit_code == 1, ended.output
    after = {path.name for path in plan.parent.iterdir()}
    assert after - {"B1.face-b.misfit.svg"} == before - {"B1.face-b.misfit.svg"}  # for people


def test_a_sheet_that_lies_elsewhere_is_followed(planned, tmp_path):
    plan, marks = planned
    path = measured(tmp_path, marks, lambda x, y: (x + 3.0, y + 1.5))
    ended = run("align", plan, "--measured", path)
    assert ended.exit_code == 0, ended.output
    assert (plan.parent / "B1.face-b.aligned.dxf").exists()
