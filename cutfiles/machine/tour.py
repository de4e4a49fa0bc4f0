"""The shortest way through many segments, each run in either direction: a seeded local search.

From a greedy start, three kinds of moves are made as long as they shorten the way: turning a run
around, moving a run of up to three segments elsewhere, and moving it turned around. Then, again and
again, two neighbouring runs change places (the double bridge of Martin, Otto and Felten, Complex
Systems 5, 1991), what was touched is put right by the same moves, and the better way is kept. The
search stops by work done, not by the clock, and throws the same dice everywhere: the same
segments give the same way on any machine and release of Python.
"""

from collections.abc import Sequence

from cutfiles.dice import Dice

NEAR = 8
"""How many nearest ends are looked at."""
LONGEST_RUN = 3
KICKS = 400
"""Tries to better a way of up to 400 segments; of more, fewer in proportion."""
_GRID_SHARE = 2.0

Ends = Sequence[tuple[complex, complex]]


def best_way(ends: Ends, start: complex, target: complex, kicks: int | None = None) -> list[int]:
    """Return the way as a list of ends: 2·i runs segment i forwards, 2·i + 1 backwards.

    Args:
        ends: first and last place of each segment, x + y·i, mm.
        start: where the tool comes from.
        target: where it goes afterwards.
        kicks: how often the search tries to better itself; a usual number without it.

    >>> best_way([(9 + 0j, 8 + 0j), (1 + 0j, 2 + 0j), (4 + 0j, 6 + 0j)], 0j, 9 + 0j)
    [2, 4, 1]

    """
    if not ends:
        return []
    search = _Search(ends, start, target)
    if kicks is None:
        kicks = min(KICKS, KICKS * 400 // max(1, len(ends)))
    if len(ends) < 4:
        kicks = min(kicks, 20)
    search.run(kicks)
    return [end - 2 for end in search.way[1:]]


def way_length(ends: Ends, way: Sequence[int], start: complex, target: complex) -> float:
    """Return the travel along a way, mm: what lies between the segments."""
    total, at = 0.0, start
    for end in way:
        pair = ends[end >> 1]
        first, last = pair if end % 2 == 0 else pair[::-1]
        total += abs(first - at)
        at = last
    return total + abs(target - at)


class _Search:
    """A way being bettered. Segment 0 is the machine: out at the start, in at the target."""

    def __init__(self, ends: Ends, start: complex, target: complex) -> None:
        self.places: list[complex] = [target, start]
        for first, last in ends:
            self.places += (first, last)
        self.count = len(self.places) // 2
        self.near = _neighbours(self.places)
        self.way = _greedy(self.places, self.near)
        self.at = [0] * self.count
        self._index()
        self.random = Dice().below

    def run(self, kicks: int) -> None:
        self._settle(list(range(self.count)))
        if self.count < 4:
            kicks = 0
        for _ in range(kicks):
            before, at = self.way[:], self.at[:]
            gain = self._kick()
            if gain < -1e-9:
                self.way, self.at = before, at

    # -- moves ------------------------------------------------------------------------------------

    def _kick(self) -> float:
        """Exchange two neighbouring runs and settle; return by how much the way got shorter."""
        way, places, n = self.way, self.places, self.count
        span = min(30, (n - 1) // 2)
        i = 1 + self.random(n - 2)
        j = i + 1 + self.random(span)
        k = j + 1 + self.random(span)
        if k > n:
            i, j, k = i - (k - n), j - (k - n), n
            if i < 1:
                return 0.0
        a, d = way[i - 1] ^ 1, way[k % n]
        before = (
            abs(places[a] - places[way[i]])
            + abs(places[way[j - 1] ^ 1] - places[way[j]])
            + abs(places[way[k - 1] ^ 1] - places[d])
        )
        touched = [a >> 1, way[i] >> 1, way[j - 1] >> 1, way[j] >> 1, way[k - 1] >> 1, d >> 1]
        way[i:k] = way[j:k] + way[i:j]
        self._index(i, k)
        m = i + k - j
        after = (
            abs(places[a] - places[way[i]])
            + abs(places[way[m - 1] ^ 1] - places[way[m]])
            + abs(places[way[k - 1] ^ 1] - places[d])
        )
        return before - after + self._settle(touched)

    def _settle(self, queue: list[int]) -> float:
        """Make moves at these segments as long as one shortens the way; return the gain."""
        waiting = set(queue)
        total = 0.0
        while queue:
            segment = queue.pop()
            waiting.discard(segment)
            while gain := self._turn(segment, queue, waiting) or self._carry(
                segment, queue, waiting
            ):
                total += gain
        return total

    def _turn(self, segment: int, queue: list[int], waiting: set[int]) -> float:
        """Turn a run around that begins or ends at this segment, if that shortens the way."""
        way, at, places, n = self.way, self.at, self.places, self.count
        i = at[segment]
        # from the way out of the segment: make it meet a near exit, or its entry a near entry
        out = way[i] ^ 1
        after = way[i + 1] if i + 1 < n else way[0]
        old = abs(places[out] - places[after])
        for near in self.near[out]:
            first = old - abs(places[out] - places[near])
            if first <= 1e-9:
                break
            j = at[near >> 1]
            if near != way[j] ^ 1 or j == i:
                continue
            beyond = way[j + 1] if j + 1 < n else way[0]
            gain = first + abs(places[near] - places[beyond]) - abs(places[after] - places[beyond])
            if gain > 1e-9:
                self._reverse(min(i, j) + 1, max(i, j), queue, waiting)
                return gain
        into = way[i]
        ahead = way[i - 1] ^ 1
        old = abs(places[into] - places[ahead])
        for near in self.near[into]:
            first = old - abs(places[into] - places[near])
            if first <= 1e-9:
                break
            j = at[near >> 1]
            if near != way[j] or j == i:
                continue
            before = way[j - 1] ^ 1
            gain = first + abs(places[near] - places[before]) - abs(places[ahead] - places[before])
            if gain > 1e-9:
                low, high = (i, j) if i < j else (j, i)
                if low == 0:
                    low, high = high, n
                self._reverse(low, high - 1, queue, waiting)
                return gain
        return 0.0

    def _carry(self, segment: int, queue: list[int], waiting: set[int]) -> float:
        """Carry a short run that begins or ends at this segment elsewhere, if that is shorter."""
        way, at, places, n = self.way, self.at, self.places, self.count
        here = at[segment]
        for length in range(1, LONGEST_RUN + 1):
            for i in {here, here - length + 1}:
                j = i + length - 1
                if i < 1 or j >= n:
                    continue
                a, b, c = way[i - 1] ^ 1, way[i], way[j] ^ 1
                d = way[j + 1] if j + 1 < n else way[0]
                removed = (
                    abs(places[a] - places[b])
                    + abs(places[c] - places[d])
                    - abs(places[a] - places[d])
                )
                if removed <= 1e-9:
                    continue
                for meets, other in ((b, c), (c, b)):
                    for near in self.near[meets]:
                        first = removed - abs(places[meets] - places[near])
                        if first <= 1e-9:
                            break
                        k = at[near >> 1]
                        if i <= k <= j:
                            continue
                        exits = near == way[k] ^ 1
                        if exits:
                            if k == i - 1:
                                continue
                            beyond = way[k + 1] if k + 1 < n else way[0]
                            to = k + 1
                        else:
                            if k == j + 1 or (k == 0 and j == n - 1):
                                continue
                            beyond = way[k - 1] ^ 1
                            to = k or n
                        gain = (
                            first
                            + abs(places[near] - places[beyond])
                            - abs(places[other] - places[beyond])
                        )
                        if gain > 1e-9:
                            turned = exits == (meets == c)
                            self._move(i, j, to, turned, queue, waiting)
                            return gain
        return 0.0

    def _reverse(self, i: int, j: int, queue: list[int], waiting: set[int]) -> None:
        way = self.way
        way[i : j + 1] = [end ^ 1 for end in reversed(way[i : j + 1])]
        self._index(i, j + 1)
        self._wake((i - 1, i, j, j + 1), queue, waiting)

    def _move(
        self, i: int, j: int, to: int, turned: bool, queue: list[int], waiting: set[int]
    ) -> None:
        way = self.way
        run = way[i : j + 1]
        if turned:
            run = [end ^ 1 for end in reversed(run)]
        size = j + 1 - i
        if to <= i:
            way[to : j + 1] = run + way[to:i]
            self._index(to, j + 1)
            self._wake((to - 1, to, to + size - 1, to + size, j, j + 1), queue, waiting)
        else:
            way[i:to] = way[j + 1 : to] + run
            self._index(i, to)
            self._wake((i - 1, i, to - size - 1, to - size, to - 1, to), queue, waiting)

    def _wake(self, places: tuple[int, ...], queue: list[int], waiting: set[int]) -> None:
        for place in places:
            segment = self.way[place % self.count] >> 1
            if segment not in waiting:
                waiting.add(segment)
                queue.append(segment)

    def _index(self, start: int = 0, end: int | None = None) -> None:
        at, way = self.at, self.way
        for i in range(start, len(way) if end is None else end):
            at[way[i] >> 1] = i


def _neighbours(places: list[complex]) -> list[list[int]]:
    """Return for each end the nearest ends of other segments, nearest first."""
    xs, ys = [p.real for p in places], [p.imag for p in places]
    width, height = max(xs) - min(xs), max(ys) - min(ys)
    share = _GRID_SHARE / len(places)
    # places on a line have no area: then the line is cut into as many cells
    size = max((width * height * share) ** 0.5, max(width, height) * share, 1e-3)
    left, bottom = min(xs), min(ys)
    cells: dict[tuple[int, int], list[int]] = {}
    homes = []
    for i, place in enumerate(places):
        home = (int((place.real - left) / size), int((place.imag - bottom) / size))
        homes.append(home)
        cells.setdefault(home, []).append(i)
    reach = int(max(width, height) / size) + 1
    near = []
    for i, (cx, cy) in enumerate(homes):
        found: list[int] = []
        ring = 0
        while ring <= reach and (len(found) <= NEAR + 2 or ring < 2):
            found += _ring(cells, cx, cy, ring)
            ring += 1
        found += _ring(cells, cx, cy, ring)
        here, own = places[i], i >> 1
        pairs = sorted((abs(places[j] - here), j) for j in found if j >> 1 != own)
        near.append([j for _, j in pairs[:NEAR]])
    return near


def _ring(cells: dict[tuple[int, int], list[int]], cx: int, cy: int, ring: int) -> list[int]:
    """Return what stands in the cells at this distance."""
    if ring == 0:
        return cells.get((cx, cy), [])
    found: list[int] = []
    for x in range(cx - ring, cx + ring + 1):
        found += cells.get((x, cy - ring), ())
        found += cells.get((x, cy + ring), ())
    for y in range(cy - ring + 1, cy + ring):
        found += cells.get((cx - ring, y), ())
        found += cells.get((cx + ring, y), ())
    return found


def _greedy(places: list[complex], near: list[list[int]]) -> list[int]:
    """Return the way that goes on to the nearest end each time."""
    left = set(range(1, len(places) // 2))
    way = [0]
    while left:
        here = way[-1] ^ 1
        end = next((j for j in near[here] if j >> 1 in left), None)
        if end is None:
            at = places[here]
            end = min((abs(places[e] - at), e) for s in left for e in (2 * s, 2 * s + 1))[1]
        left.discard(end >> 1)
        way.append(end)
    return way
