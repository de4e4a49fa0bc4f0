"""The bench card alone folds the support: a parser of this test reads it, and carries it out.

Nothing but what is printed is used: letters from the crease table, steps, the places of the tape.
The folder folds the cut file as told; it must be the support that stands, each tape on a face that
could be reached when it was laid, and at the panel it is stuck to when its liner comes off.
"""

import math
import re
from dataclasses import dataclass, field

import pytest
from conftest import BOOK
from pages import text_of

from cutfiles.bench.slip import slip_from
from cutfiles.draft import draft_of
from cutfiles.files.fold_check import check_reading, face_layers
from cutfiles.files.formats import FORMATS, Options
from cutfiles.folding.drawn import places_of
from cutfiles.folding.fold import fold
from cutfiles.folding.space import Spot, dot
from cutfiles.report.pictures.scene import scene_of
from cutfiles.report.printed.bench_card import bench_card

OPTIONS = Options(hpgl_range=8_388_607)
VERBS = (
    "Lay|Turn over|Turn back|Tape|Tuck|Cover|Hem|Lip|Post|Raise|Bend up|Bend|Turn in|Roll|Fit|Stick"
    "|Check"
)
PLAIN = {"construction": "plain", "edges": "cut", "layers": 1, "gauge": "7 mil"}
THIRDS = {"construction": "plain", "edges": "folded", "layers": 3, "gauge": "5 mil"}
LIPS = {"construction": "lips", "edges": "folded", "layers": 1, "gauge": "7 mil"}
POSTS = {"construction": "posts", "edges": "folded", "layers": 1, "gauge": "7 mil"}
RISER = {
    "height": 190,
    "width": 124,
    "spine_width": 32,
    "left_rise": 87.7,
    "right_rise": 52.4,
    "left_joint": 20.6,
    "right_joint": 0,
}
RIGHT_HIGH = {**RISER, "left_rise": 52.4, "right_rise": 87.7, "left_joint": 0, "right_joint": 20.6}
FLAT = {"left_slope": 30, "right_slope": 0}
CASES = {
    "side by side, plain": (BOOK, PLAIN),
    "side by side, thirds": (BOOK, THIRDS),
    "side by side, lips": (BOOK, LIPS),
    "side by side, posts": (BOOK, POSTS),
    "unequal, thirds": (BOOK | {"left_slope": 20, "right_slope": 45}, THIRDS),
    "lapped, thirds": (BOOK | {"spine_width": 15}, THIRDS),
    "lapped, hemmed": (BOOK | {"spine_width": 15}, {**LIPS, "construction": "plain"}),
    "crossed": (BOOK | {"spine_width": 8, "left_slope": 25, "right_slope": 35}, LIPS),
    "crossed, no spine panel": (BOOK | {"spine_width": 2}, PLAIN),
    "right side flat": (BOOK | FLAT, LIPS),
    "left side flat, thirds": (BOOK | {"left_slope": 0, "right_slope": 30}, THIRDS),
    "riser": (RISER, LIPS),
    "riser, right high, posts": (RIGHT_HIGH, POSTS),
    "riser, low side flat": (RISER | {"right_rise": 0}, PLAIN),
}


@dataclass
class Told:
    """What a card tells: letters in the order of the strip, steps, tape by panel."""

    letters: list[str]
    steps: list[tuple[str, str]]
    tapes: dict[str, tuple[float, float, str]]


def read_card(text):
    """Read a card's crease table, steps and tape, from its text alone."""
    letters = re.findall(r"\b([A-Z]) (?:mountain|valley) \d+\.\d° \d+\.\d°", text)
    found = re.findall(rf"\b(\d+) ({VERBS}) (.*?)(?=\b\d+ (?:{VERBS}) |$)", text)
    steps = []
    for number, verb, said in found:
        if int(number) == len(steps) + 1:
            steps.append((verb, said))
    tapes = {}
    for who, wide, clear, end in re.findall(
        r"On ((?:the [a-z ]+?(?:, | and )?)+): (\d+\.\d) mm wide, \d+\.\d mm long; "
        r"(\d+\.\d) mm from "
        r"its (outer end|left end|right end)",
        text,
    ):
        for name in names(who):
            tapes[name] = (float(wide), float(clear), end)
    return Told([x for x in letters if x not in "XY"], steps, tapes)


def names(said):
    """Return the panels named in a row: ``the left tab and the right tab``."""
    found = re.findall(
        r"((?:left |right )?(?:riser tab|tab|spine panel|spine|board|leg|base|ramp))", said
    )
    return [name.removesuffix(" panel") for name in found]


@dataclass
class Bench:
    """A piece of film on the bench, folded as told."""

    checked: object
    told: Told
    up: str = "book"
    angles: dict[str, float] = field(default_factory=dict)
    laid: dict[str, str] = field(default_factory=dict)
    stuck: list[str] = field(default_factory=list)

    def __post_init__(self):
        pattern = self.checked.draft.pattern
        across = sorted(pattern.creases, key=lambda crease: crease.position)
        self.letters = {
            letter: crease.name for letter, crease in zip(self.told.letters, across, strict=True)
        }
        self.letters |= {"X": "inner long fold", "Y": "outer long fold"}

    def do(self, verb, said):
        if verb in ("Turn over", "Turn back"):
            self.up = "table" if self.up == "book" else "book"
            assert f"the {self.up} face is up" in said
        elif verb in ("Tuck", "Cover"):
            flap, letter = re.search(r"(inner|outer) flap: ([XY]) up and right over", said).groups()
            assert (flap, letter) in (("inner", "X"), ("outer", "Y"))
            self.angles[self.letters[letter]] = self.over()
        elif verb == "Hem":
            sides = said.partition(":")[0]
            for flange in self.checked.draft.pattern.flanges:
                at_end = f"the end of the {flange.panel}"
                if flange.kind == "hem" and (
                    at_end in sides
                    if flange.name.endswith(", end")
                    else flange.panel in names(sides)
                ):
                    self.angles[flange.name] = self.over()
        elif verb == "Lip":
            assert "then back to stand at 90°" in said
            for flange in self.checked.draft.pattern.flanges:
                if flange.kind == "lip" and flange.panel in names(said):
                    self.angles[flange.name] = self.over() / 2
        elif verb == "Tape":
            assert "face now up" in said
            assert "liner stays on" in said
            for panel in names(said.partition(" on the face")[0]):
                self.laid[panel] = self.up
                assert not any(self.angles.get(name) for name in list(self.letters.values())[:-2])
        elif verb in ("Raise", "Bend", "Bend up", "Turn in", "Roll"):
            assert self.up == "book"
            for group, way, by in re.findall(
                r"([A-W](?: (?:and|then) [A-W])*) (valley|mountain), by (\d+\.\d)°", said
            ):
                for letter in re.findall(r"[A-W]", group):
                    sign = 1 if way == "valley" else -1
                    self.angles[self.letters[letter]] = sign * math.radians(float(by))
        elif verb == "Stick":
            for part in said.partition(". Liner off")[0].split(", then "):
                self.stick(part)

    def over(self):
        """Return the angle of what is folded up and right over, valley positive."""
        return math.pi if self.up == "book" else -math.pi

    def folded(self):
        whole, pattern = self.checked.check.folded, self.checked.draft.pattern
        middle, places, angles = pattern.band("middle").box, places_of(pattern), {}
        flanges = {flange.name for flange in pattern.flanges}
        for number, edge in enumerate(whole.graph.edges):
            if edge.kind not in "MV":
                continue
            ends = (whole.graph.vertices[edge.a], whole.graph.vertices[edge.b])
            stroke, _ = places.nearest(ends)
            name = stroke.of if stroke.of in flanges else stroke.name.partition(",")[0]
            angle = self.angles.get(name, 0.0)
            level = sum(end.y for end in ends) / 2
            turned = "long" not in name and name not in flanges
            on_flap = turned and not middle.bottom <= level <= middle.top
            angles[number] = -angle if on_flap else angle
        return fold(whole.graph, angles, whole.root)

    def motion(self, panel):
        face = self.checked.check.faces[panel, "middle"]
        return scene_of(self.checked).place.after(self.folded().motion(face))

    def at(self, panel, x):
        middle = self.checked.draft.pattern.band("middle").box
        return self.motion(self.root_of(panel)).apply(Spot(x, middle.centre.y, 0.0))

    def root_of(self, panel):
        """Return the panel whose face a panel without a crease of its own belongs to."""
        profile = self.checked.draft.support.profile
        faces = self.checked.check.faces
        if (panel, "middle") in faces:
            return panel
        first, end = profile.piece(panel)
        return next(p.name for p in profile.panels[first:end] if (p.name, "middle") in faces)

    def stick(self, said):
        own, to = names(said)[:2] if "under the" not in said else (names(said)[0], "")
        if not to:
            other = re.search(r"under the (left|right) one", said)[1]
            to = f"{other} tab"
        pattern = self.checked.draft.pattern
        left, right = pattern.span(own)
        wide, clear, end = self.told.tapes[own]
        tip_left = own.startswith("left") if end == "outer end" else end == "left end"
        x = left + clear + wide / 2 if tip_left else right - clear - wide / 2
        spot, me, it = (
            self.at(own, x),
            self.motion(self.root_of(own)),
            self.motion(self.root_of(to)),
        )
        start, stop = (self.at(to, edge) for edge in pattern.span(to))
        gap = dot(it.normal, spot - start)
        assert abs(gap) < 2.0, f"{own} is {gap:.1f} mm off {to} when it is stuck"
        along = dot(stop - start, spot - start) / dot(stop - start, stop - start)
        assert -0.01 < along < 1.01, f"{own} is stuck beside {to}"
        # tape lies on the table face, which looks away from the normal
        assert self.laid[own] == "table"
        normal = me.normal
        facing = Spot(-normal.x, -normal.y, -normal.z)
        assert abs(dot(facing, it.normal)) > 0.99
        meets = Spot(-facing.x, -facing.y, -facing.z)
        if "underside" in said or "under the" in said:
            assert meets.z < 0
        else:
            face = re.search(r"(table|book) face", said)[1]
            assert dot(meets, it.normal) * (1 if face == "book" else -1) > 0.99
        for letter in re.findall(r"its ticks at ([A-Z])", said):
            [ticks] = {s.path.points[0].x for s in pattern.strokes if s.name == f"tape tick, {own}"}
            crease = next(c for c in pattern.creases if c.name == self.letters[letter])
            board = next(p.name for p in pattern.panels if p.part == "board")
            ends = [self.at(p.name, crease.position) for p in pattern.panels if p.part == "board"]
            assert board
            assert min(abs(self.at(own, ticks).x - one.x) for one in ends) < 2.5
        self.stuck.append(own)


def support_of(values, support):
    return draft_of(slip_from({"number": "A1", "units": "mm", **values, "support": support}))


def standing(made):
    form = FORMATS["svg"]
    data = form.write(form.prepared(made.drawing), OPTIONS)
    return check_reading(form.read(data), "x.svg", made, form, OPTIONS, compared=True)


def fold_by(text, checked):
    """Fold a piece as a card's text tells; return how far it is off the support, mm."""
    bench = Bench(checked, read_card(text))
    for verb, said in bench.told.steps:
        bench.do(verb, said)
    assert bench.up == "book"
    tapes = [tape.panel for tape in checked.draft.support.contacts.tapes]
    assert bench.stuck == tapes == list(bench.laid), "tape laid and stuck, each once"
    whole, end = checked.check.folded, bench.folded()
    return max(
        math.dist(a, b)
        for face in face_layers(checked)
        for a, b in zip(whole.corners(face), end.corners(face), strict=True)
    )


@pytest.mark.parametrize("name", CASES)
def test_a_card_folds_its_support(name):
    values, support = CASES[name]
    if values is BOOK or "opening_angle" in values:
        values = {
            k: v for k, v in values.items() if k != "opening_angle" or "left_slope" not in values
        }
    made = support_of(values, support)
    checked = standing(made)
    assert checked.check.folds
    text = " ".join(text_of(bench_card(made)))
    assert fold_by(text, checked) < 1.5
    if "Post" in {step.verb for step in made.support.steps}:
        assert "lap down on the tape of the face with the label" in text


@pytest.mark.parametrize(
    ("was", "becomes"),
    [
        ("C and D valley", "C and D mountain"),
        ("B and E mountain", "B and D mountain"),
        ("X up and right over", "Y up and right over"),
        ("the left tab and the right tab on", "the left tab on"),
        ("ticks at C", "ticks at D"),
    ],
)
def test_a_wrong_word_gives_no_support(was, becomes):
    made = support_of({k: v for k, v in BOOK.items()}, THIRDS)
    text = " ".join(text_of(bench_card(made)))
    assert was in text
    with pytest.raises((AssertionError, ValueError, KeyError)):
        assert fold_by(text.replace(was, becomes), standing(made)) < 1.5
