"""A drawing beside what it should hold, and where on the pattern a place lies."""

from collections.abc import Iterable, Sequence

from cutfiles.dataclass import dataclass
from cutfiles.edits.edit import Change, Edit, Kind, State
from cutfiles.edits.meant import Meant, in_pattern, to_pattern
from cutfiles.edits.roles import Known
from cutfiles.folding.graph import touching
from cutfiles.pattern.pattern import Pattern, Role
from cutfiles.plane.measure import box_of
from cutfiles.plane.shapes import Box, Path, Point


@dataclass(frozen=True, slots=True)
class Scene:
    """What is drawn beside what is meant.

    Attributes:
        meant: what should be there.
        lines: what is, those switched off left out.
        hidden: those switched off.

    """

    meant: Meant
    lines: tuple[Known, ...]
    hidden: tuple[Known, ...] = ()

    @property
    def pattern(self) -> Pattern:
        """The pattern of the support."""
        return self.meant.draft.pattern

    def of(self, *roles: Role) -> list[Known]:
        """Return the lines of some roles."""
        return [one for one in self.lines if one.role in roles]


@dataclass(frozen=True, slots=True)
class Site:
    """Where something lies on the pattern.

    Attributes:
        at: its middle, mm in the pattern.
        size: width and height, mm.
        panels: it lies on, left to right; pieces without a crease between them are one panel each.
        band: its middle lies on; empty beside all bands.

    """

    at: Point
    size: tuple[float, float]
    panels: tuple[str, ...]
    band: str

    @property
    def panel(self) -> str:
        """Its panels, told."""
        return ", ".join(self.panels)


def edit_at(
    kind: Kind,
    name: str,
    site: Site,
    paths: Iterable[Path] = (),
    changes: tuple[Change, ...] = (),
    why: str = "",
    state: State = "harmless",
) -> Edit:
    """Return an edit at a site.

    Args:
        kind: what it is.
        name: of what.
        site: where it lies.
        paths: as drawn, mm in the pattern.
        changes: what is done again.
        why: reasons.
        state: what follows, as far as it is known.

    """
    return Edit(
        kind=kind,
        name=name,
        panel=site.panel,
        band=site.band,
        at=site.at,
        size=site.size,
        state=state,
        why=why,
        changes=changes,
        paths=tuple(paths),
    )


def rounded(path: Path) -> Path:
    """Return a path to 0.001 mm, as edits are kept."""
    points = tuple(Point(round(x, 3) + 0.0, round(y, 3) + 0.0) for x, y in path.points)
    return Path(points, tuple(round(b, 6) + 0.0 for b in path.bulges), path.closed)


def site_of(pattern: Pattern, paths: Iterable[Path]) -> Site:
    """Return where paths of the drawing lie on the pattern."""
    box = box_of(paths)
    low, high = in_pattern((box.left, box.bottom)), in_pattern((box.right, box.top))
    at = Point((low.x + high.x) / 2, (low.y + high.y) / 2)
    beside = at.y > pattern.box.top or at.y < pattern.box.bottom
    panels = () if beside else panels_between(pattern, low.x, high.x)
    bands = [band.name for band in pattern.bands if band.box.bottom <= at.y <= band.box.top]
    return Site(at, (box.width, box.height), panels, bands[0] if bands and panels else "")


def panels_between(pattern: Pattern, left: float, right: float) -> tuple[str, ...]:
    """Return the panels that a stretch along the strip lies on, by name."""
    found = []
    for panel in pattern.panels:
        start, end = pattern.span(panel.name)
        inner = min(right, end) - max(left, start)
        if inner > 0.01 or (left == right and start <= left <= end):
            found.append(panel.name)
    return tuple(found)


def panel_box(pattern: Pattern, panel: str) -> Box:
    """Return where a panel lies in the pattern, its edges' hems and lips included, mm."""
    start, end = pattern.span(panel)
    return Box(start, pattern.box.bottom, end, pattern.box.top)


def on_pattern(paths: Sequence[Path]) -> tuple[Path, ...]:
    """Return paths of the drawing as paths of the pattern."""
    return tuple(to_pattern(path) for path in paths)


def clusters(paths: Sequence[Path], within: float) -> list[list[int]]:
    """Return which paths lie together, their boxes no further apart than this, mm."""
    boxes = [box_of([path]) for path in paths]
    left = set(range(len(paths)))
    found = []
    while left:
        group = [min(left)]
        left.discard(group[0])
        for i in group:
            near = [j for j in sorted(left) if touching(boxes[i], boxes[j], within)]
            left.difference_update(near)
            group += near
        found.append(sorted(group))
    return found
