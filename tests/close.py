"""Compares sets of paths by their places, whatever their order, direction or start.

Where they differ, both are saved as a picture: SVG, the found ones red over the wanted ones blue,
the places that differ ringed; the message says where, how far off, and the picture's name.
"""

import os
import tempfile

from cutfiles.plane.measure import box_of, chords, distance, distance_to_path, path_length
from cutfiles.plane.shapes import Box

PICTURES = os.environ.get("CUTFILES_PICTURES") or os.path.join(tempfile.gettempdir(), "cutfiles")


def assert_same_paths(found, wanted, tolerance=1e-6):
    """Each path of the one has a path of the other through the same vertices."""
    left, extra = list(wanted), []
    for path in found:
        twin = next((other for other in left if _same(path, other, tolerance)), None)
        if twin is None:
            extra.append(path)
        else:
            left.remove(twin)
    if extra or left:
        raise AssertionError(_told(found, wanted, extra, left))


def _same(a, b, tolerance):
    return (
        a.closed == b.closed
        and len(a.points) == len(b.points)
        and abs(path_length(a) - path_length(b)) <= tolerance * len(a.points)
        and all(any(distance(p, q) <= tolerance for q in b.points) for p in a.points)
    )


def _told(found, wanted, extra, left):
    """Say what is there and should not be, what is not, where they are furthest apart."""
    lines = [f"{len(found)} paths, should be {len(wanted)}"]
    places = []
    for path in extra:
        place, off = _furthest(path, left)
        places.append(place)
        kind = "a closed" if path.closed else "an open"
        near = f"{off:.6f} mm off the nearest" if left else "and none is left it could be"
        lines.append(f"{kind} path of {path_length(path):.4f} mm, at {_at(place)} {near}")
    for path in left:
        place, _ = _furthest(path, extra)
        places.append(place)
        lines.append(f"none like the one of {path_length(path):.4f} mm at {_at(place)}")
    lines.append(f"see {picture(found, wanted, places)}")
    return "\n".join(lines)


def _furthest(path, others):
    """Return the vertex that lies furthest from all of the others, and how far."""
    if not others:
        return path.points[0], 0.0
    best = min(others, key=lambda other: max(distance_to_path(p, other) for p in path.points))
    place = max(path.points, key=lambda p: distance_to_path(p, best))
    return place, distance_to_path(place, best)


def _at(place):
    return f"({place[0]:.4f}, {place[1]:.4f})"


def picture(found, wanted, places=()):
    """Save both sets of paths; return the file's name."""
    tight = box_of([*found, *wanted])
    box = Box(tight.left - 5, tight.bottom - 5, tight.right + 5, tight.top + 5)
    pen = max(box.width, box.height) / 600
    drawn = [
        f'<path d="{_data(path)}" stroke="{colour}" stroke-width="{pen * width:.4f}"/>'
        for paths, colour, width in ((wanted, "#0072B2", 3), (found, "#D55E00", 1))
        for path in paths
    ]
    drawn += [
        f'<circle cx="{x:.4f}" cy="{y:.4f}" r="{pen * 12:.4f}" stroke="#000" '
        f'stroke-width="{pen:.4f}"/>'
        for x, y in places
    ]
    text = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{box.width:.2f}mm" '
        f'height="{box.height:.2f}mm" viewBox="{box.left:.4f} {-box.top:.4f} {box.width:.4f} '
        f'{box.height:.4f}"><g fill="none" transform="scale(1 -1)">{"".join(drawn)}</g></svg>\n'
    )
    os.makedirs(PICTURES, exist_ok=True)
    name = os.path.join(PICTURES, f"differ-{os.getpid()}-{len(os.listdir(PICTURES))}.svg")
    with open(name, "w", encoding="utf-8") as file:
        file.write(text)
    return name


def _data(path):
    places = " L ".join(f"{x:.4f} {y:.4f}" for x, y in chords(path, 0.01))
    return f"M {places}{' Z' if path.closed else ''}"
