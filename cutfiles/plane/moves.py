"""Moves of the plane: shift, turn over, scale. Each returns a new path."""

from cutfiles.plane.shapes import QUARTER, Path, Point


def shift(path: Path, dx: float, dy: float) -> Path:
    """Return the path moved by (dx, dy)."""
    points = [Point(x + dx, y + dy) for x, y in path.points]
    return Path(tuple(points), path.bulges, path.closed)


def mirror_left_right(path: Path, axis: float) -> Path:
    """Return the path turned over about the upright line x = axis; arcs turn the other way."""
    points = tuple(Point(2 * axis - x, y) for x, y in path.points)
    return Path(points, tuple(-b if b else 0.0 for b in path.bulges), path.closed)


def mirror_head_tail(path: Path, axis: float) -> Path:
    """Return the path turned over about the level line y = axis; arcs turn the other way."""
    points = tuple(Point(x, 2 * axis - y) for x, y in path.points)
    return Path(points, tuple(-b if b else 0.0 for b in path.bulges), path.closed)


def quarter_turn(path: Path, height: float) -> Path:
    """Return the path turned a quarter to the left, as a sheet of this height is turned.

    What lay along the sheet's upper edge comes to lie along its left one; the sheet's lower left
    corner stays at (0, 0).
    """
    points = tuple(Point(height - y, x) for x, y in path.points)
    return Path(points, path.bulges, path.closed)


def reverse(path: Path) -> Path:
    """Return the path run the other way, from the same start if it is closed.

    >>> reverse(Path((Point(0, 0), Point(3, 4), Point(6, 0)), (0.0, 0.5), closed=False)).bulges
    (-0.5, 0.0)
    """
    turned = tuple(-b if b else 0.0 for b in reversed(path.bulges))
    if path.closed:
        return Path((path.points[0], *reversed(path.points[1:])), turned, True)
    return Path(tuple(reversed(path.points)), turned, False)


def start_at(path: Path, index: int) -> Path:
    """Return a closed path that begins at another of its vertices."""
    points, bulges = path.points, path.bulges
    return Path(points[index:] + points[:index], bulges[index:] + bulges[:index], True)


def scale(path: Path, factor: float) -> Path:
    """Return the path scaled about the origin."""
    points = tuple(Point(x * factor, y * factor) for x, y in path.points)
    return Path(points, path.bulges, path.closed)


def round_corners(path: Path, corners: frozenset[int], radius: float) -> Path:
    """Return a closed path of right-angled lines with the named vertices rounded.

    Args:
        path: closed, straight, with square corners at the named vertices.
        corners: indices of the vertices to round, all of them convex, the path counter-clockwise.
        radius: in mm; 0 leaves the path as it is.

    """
    if radius <= 0:
        return path
    points: list[Point] = []
    bulges: list[float] = []
    count = len(path.points)
    for i, corner in enumerate(path.points):
        if i not in corners:
            points.append(corner)
            bulges.append(0.0)
            continue
        points.append(_toward(corner, path.points[i - 1], radius))
        points.append(_toward(corner, path.points[(i + 1) % count], radius))
        bulges += [QUARTER, 0.0]
    return Path(tuple(points), tuple(bulges), closed=True)


def _toward(start: Point, end: Point, length: float) -> Point:
    dx, dy = end.x - start.x, end.y - start.y
    span = abs(dx) + abs(dy)
    return Point(start.x + dx / span * length, start.y + dy / span * length)
