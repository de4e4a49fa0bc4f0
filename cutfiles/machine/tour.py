"""The shortest way through many segments, each run in either direction: a seeded local search.

From a greedy start, moves are made as long as they shorten the way: one that exchanges two links
(a run is turned) or three (two runs next to each other are turned, or change places, however long
they are). Only links between near ends are looked at, and the shorter part is rewritten. Then,
again and again, two short neighbouring runs change places by chance (the double bridge of Martin,
Otto and Felten, Complex Systems 5, 1991), what was touched is put right by the same moves, and the
new way is kept if it is no longer, or, ever more rarely, a little longer (annealing). So a kick
costs what lies about it, not the whole job. The search stops by work done, not by the clock, and
throws the same dice everywhere: the same segments give the same way on any machine and release of
Python. Measured in `tests/bench/order.py`.
"""

import math
from collections.abc import Sequence

from cutfiles.dataclass import dataclass
from cutfiles.dice import Dice

NEAR, NEAR_OF_MANY = 8, 6
"""How many nearest ends are looked at."""
NEARER, NEARER_OF_MANY = 5, 4
"""The same, for the third link of a move."""
MANY = 300
"""Of more segments fewer ends are looked at: in the same time more kicks find a shorter way."""
LONGEST_RUN = 50
"""Of a kick, segments."""
LEAST_WORK, MOST_WORK = 20_000, 2_800_000
"""Places looked at and rewritten: about 0.02 and 2 s."""
PAIR_WORK = 20
"""Between the two, for each pair of segments: few segments are soon as good as they get."""
WARMTH = 0.2
"""By how much a way may get longer at first, in links of mean length."""
LEAST = 1e-9
"""What counts as shorter, mm."""
_GRID_SHARE = 2.0

Ends = Sequence[tuple[complex, complex]]


def best_way(ends: Ends, start: complex, target: complex, work: int | None = None) -> list[int]:
    """Return the way as a list of ends: 2·i runs segment i forwards, 2·i + 1 backwards.

    Args:
        ends: first and last place of each segment, x + y·i, mm.
        start: where the tool comes from.
        target: where it goes afterwards.
        work: how much the search may do; a usual amount without it.

    >>> best_way([(9 + 0j, 8 + 0j), (1 + 0j, 2 + 0j), (4 + 0j, 6 + 0j)], 0j, 9 + 0j)
    [2, 4, 1]

    """
    if not ends:
        return []
    search = _Search(ends, start, target)
    usual = min(max(LEAST_WORK, PAIR_WORK * len(ends) ** 2), MOST_WORK)
    search.run(usual if work is None else work)
    return [end - 2 for end in search.found()]


def way_length(ends: Ends, way: Sequence[int], start: complex, target: complex) -> float:
    """Return the travel along a way, mm: what lies between the segments."""
    total, at = 0.0, start
    for end in way:
        pair = ends[end >> 1]
        first, last = pair if end % 2 == 0 else pair[::-1]
        total += abs(first - at)
        at = last
    return total + abs(target - at)


class _Way:
    """A round way: the end by which each segment is entered, and the place of each segment.

    Turning a part and turning the rest give the same round way, run the other way about; so the
    shorter one is rewritten, and segment 0, the machine, may come to lie anywhere.
    """

    def __init__(self, entries: list[int]) -> None:
        self.way = entries
        self.count = len(entries)
        self.at = [0] * self.count
        self.work = 0
        self._write(0, entries[:])

    def turn(self, first: int, last: int) -> None:
        """Turn the run from one place to another around."""
        n = self.count
        size = (last - first) % n + 1
        if 2 * size > n:
            first, size = last + 1, n - size
        self._write(first % n, _turned(self._read(first % n, size)))

    def turn_both(self, first: int, between: int, last: int) -> None:
        """Turn two runs next to each other, the first of which ends at `between`."""
        n = self.count
        one, two = (between - first) % n + 1, (last - between) % n
        rest = n - one - two
        if max(one, two) <= rest:
            self.turn(first, between)
            self.turn(between + 1, last)
            return
        # run the other way about, the larger run may lie: the other changes places with the rest
        others = _turned(self._read((last + 1) % n, rest))
        if one > two:
            self._write((between + 1) % n, others + self._read((between + 1) % n, two))
        else:
            self._write((last + 1) % n, self._read(first % n, one) + others)

    def exchange(self, first: int, between: int, last: int) -> None:
        """Let two runs next to each other change places, the first of which ends at `between`."""
        n = self.count
        one, two = (between - first) % n + 1, (last - between) % n
        rest = n - one - two
        # of three runs in a circle, whichever two change places: the largest may lie
        if one > max(two, rest):
            first, one, two = between + 1, two, rest
        elif two > rest:
            first, one, two = last + 1, rest, one
        run = self._read(first % n, one + two)
        self._write(first % n, run[one:] + run[:one])

    def _read(self, first: int, size: int) -> list[int]:
        over = first + size - self.count
        return self.way[first : first + size] + (self.way[:over] if over > 0 else [])

    def _write(self, first: int, run: list[int]) -> None:
        at, size = self.at, len(run)
        self.work += size
        inside = min(size, self.count - first)
        for begin, part in ((first, run[:inside]), (0, run[inside:])):
            self.way[begin : begin + len(part)] = part
            for place, end in enumerate(part, begin):
                at[end >> 1] = place


def _turned(run: list[int]) -> list[int]:
    return [end ^ 1 for end in reversed(run)]


@dataclass(slots=True)
class _Move:
    """What makes the way shorter: which links are exchanged, and the run or runs this moves.

    Attributes:
        gain: by how much, mm.
        touched: the ends whose links are others afterwards.
        far: place of the segment whose link is exchanged second.
        between: of three links, the last place of the first run.
        turns: of three links, whether the runs are turned instead of changing places.

    """

    gain: float
    touched: tuple[int, ...]
    far: int
    between: int | None = None
    turns: bool = False


class _Search(_Way):
    """A way being bettered. Segment 0 is the machine: out at the start, in at the target.

    For each end, `linked` holds the end that the way comes from, or goes to, there, and `long` how
    far that is: both stay as they are when a run is turned or moved, but for the links exchanged,
    which `links` keeps for the way back. Looked up instead of found in the way, they save a tenth
    of the time of 500 segments, a twentieth of that of 2,000.
    """

    def __init__(self, ends: Ends, start: complex, target: complex) -> None:
        self.places: list[complex] = [target, start]
        for first, last in ends:
            self.places += (first, last)
        many = len(ends) > MANY
        near = _neighbours(self.places, NEAR_OF_MANY if many else NEAR)
        super().__init__(_greedy(self.places, near))
        self.near = [[(self._apart(i, j), j) for j in row] for i, row in enumerate(near)]
        self.nearer = [row[: NEARER_OF_MANY if many else NEARER] for row in self.near]
        self.linked = [0] * len(self.places)
        self.long = [0.0] * len(self.places)
        self.links: list[tuple[int, int, float]] = []
        for place, end in enumerate(self.way):
            self._link(self.way[place - 1] ^ 1, end)
        self.random = Dice().below

    def run(self, work: int) -> None:
        """Better the way, within about this much work."""
        self._settle(list(range(2 * self.count)))
        if self.count < 4:
            return
        begun, until = self.work, self.work + work
        warmth = WARMTH * self._length() / self.count
        best, over = (self.way[:], self.at[:]), 0.0  # `over`: how much longer than the best
        while self.work < until:
            before = self.way[:], self.at[:]
            self.links.clear()
            gain = self._kick()
            cold = warmth * (until - self.work) / (until - begun)
            if gain >= -LEAST or gain > cold * math.log((1 + self.random(1 << 20)) / (1 << 20)):
                over -= gain
                if over < -LEAST:
                    best, over = (self.way[:], self.at[:]), 0.0
            else:
                self.way, self.at = before
                for end, linked, long in reversed(self.links):
                    self.linked[end], self.long[end] = linked, long
        self.way, self.at = best

    def found(self) -> list[int]:
        """Return the way from the machine to the machine, without it."""
        home = self.at[0]
        way = self._read(home, self.count)
        return way[1:] if way[0] == 0 else _turned(way[1:])

    def _apart(self, one: int, other: int) -> float:
        return abs(self.places[one] - self.places[other])

    def _length(self) -> float:
        return sum(self.long[end] for end in self.way)

    def _link(self, one: int, other: int) -> None:
        linked, long = self.linked, self.long
        self.links += (one, linked[one], long[one]), (other, linked[other], long[other])
        linked[one], linked[other] = other, one
        long[one] = long[other] = self._apart(one, other)

    # -- moves ------------------------------------------------------------------------------------

    def _kick(self) -> float:
        """Exchange two neighbouring runs and settle; return by how much the way got shorter."""
        way, n = self.way, self.count
        span = min(LONGEST_RUN, (n - 1) // 3)
        first, one, two = self.random(n), 1 + self.random(span), 1 + self.random(span)
        b, d, f = (way[(first + k) % n] for k in (0, one, one + two))
        a, c, e = (way[(first + k) % n] ^ 1 for k in (-1, one - 1, one + two - 1))
        long = self.long
        before = long[b] + long[d] + long[f]
        self.exchange(first, first + one - 1, first + one + two - 1)
        for one_end, other in ((a, d), (e, b), (c, f)):
            self._link(one_end, other)
        after = long[a] + long[e] + long[c]
        return before - after + self._settle([a, b, c, d, e, f])

    def _settle(self, queue: list[int]) -> float:
        """Make moves at these ends as long as one shortens the way; return the gain."""
        waiting = set(queue)
        total = 0.0
        while queue:
            end = queue.pop()
            waiting.discard(end)
            while move := self._best_move(end):
                self._make(end, move)
                total += move.gain
                for other in move.touched:
                    if other not in waiting:
                        waiting.add(other)
                        queue.append(other)
        return total

    def _best_move(self, one: int) -> _Move | None:
        """Return the best move that exchanges the link at an end, None where none is shorter.

        Links one–two and four–three are cut, two is joined to three. If three is an end of the same
        sense as two along the way, one and four can be joined: the run between is turned. If not,
        two … three is a ring by itself, and a third link, five–six, is cut out of it.
        """
        way, at, places, linked, long = self.way, self.at, self.places, self.linked, self.long
        entered = way[at[one >> 1]] == one
        two, old = linked[one], long[one]
        best, least = None, LEAST
        self.work += 4
        for apart, three in self.near[two]:
            gain = old - apart
            if gain <= LEAST:
                break
            four = linked[three]
            far = at[three >> 1]
            gain += long[three]
            if (way[far] == three) == entered:
                if four != two:
                    ring = self._ring_move((one, two, three, four), gain, least)
                    if ring:
                        best, least = ring, ring.gain
            elif three != one:
                gain -= abs(places[four] - places[one])
                if gain > least:
                    best, least = _Move(gain, (one, two, three, four), far), gain
        return best

    def _ring_move(
        self, ends: tuple[int, int, int, int], gain: float, least: float
    ) -> _Move | None:
        """Return the best third link for a ring, None where none gains more than the least."""
        way, at, places, n = self.way, self.at, self.places, self.count
        one, two, three, four = ends
        here, place, far = places[one], at[one >> 1], at[three >> 1]
        entered = way[place] == one
        size = (place - far) % n if entered else (far - place) % n
        best = None
        self.work += 2
        for apart, five in self.nearer[four]:
            rest = gain - apart
            if rest <= LEAST:
                break
            k = at[five >> 1]
            within = (place - k) % n if entered else (k - place) % n
            if five in (two, three) or not 0 < within <= size:
                continue
            six = self.linked[five]
            rest += self.long[five] - abs(places[six] - here)
            if rest > least:
                into = way[k] == five
                touched = (one, two, three, four, five, six)
                best = _Move(rest, touched, far, (k - 1 if into else k) % n, into != entered)
                least = rest
        return best

    def _make(self, end: int, move: _Move) -> None:
        place, far = self.at[end >> 1], move.far
        one, *pairs = move.touched
        for i in range(0, len(pairs) - 1, 2):
            self._link(pairs[i], pairs[i + 1])
        self._link(pairs[-1], one)
        entered = self.way[place] == end
        if move.between is None:
            self.turn(*((far + 1, place - 1) if entered else (place + 1, far - 1)))
            return
        first, last = (far, place - 1) if entered else (place + 1, far)
        (self.turn_both if move.turns else self.exchange)(first, move.between, last)


def _neighbours(places: list[complex], most: int) -> list[list[int]]:
    """Return for each end the nearest ends of other segments, at most so many, nearest first."""
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
        while ring <= reach and (len(found) <= most + 2 or ring < 2):
            found += _ring(cells, cx, cy, ring)
            ring += 1
        found += _ring(cells, cx, cy, ring)
        here, own = places[i], i >> 1
        pairs = sorted((abs(places[j] - here), j) for j in found if j >> 1 != own)
        near.append([j for _, j in pairs[:most]])
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
