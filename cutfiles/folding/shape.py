"""The folded support measured: shape standing, tabs, flaps, films that clash."""

import math
from collections.abc import Iterator
from itertools import combinations
from typing import NamedTuple

from cutfiles.dataclass import dataclass
from cutfiles.findings import Finding
from cutfiles.folding.clash import clashes
from cutfiles.folding.drawn import Match
from cutfiles.folding.flanges import flange_faces, flange_findings
from cutfiles.folding.fold import Folded
from cutfiles.folding.graph import Graph
from cutfiles.folding.space import Motion, Spot, dot, standing
from cutfiles.pattern.pattern import Band, Pattern
from cutfiles.plane.shapes import Point
from cutfiles.support.contacts import Tape
from cutfiles.support.profile import joined
from cutfiles.support.standing import Bearing, Support, along, tape_middle

CLOSE = 0.05
"""Heights and widths of the folded support are right within this, mm."""
_TOP = {"fore edge": "apex", "joint": "ridge"}
"""The crease at the top of an upright panel, by the end of the board that it bears."""
UPRIGHT = 0.1
"""Legs are upright within this, degrees."""


@dataclass(frozen=True, slots=True)
class Measure:
    """One number of the folded support beside the one it was designed with.

    Attributes:
        rule: of the check.
        place: panel or side.
        found: mm, or degrees where the rule is ``upright`` or ``level``.
        meant: the same, as designed.
        limit: how far they may be apart.

    """

    rule: str
    place: str
    found: float
    meant: float
    limit: float

    @property
    def right(self) -> bool:
        """Whether it is as designed."""
        return abs(self.found - self.meant) <= self.limit


def face_of(graph: Graph, pattern: Pattern, panel: str, band: Band) -> int | None:
    """Return the face of a panel on a band: the one that holds most of a line along its middle."""
    x = sum(pattern.span(panel)) / 2
    for share in (0.5, 0.3, 0.7, 0.15, 0.85):  # a slot may lie in the middle
        face = graph.face_at((x, band.box.bottom + share * band.box.height))
        if face is not None:
            return face
    return None


class Shape:
    """A folded support being measured: collects the numbers that findings are made of."""

    def __init__(
        self,
        folded: Folded,
        pattern: Pattern,
        support: Support,
        matches: tuple[Match, ...],
        limit: float,
    ) -> None:
        self.folded, self.pattern, self.support = folded, pattern, support
        self.limit = limit
        self.middle = pattern.band("middle")
        self.level = (self.middle.box.bottom + self.middle.box.top) / 2
        self.drawn = {match.stroke.name: match.drawn_at for match in matches}
        self.faces = {
            (panel.name, band.name): face_of(folded.graph, pattern, panel.name, band)
            for panel in pattern.panels
            for band in pattern.bands
        }
        self.flanges = flange_faces(folded.graph, pattern)
        self.place = self._upright()
        self.measures = tuple(self._measures())

    def findings(self) -> Iterator[Finding]:
        """Yield what is not as designed."""
        for one in self.measures:
            if not one.right:
                yield self._wrong(one)
        yield from self._tabs()
        yield from self._flaps()
        yield from flange_findings(self.folded, self.pattern, self.flanges)
        yield from self._edge()
        yield from self._register()
        yield from self._through()

    # -- numbers ------------------------------------------------------------------------------

    def _upright(self) -> Motion:
        """Return the move from the drawing, the root panel still, to the table.

        The middle of the root panel, between its creases as drawn, is put where it should be.
        """
        root, profile = self.pattern.root, self.support.profile
        i = profile.standing
        middle = (self._drawn_x(i) + self._drawn_x(i + 1)) / 2
        return standing(root, middle - profile.panels[i].length / 2)

    def _drawn_x(self, corner: int) -> float:
        """Return x of a panel's end in the drawing: of its crease as drawn, if it has one."""
        folds = {fold.after: fold.name for fold in self.support.profile.folds}
        meant = self.middle.box.left + self.support.profile.ends()[corner]
        return self.drawn.get(f"{folds.get(corner)}, middle", meant)

    def _spot(self, x: float, panel: str) -> Spot | None:
        """Return where a place of a panel comes to stand, mm, z from the table up."""
        face = self.faces[(panel, "middle")]
        motion = None if face is None else self.folded.motions[face]
        return None if motion is None else self.place.apply(motion.place((x, self.level)))

    def _corner(self, corner: int, panel: int) -> Spot | None:
        """Return where one end of a panel comes to stand; an end of the strip as it is drawn."""
        name, last = self.pattern.panels[panel].name, len(self.pattern.panels)
        face, graph = self.faces[(name, "middle")], self.folded.graph
        if corner not in (0, last) or face is None:
            return self._spot(self._drawn_x(corner), name)
        xs = [p.x for p in graph.polygons[face]]
        return self._spot(min(xs) if corner == 0 else max(xs), name)

    def _ends(self, panel: str) -> tuple[Spot, Spot] | None:
        """Return where a panel's left and right end come to stand."""
        i = self.support.profile.index(panel)
        left, right = self._corner(i, i), self._corner(i + 1, i)
        return None if left is None or right is None else (left, right)

    def _measures(self) -> Iterator[Measure]:
        feet: list[tuple[Bearing, Spot, Point]] = []
        for bearing in self.support.bearings:
            found = self._ends(bearing.panel)
            if found is None:
                continue
            meant = self.support.ends_of(bearing.panel)
            up = meant[1].y > meant[0].y
            (foot, top), (low, high) = (found, meant) if up else (found[::-1], meant[::-1])
            feet.append((bearing, foot, low))
            place = f"{bearing.side} {_TOP[bearing.at]}"
            yield Measure("height", place, top.z, high.y, self.limit)
            lean = math.degrees(math.atan2(abs(high.x - low.x), high.y - low.y))
            leg = foot - top
            lies = math.degrees(math.atan2(math.hypot(leg.x, leg.y), -leg.z))
            yield Measure("upright", bearing.panel, lies, round(lean, 9), UPRIGHT)
            yield from self._base(bearing.panel)
        yield from self._widths(feet)

    def _widths(self, feet: list[tuple[Bearing, Spot, Point]]) -> Iterator[Measure]:
        """Yield how far apart feet stand; the one leg's, from the middle between the joints."""
        legs = [one for one in feet if one[0].at == "fore edge"]
        for bearing, heel, low in feet:
            for leg, foot, meant in legs:
                if bearing.at == "joint" and bearing.side == leg.side:
                    place = f"{leg.side} foot to {leg.side} heel"
                    wide, total = abs(foot.x - heel.x), abs(meant.x - low.x)
                    yield Measure("width", place, wide, total, self.limit)
        if len(legs) == 1:
            (leg, foot, meant), place = legs[0], f"{legs[0][0].side} foot to the spine's middle"
            yield Measure("width", place, abs(foot.x), abs(meant.x), self.limit)
        elif legs:
            (_, left, meant_left), (_, right, meant_right) = legs
            wide, total = right.x - left.x, meant_right.x - meant_left.x
            yield Measure("width", "whole width", wide, total, self.limit)

    def _base(self, upright: str) -> Iterator[Measure]:
        """Yield how what lies on the table beside an upright panel lies; not what it stands by."""
        profile = self.support.profile
        at = profile.index(upright)
        for name in self.support.contacts.table:
            first, end = profile.piece(name)
            if name == profile.root.panel or at not in (first - 1, end):
                continue
            ends = self._corner(first, first), self._corner(end, end - 1)
            if ends[0] is None or ends[1] is None:
                continue
            foot, tip = ends if at == first - 1 else ends[::-1]
            assert foot is not None
            assert tip is not None
            tilt = math.degrees(math.atan2(tip.z - foot.z, abs(tip.x - foot.x)))
            yield Measure("level", name, tilt, 0.0, UPRIGHT)
            # stood on this base, the spine panel is that much higher than the base
            lift = self.support.deck_lift
            yield Measure("lift", name, lift - tip.z, lift, self.limit)

    def _wrong(self, one: Measure) -> Finding:
        unit = "°" if one.rule in ("upright", "level") else " mm"
        said = {
            "height": f"the {one.place} would come to {one.found:.2f} mm above the table, "
            f"should be {one.meant:.2f}",
            "upright": f"the {one.place} would lean by {one.found:.1f}°",
            "level": f"the {one.place} would slope by {one.found:.1f}° instead of lying flat",
            "lift": f"stood on the {one.place}, the spine panel would be {one.found:.2f} mm above "
            f"the table, should be {one.meant:.2f}",
            "width": f"the {one.place} would be {one.found:.2f} mm, should be {one.meant:.2f}",
        }[one.rule]
        assert unit in said
        return Finding(one.rule, one.place, said, one.found, one.limit, "stop")

    # -- tabs, flaps, films ---------------------------------------------------------------------

    def _tabs(self) -> Iterator[Finding]:
        """Yield what is taped and does not come to lie where it should."""
        spans: list[tuple[Tape, float, float]] = []
        for tape in self.support.contacts.tapes:
            panel = self.support.held_by(tape)
            ends, to = self._ends(tape.panel), self._ends(panel)
            if ends is None or to is None:
                continue
            flat = tuple(Point(spot.x, spot.z) for spot in (*ends, *to))
            found = _lies((flat[0], flat[1]), (flat[2], flat[3]), tape)
            meant = _lies(self.support.ends_of(tape.panel), self.support.ends_of(panel), tape)
            spans.append((tape, *found.span))
            if abs(found.reach - meant.reach) > 2 * self.limit or found.over > 2 * self.limit:
                yield Finding(
                    "tab",
                    tape.panel,
                    f"the {tape.panel} would reach {found.reach:.2f} mm under the "
                    f"{panel} panel, should be {meant.reach:.2f}",
                    found.reach,
                    meant.reach,
                    "stop",
                )
            elif abs(found.gap - meant.gap) > self.limit and all(m.right for m in self.measures):
                yield Finding(
                    "tab",
                    tape.panel,
                    f"{abs(found.gap):.2f} mm would lie between the {tape.panel} and the "
                    f"{panel} panel it is taped to, should be {abs(meant.gap):.2f}",
                    found.gap,
                    meant.gap,
                    "stop",
                )
        for (one, *a), (two, *b) in combinations(spans, 2):
            over = min(a[1], b[1]) - max(a[0], b[0])
            if (one.to, one.to_face) == (two.to, two.to_face) and over > 0:
                said = f"the tabs would lie {over:.2f} mm on one another"
                yield Finding("tab", "tabs", said, over, 0.0, "stop")

    def _flaps(self) -> Iterator[Finding]:
        stack = self.support.film.stack
        box = self.middle.box
        for band in self.pattern.bands:
            if not band.layer:
                continue
            below = band.box.top <= self.level
            for panel in self.pattern.panels:
                face = self.faces[(panel.name, band.name)]
                upper = self.faces[(panel.name, "middle")]
                if face is None or upper is None or self.folded.motions[face] is None:
                    continue
                place = f"the {band.name} under the {panel.name}"
                hinge = next((h for h in self.folded.hinges if h.face == face), None)
                ways = [self.folded.motion(f).normal for f in (face, upper)]
                if hinge is None or dot(*ways) > -0.999:
                    yield Finding(
                        "flap", panel.name, f"{place} would not lie flat on it", severity="stop"
                    )
                elif hinge.angle > 0:
                    yield Finding(
                        "flap", panel.name, f"{place} would lie on the book face", severity="stop"
                    )
            fold = self.drawn["inner long fold" if below else "outer long fold"]
            edges = [2 * fold - y for y in self._band_reach(band)]
            over = max(box.bottom - min(edges), max(edges) - box.top)
            if over > stack:
                yield Finding(
                    "flap",
                    band.name,
                    f"the {band.name} would stand out {over:.2f} mm beyond the middle",
                    over,
                    stack,
                    "stop",
                )

    def _band_reach(self, band: Band) -> tuple[float, float]:
        """Return the lowest and highest places drawn on a band's side of the middle."""
        ys = [p.y for p in self.folded.graph.vertices]
        if band.box.top <= self.level:
            return min(ys), band.box.top
        return band.box.bottom, max(ys)

    def _edge(self) -> Iterator[Finding]:
        """Nothing shows past the book's head or tail."""
        inset = self.support.choices.end_inset
        low, high = self.middle.box.bottom - inset, self.middle.box.top + inset
        spots = [
            spot
            for face, motion in enumerate(self.folded.motions)
            if motion is not None
            for spot in self.folded.corners(face)
        ]
        over = max(max(low - spot.y, spot.y - high) for spot in spots)
        if over > self.limit and self.pattern.flanges:
            said = f"film would show {over:.2f} mm past the book's head or tail"
            yield Finding("edge", "head and tail", said, over, 0.0, "stop")

    def _register(self) -> Iterator[Finding]:
        """The long folds hold the layers: a crease lies at one place on all of them."""
        for name, off in layer_misfits(self.drawn, self.pattern).items():
            if abs(off) > self.limit:
                said = f"{name} lies {abs(off):.2f} mm beside the crease it is folded with"
                yield Finding("flap", name, said, off, self.limit, "stop")

    def _through(self) -> Iterator[Finding]:
        stack = self.support.film.stack
        names: dict[int, str] = {}
        for panel in joined(self.support.profile).panels:
            face = self.faces[(panel.name, "middle")]
            if face is not None and self.folded.motions[face] is not None:
                names.setdefault(face, panel.name)
        names |= {
            face: name
            for name, face in self.flanges.items()
            if self.folded.motions[face] is not None
        }
        for a, b, gap in clashes(self.folded, list(names), stack):
            one, other = names[a], names[b]
            if {one, other} in self.support.contacts.touching and gap >= 0:
                continue  # as designed; `_tabs` asks whether tape meets what it should
            designed = self.support.deck_lift < stack and gap >= self.support.deck_lift - self.limit
            message = (
                f"the {one} and the {other} panel would pass through one another"
                if gap <= 0
                else f"only {gap:.2f} mm lie between the {one} and the {other} panel, and the "
                f"film is {stack:.2f} mm thick"
            )
            yield Finding(
                "through",
                f"{one}, {other}",
                message,
                max(gap, 0.0),
                stack,
                "advise" if designed else "stop",
            )


class _Lies(NamedTuple):
    """How a taped panel lies on the other one, mm.

    Attributes:
        span: from where to where along it.
        reach: of its free end over it.
        over: of the tape's middle beyond it.
        gap: between the two, at the free end.

    """

    span: tuple[float, float]
    reach: float
    over: float
    gap: float


def _lies(ends: tuple[Point, Point], to: tuple[Point, Point], tape: Tape) -> _Lies:
    """Return how a taped panel lies, both seen from the tail."""
    whole = math.dist(*to)
    tip, other = ends if tape.end == "left" else ends[::-1]
    (at, gap), (body, _) = along(to, tip), along(to, other)
    reach = whole - at if body > at else at
    middle, _ = along(to, tape_middle(tape, ends))
    return _Lies((min(at, body), max(at, body)), reach, max(-middle, middle - whole), gap)


def layer_misfits(drawn: dict[str, float], pattern: Pattern) -> dict[str, float]:
    """Return by how much each flap crease lies beside the middle's, mm.

    Args:
        drawn: where each score is drawn, by its name, mm.
        pattern: the pattern.

    """
    return {
        f"{crease.name}, {band.name}": drawn[f"{crease.name}, {band.name}"]
        - drawn[f"{crease.name}, middle"]
        for band in pattern.bands
        if band.layer
        for crease in pattern.creases
    }
