"""Compares sets of paths by their places, whatever their order, direction or start."""

from cutfiles.plane.measure import distance, path_length


def assert_same_paths(found, wanted, tolerance=1e-6):
    """Each path of the one has a path of the other through the same vertices."""
    left = list(wanted)
    assert len(found) == len(left), f"{len(found)} paths, should be {len(left)}"
    for path in found:
        twin = next((other for other in left if _same(path, other, tolerance)), None)
        assert twin is not None, f"no such path: {path}"
        left.remove(twin)


def _same(a, b, tolerance):
    return (
        a.closed == b.closed
        and len(a.points) == len(b.points)
        and abs(path_length(a) - path_length(b)) <= tolerance * len(a.points)
        and all(any(distance(p, q) <= tolerance for q in b.points) for p in a.points)
    )
