"""The folded support measured: shape standing, tabs, flaps, films that clash."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from cutfiles.bench.slip import SideName
from cutfiles.findings import Finding
from cutfiles.folding.clash import clashes
from cutfiles.folding.drawn import Match
from cutfiles.folding.fold import Folded
from cutfiles.folding.graph import Graph
from cutfiles.folding.space import Spot, dot
from cutfiles.pattern.layers import layer_moves
from cutfiles.pattern.pattern import Band, Pattern
from cutfiles.support.cradle import SIDES, Support

CLOSE = 0.05
"""Heights and widths of the folded support are right within this, mm."""
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
        self.measures = tuple(self._measures())

    def findings(self) -> Iterator[Finding]:
        """Yield what is not as designed."""
        for one in self.measures:
            if not one.right:
                yield self._wrong(one)
        yield from self._tabs()
        yield from self._flaps()
        yield from self._register()
        yield from self._through()

    # -- numbers ------------------------------------------------------------------------------

    def _spot(self, x: float, panel: str, band: str = "middle") -> Spot | None:
        """Return where a place of a panel comes to lie, mm.

        From the table up; x = 0 is the middle of the spine panel.
        """
        face = self.faces[(panel, band)]
        motion = None if face is None else self.folded.motions[face]
        if motion is None:
            return None
        spot = motion.place((x, self.level))
        spine = self._spine_middle()
        return Spot(spot.x - spine, spot.y, spot.z + self.support.deck_lift)

    def _spine_middle(self) -> float:
        """Return x of the middle of the spine panel in the drawing, by its creases as drawn."""
        ends = [
            self.drawn.get(f"{side} spine, middle", self.pattern.span("spine")[i])
            for i, side in enumerate(SIDES)
        ]
        return sum(ends) / 2

    def _tip(self, side: SideName) -> float:
        """Return x of the end of the strip on the middle band, as drawn."""
        face = self.faces[(f"{side} tab", "middle")]
        graph = self.folded.graph
        xs = [p.x for p in (graph.vertices if face is None else graph.polygon(face))]
        return min(xs) if side == "left" else max(xs)

    def _measures(self) -> Iterator[Measure]:
        feet = {}
        for side in SIDES:
            wing = self.support.half(side)
            if not wing.stands:
                continue
            apex_x = self.drawn[f"{side} apex, middle"]
            foot_x = self.drawn[f"{side} foot, middle"]
            apex = self._spot(apex_x, f"{side} board")
            foot = self._spot(foot_x, f"{side} leg")
            tip = self._spot(self._tip(side), f"{side} tab")
            if apex is None or foot is None or tip is None:
                continue
            feet[side] = foot
            meant = self.support.deck_lift + wing.board * math.sin(wing.slope)
            yield Measure("height", f"{side} fore edge", apex.z, meant, self.limit)
            leg = Spot(foot.x - apex.x, foot.y - apex.y, foot.z - apex.z)
            lean = math.degrees(math.atan2(math.hypot(leg.x, leg.y), -leg.z))
            yield Measure("upright", f"{side} leg", lean, 0.0, UPRIGHT)
            tilt = math.degrees(math.atan2(tip.z - foot.z, abs(tip.x - foot.x)))
            yield Measure("level", f"{side} base", tilt, 0.0, UPRIGHT)
            # stood on this base, the spine panel is that much higher than the base
            lift = self.support.deck_lift
            yield Measure("lift", f"{side} base", lift - tip.z, lift, self.limit)
        if len(feet) == 2:
            total = self.support.left.base + self.support.spine + self.support.right.base
            found = feet["right"].x - feet["left"].x
            yield Measure("width", "base", found, total, self.limit)
        for side, foot in feet.items():
            if len(feet) == 1:
                total = self.support.spine / 2 + self.support.half(side).base
                yield Measure("width", f"{side} base", abs(foot.x), total, self.limit)

    def _wrong(self, one: Measure) -> Finding:
        unit = "°" if one.rule in ("upright", "level") else " mm"
        said = {
            "height": f"the {one.place} would come to {one.found:.2f} mm above the table, "
            f"should be {one.meant:.2f}",
            "upright": f"the {one.place} would lean by {one.found:.1f}°",
            "level": f"the {one.place} would slope by {one.found:.1f}° instead of lying flat",
            "lift": f"stood on the {one.place}, the spine panel would be {one.found:.2f} mm above "
            f"the table, should be {one.meant:.2f}",
            "width": f"the {one.place} would be {one.found:.2f} mm wide, should be {one.meant:.2f}",
        }[one.rule]
        assert unit in said
        return Finding(one.rule, one.place, said, one.found, one.limit, "stop")

    # -- tabs, flaps, films ---------------------------------------------------------------------

    def _tabs(self) -> Iterator[Finding]:
        half = self.support.spine / 2
        tips = {}
        for side in SIDES:
            if not self.support.half(side).stands:
                continue
            spot = self._spot(self._tip(side), f"{side} tab")
            if spot is None:
                continue
            tips[side] = spot.x
            inner = half - spot.x if side == "right" else spot.x + half
            meant = self.support.half(side).tab
            if abs(inner - meant) > 2 * self.limit or abs(spot.x) > half:
                yield Finding(
                    "tab",
                    f"{side} tab",
                    f"the {side} tab would reach {inner:.2f} mm under the "
                    f"spine panel, should be {meant:.2f}",
                    inner,
                    meant,
                    "stop",
                )
        if len(tips) == 2 and not self.support.lapped and tips["left"] > tips["right"]:
            over = tips["left"] - tips["right"]
            yield Finding(
                "tab", "tabs", f"the tabs would lie {over:.2f} mm on one another", over, 0.0, "stop"
            )

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

    def _register(self) -> Iterator[Finding]:
        """Wrapped round the middle, a flap's creases meet it within the film's thickness."""
        gauge = self.support.film.gauge
        for name, off in layer_misfits(self.drawn, self.pattern, self.support).items():
            if abs(off) > gauge + self.limit:
                chosen = self.support.choices.nesting != 1.0
                yield Finding(
                    "flap",
                    name,
                    f"wrapped round the middle, {name} would miss its crease by {abs(off):.2f} mm"
                    + (" (nesting is set)" if chosen else ""),
                    off,
                    gauge,
                    "advise" if chosen else "stop",
                )

    def _through(self) -> Iterator[Finding]:
        stack = self.support.film.stack
        names: dict[int, str] = {}
        for panel in self.pattern.panels:
            if panel.name.endswith("tab"):
                continue  # the end of its base panel
            face = self.faces[(panel.name, "middle")]
            if face is not None and self.folded.motions[face] is not None:
                names.setdefault(face, panel.name)
        for a, b, gap in clashes(self.folded, list(names), stack):
            one, other = names[a], names[b]
            if self.support.lapped and {one, other} <= {"left base", "right base"} and gap < CLOSE:
                continue  # lapped as designed: the right tab is taped on the left one
            designed = self.support.deck_lift < stack and gap >= self.support.deck_lift - self.limit
            message = (
                f"the {one} and the {other} panel would pass through one another"
                if gap == 0.0
                else f"only {gap:.2f} mm lie between the {one} and the {other} panel, and the "
                f"film is {stack:.2f} mm thick"
            )
            yield Finding(
                "through", f"{one}, {other}", message, gap, stack, "advise" if designed else "stop"
            )


def layer_misfits(drawn: dict[str, float], pattern: Pattern, support: Support) -> dict[str, float]:
    """Return by how much each flap crease, wrapped round the middle, misses the middle's, mm.

    A crease on layer k belongs k · t · (sum of the signed fold angles before it + half its own)
    further out than the middle's, t the film's thickness; so without any shift of the creases it
    misses by just that.

    Args:
        drawn: where each score is drawn, by its name, mm.
        pattern: the pattern.
        support: the support.

    """
    moves = layer_moves(support.profile, support.film.gauge).creases
    return {
        f"{crease.name}, {band.name}": drawn[f"{crease.name}, {band.name}"]
        - drawn[f"{crease.name}, middle"]
        - band.layer * move
        for band in pattern.bands
        if band.layer
        for crease, move in zip(pattern.creases, moves, strict=True)
    }
