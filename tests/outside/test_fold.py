"""What programs that fold make of our FOLD files: npm fold and rabbit-ear, both MIT."""

import atexit
import functools
import json
import subprocess

import numpy
import pytest
import shapely
import tilted
from conftest import ROOT, SAMPLES, outside_tool, plain, sample, sample_slips

from cutfiles.bench.slip import read_slip, slip_from
from cutfiles.draft import draft_of
from cutfiles.files.fold_check import fold_file
from cutfiles.files.formats import FORMATS, Options
from cutfiles.job.recheck import fold_data

NODE = ROOT / "tests" / "outside" / "node_modules"
OPTIONS = Options(hpgl_range=8_388_607)


def fold_of(slip):
    form = FORMATS["dxf-r2000"]
    data = form.write(form.prepared(draft_of(slip).drawing), OPTIONS)
    return fold_file(fold_data(data, "x.dxf", slip))


def node(script, data, tmp_path):
    """Run a script with the file's name as its argument; return what it prints, as data."""
    path = tmp_path / "x.fold"
    path.write_bytes(data)
    (tmp_path / "script.mjs").write_text(script.replace("NODE", NODE.as_uri()))
    done = subprocess.run(
        ["node", str(tmp_path / "script.mjs"), str(path)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


EAR = """
import { createInterface } from "node:readline";
import ear from "NODE/rabbit-ear/rabbit-ear.module.js";
for await (const line of createInterface({ input: process.stdin })) {
  const { file, root } = JSON.parse(line);
  const flat = { ...file, vertices_coords: file.vertices_coords.map(v => [v[0], v[1], 0]),
    edges_foldAngle: file.edges_foldAngle };
  console.log(JSON.stringify(ear.graph.makeVerticesCoordsFolded(flat, [root])));
}
"""


@functools.cache
def _ear():
    """Start rabbit-ear, once for all tests of a process; it ends when its input is closed."""
    outside_tool("npm rabbit-ear", (NODE / "rabbit-ear").exists())
    words = ["node", "--input-type=module", "-e", EAR.replace("NODE", NODE.as_uri())]
    process = subprocess.Popen(
        words, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, cwd=NODE
    )
    atexit.register(process.communicate)
    return process


def folded_by_ear(document, root):
    """Return where the vertices of a FOLD file come to lie, one of its faces held still."""
    process = _ear()
    print(json.dumps({"file": document, "root": root}), file=process.stdin, flush=True)
    answer = process.stdout.readline()
    assert answer, "rabbit-ear has ended"
    return json.loads(answer)


IN_THREE = ("LEVEL", "LAPPED", "FLAT")
"""Kinds that can be folded of three layers; the others are refused (see tests/support)."""
EVERY_WAY = [(number, 1) for number in sorted(tilted.BOOKS)] + [(n, 3) for n in IN_THREE]


@pytest.mark.parametrize("path", sample_slips(), ids=lambda p: p.stem)
def test_rabbit_ear_folds_each_sample(path):
    folds_alike(fold_of(read_slip(path)))


@pytest.mark.parametrize(("number", "layers"), EVERY_WAY)
def test_rabbit_ear_folds_every_kind_to_the_same_places(number, layers):
    folds_alike(fold_of(tilted.slip_of(number, support={"layers": layers})))


@pytest.mark.parametrize("number", ["RISER", "LEVEL", "LAPPED", "FLAT"])
def test_rabbit_ear_folds_what_has_ticks(number):
    """Spare film and numbered ticks beside the foot: none of them is taken for a crease."""
    folds_alike(fold_of(tilted.slip_of(number, support={"layers": 1, "adjust": "4 mm"})))


def folds_alike(data):
    """Every vertex within 1e-6 of ours, scaled to 100 mm."""
    document = json.loads(data)
    ours = document["file_frames"][0]["vertices_coords"]
    # the root lies where it is drawn
    still = [
        i
        for i, face in enumerate(document["faces_vertices"])
        if all(
            abs(ours[v][2]) < 1e-9 and ours[v][:2] == document["vertices_coords"][v] for v in face
        )
    ]
    theirs = folded_by_ear(document, still[0])
    size = max(abs(part) for spot in ours for part in spot)
    assert len(theirs) == len(ours)
    worst = max(
        abs(a - b) for p, q in zip(ours, theirs, strict=True) for a, b in zip(p, q, strict=True)
    )
    assert worst / size * 100 < 1e-6
    assert max(spot[2] for spot in ours) > 10  # it did fold


SIGN = """
import ear from "NODE/rabbit-ear/rabbit-ear.module.js";
const panel = { vertices_coords: [[0,0,0],[100,0,0],[100,50,0],[0,50,0],[-50,0,0],[-50,50,0]],
  edges_vertices: [[0,1],[1,2],[2,3],[3,0],[3,5],[5,4],[4,0]],
  edges_assignment: ["B","B","B","V","B","B","B"], edges_foldAngle: [0,0,0,60,0,0,0],
  faces_vertices: [[4,0,3,5],[0,1,2,3]] };
console.log(JSON.stringify(ear.graph.makeVerticesCoordsFolded(ear.graph.populate(panel), [0])));
"""


def test_the_sign_of_a_valley(tmp_path):
    """A valley of 60 degrees lifts the end of a 100 mm panel to 86.603 mm, there and here."""
    outside_tool("npm rabbit-ear", (NODE / "rabbit-ear").exists())
    spots = node(SIGN, b"{}", tmp_path)
    assert spots[1][2] == pytest.approx(86.603, abs=1e-3)


VERTICES = """
import { readFileSync } from "node:fs";
import ear from "NODE/rabbit-ear/rabbit-ear.module.js";
const file = ear.graph.populate(JSON.parse(readFileSync(process.argv[2])));
console.log(JSON.stringify({
  maekawa: ear.singleVertex.validateMaekawa(file),
  kawasaki: ear.singleVertex.validateKawasaki(file),
  inside: file.vertices_edges.filter(
    list => list.every(e => file.edges_assignment[e] !== "B")).length,
}));
"""


def test_rabbit_ear_finds_each_vertex_flat_foldable(by_hand, tmp_path):
    """Without relief holes and shift the creases meet in true vertices: 6 on each long fold."""
    outside_tool("npm rabbit-ear", (NODE / "rabbit-ear").exists())
    by_hand["support"] = {"layers": 3, "nesting": 0, "relief_diameter": 0}
    data = fold_of(slip_from(by_hand))
    assert node(VERTICES, data, tmp_path) == {"maekawa": [], "kawasaki": [], "inside": 12}
    document = json.loads(data)
    valley = document["edges_assignment"].index("V")
    document["edges_assignment"][valley] = "M"
    document["edges_foldAngle"][valley] *= -1
    wrong = node(VERTICES, json.dumps(document).encode(), tmp_path)
    assert wrong["maekawa"] != []


LOADS = """
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
const FOLD = createRequire("NODE/fold/package.json")("fold");
const file = FOLD.convert.extensions ? JSON.parse(readFileSync(process.argv[2])) : null;
FOLD.convert.edges_vertices_to_vertices_vertices_unsorted(file);
console.log(JSON.stringify({
  spec: file.file_spec, classes: file.frame_classes, frames: file.file_frames.length,
  neighbours: file.vertices_vertices.length, vertices: file.vertices_coords.length,
}));
"""


@pytest.mark.parametrize("stem", ["A1", "B2", "G1"])
def test_the_fold_library_loads_it(stem, tmp_path):
    outside_tool("npm fold", (NODE / "fold").exists())
    data = fold_of(read_slip(SAMPLES / f"{stem}.toml"))
    read = node(LOADS, data, tmp_path)
    assert read["spec"] == 1.2
    assert read["classes"] == ["creasePattern"]
    assert read["frames"] == 1
    assert read["neighbours"] == read["vertices"] == len(json.loads(data)["vertices_coords"])


LAYERED = {
    "thirds": ({"construction": "plain", "layers": 3, "edges": "folded"}, 21),
    "hems": ({"construction": "plain", "layers": 1, "edges": "folded"}, 6),
    "lips": ({"construction": "lips", "layers": 1, "edges": "folded"}, 6),
    "posts": ({"construction": "posts", "layers": 1, "edges": "cut"}, 4),
}
"""Ways to make a support, and how often film lies on film of the same piece."""


@pytest.mark.parametrize("way", LAYERED)
def test_layers_lie_on_one_another_as_the_format_tells_it(way):
    """FOLD 1.2, faceOrders: two faces and 1 (above), -1 (below) or 0 (unknown), each pair once.

    Folded, the two lie in one plane and cover some of each other.
    """
    support, count = LAYERED[way]
    document = json.loads(fold_of(sample("A1", gauge="5 mil", **support)))
    frames = [document, *document["file_frames"]]
    told = 0
    for frame in document["file_frames"]:
        orders = frame.get("faceOrders", [])
        assert {side for *_, side in orders} <= {1, -1, 0}
        assert len({frozenset(pair) for *pair, _ in orders}) == len(orders)
        told += len(orders)
        spots = numpy.array(frame["vertices_coords"])
        for *pair, _ in orders:
            corners = [spots[frames[frame["frame_parent"]]["faces_vertices"][f]] for f in pair]
            plane = numpy.linalg.svd(corners[0] - corners[0].mean(axis=0))[2]
            one, other = ((at - corners[0].mean(axis=0)) @ plane.T for at in corners)
            assert abs(other[:, 2]).max() < 0.01
            shared = shapely.Polygon(one[:, :2]) & shapely.Polygon(other[:, :2])
            assert shared.area > 10
    assert told == count


def test_what_the_format_asks_for():
    """FOLD 1.2: counts that agree, angles with the sign of their assignment, faces, layers."""
    document = json.loads(fold_of(plain("A1")))
    edges, kinds = document["edges_vertices"], document["edges_assignment"]
    angles, faces = document["edges_foldAngle"], document["faces_vertices"]
    assert len(edges) == len(kinds) == len(angles)
    assert set(kinds) <= set("BMVC")
    for kind, angle in zip(kinds, angles, strict=True):
        assert (angle == 0) == (kind in "BC"), "zero for flat, unassigned, and border folds"
        assert (angle > 0) == (kind == "V")
        assert (angle < 0) == (kind == "M")
        assert abs(angle) <= 180
    pairs = {frozenset(edge) for edge in edges}
    for face in faces:
        ring = [document["vertices_coords"][v] for v in face]
        area = sum(
            a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, [*ring[1:], ring[0]], strict=True)
        )
        assert area > 0
        assert all(
            frozenset(pair) in pairs for pair in zip(face, [*face[1:], face[0]], strict=True)
        )
    frame = document["file_frames"][0]
    assert frame["frame_classes"] == ["foldedForm"]
    assert all(len(spot) == 3 for spot in frame["vertices_coords"])
    orders = frame["faceOrders"]
    assert len(orders) == 3 * 7  # three pairs of layers under each of seven panels
    assert {side for *_, side in orders} == {1, -1}
    own = {key for key in document if ":" in key}
    assert own == {"cutfiles:facts"}
