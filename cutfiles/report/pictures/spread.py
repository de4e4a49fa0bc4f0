"""Moves labels apart that would lie on one another."""


def spread(places: list[float], gap: float, low: float, high: float) -> list[float]:
    """Return ascending places moved apart as little as needed to keep `gap` between them.

    >>> spread([1.0, 1.0, 9.0], 2.0, 0.0, 10.0)
    [0.0, 2.0, 9.0]
    """
    groups: list[list[float]] = []
    for place in places:
        groups.append([place])
        while len(groups) > 1 and _first(groups[-1], gap, low, high) < (
            _first(groups[-2], gap, low, high) + gap * len(groups[-2])
        ):
            last = groups.pop()
            groups[-1] += last
    return [_first(group, gap, low, high) + gap * i for group in groups for i in range(len(group))]


def _first(group: list[float], gap: float, low: float, high: float) -> float:
    """Return where a group of neighbours begins, centred on its members and kept in range."""
    span = gap * (len(group) - 1)
    return max(low, min(high - span, sum(group) / len(group) - span / 2))
