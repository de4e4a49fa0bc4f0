"""One plain leg, one lip, one post as shells: buckling loads of a general finite-element program.

    python tests/bench/shells.py [--finer]

Needs CalculiX (`ccx`, Debian: calculix-ccx), a general-purpose program. It is no part of the tests:
`tests/support/test_shells.py` holds what it printed beside our formulas. Units mm, N, MPa.

Elements S8R (eight nodes, reduced integration), which the program makes solids of. A fold is a
hinge: the two faces have nodes of their own there, tied in their places and free to turn. Loads
are what an even pressure on the head edge gives; ends are held square to their own face alone.

The program looks for modes about once the load it is given, and would not find a lower one. So the
load is a twentieth of what is expected, then half of what was found: the lowest mode lies above it.
"""

import math
import subprocess
import sys
import tempfile
from pathlib import Path

MODULUS, POISSON = 4000.0 / 1.5, 0.38
MODES = 6


class Deck:
    """Nodes, elements, ties and loads of one model, written as the program reads them."""

    def __init__(self, gauge):
        self.gauge = gauge
        self.nodes, self.elements, self.fixed, self.ties, self.loads = [], [], [], [], {}

    def node(self, x, y, z):
        self.nodes.append((x, y, z))
        return len(self.nodes)

    def face(self, start, way, breadth, height, across, up):
        """Add one flat face that stands up from z = 0; return its nodes by column and row."""
        (x, y), (dx, dy) = start, way
        grid = {}
        for i in range(2 * across + 1):
            for j in range(2 * up + 1):
                if i % 2 and j % 2:
                    continue
                s = breadth * i / (2 * across)
                grid[i, j] = self.node(x + s * dx, y + s * dy, height * j / (2 * up))
        for i in range(0, 2 * across, 2):
            for j in range(0, 2 * up, 2):
                corners = [(i, j), (i + 2, j), (i + 2, j + 2), (i, j + 2)]
                middles = [(i + 1, j), (i + 2, j + 1), (i + 1, j + 2), (i, j + 1)]
                self.elements.append([grid[at] for at in corners + middles])
        return grid

    def hold(self, node, direction):
        self.fixed.append((node, direction))

    def hold_square(self, node, way):
        """Hold a node square to a face that runs this way."""
        normal = (-way[1], way[0])
        first = 1 if abs(normal[0]) > abs(normal[1]) else 2
        terms = [(node, first, normal[first - 1])]
        if abs(normal[2 - first]) > 1e-12:
            terms.append((node, 3 - first, normal[2 - first]))
        if len(terms) == 1:
            self.hold(node, first)
        else:
            self.ties.append(terms)

    def tie(self, a, b, directions):
        for direction in directions:
            self.ties.append([(a, direction, 1.0), (b, direction, -1.0)])

    def press(self, grid, across, up, pressure, breadth):
        """Press the head edge of a face down evenly, N/mm."""
        part = breadth / across
        for i in range(0, 2 * across, 2):
            for k, share in ((0, 1 / 6), (1, 4 / 6), (2, 1 / 6)):
                node = grid[i + k, 2 * up]
                self.loads[node] = self.loads.get(node, 0.0) - pressure * part * share

    def text(self, scale):
        lines = ["*NODE, NSET=ALL"]
        lines += [f"{i}, {x:.9g}, {y:.9g}, {z:.9g}" for i, (x, y, z) in enumerate(self.nodes, 1)]
        lines.append("*ELEMENT, TYPE=S8R, ELSET=FILM")
        lines += [f"{i}, " + ", ".join(map(str, e)) for i, e in enumerate(self.elements, 1)]
        lines += ["*MATERIAL, NAME=PET", "*ELASTIC", f"{MODULUS:.9g}, {POISSON}"]
        lines += ["*SHELL SECTION, ELSET=FILM, MATERIAL=PET", f"{self.gauge}"]
        for terms in self.ties:
            lines += ["*EQUATION", str(len(terms))]
            lines.append(", ".join(f"{n}, {d}, {c:.12g}" for n, d, c in terms))
        lines.append("*BOUNDARY")
        lines += [f"{node}, {direction}, {direction}" for node, direction in self.fixed]
        lines += ["*STEP", "*BUCKLE", str(MODES), "*CLOAD"]
        lines += [f"{node}, 3, {scale * load:.12g}" for node, load in sorted(self.loads.items())]
        lines += ["*NODE PRINT, NSET=ALL, FREQUENCY=0", "U", "*END STEP", ""]
        return "\n".join(lines)


def lowest(deck, guess):
    """Return the least share of a model's loads at which it buckles."""
    found = _run(deck, guess / 20)
    return _run(deck, found / 2)


def _run(deck, scale):
    """Return the least factor with all loads so many times as large."""
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "m.inp").write_text(deck.text(scale))
        run = subprocess.run(["ccx", "m"], cwd=folder, capture_output=True, text=True, check=False)
        told = Path(folder, "m.dat").read_text() if Path(folder, "m.dat").exists() else ""
    rows = [line.split() for line in told.splitlines()]
    factors = [float(row[1]) for row in rows if len(row) == 2 and row[0].isdigit()]
    if not any(one > 0 for one in factors):
        raise SystemExit(f"no factors:\n{run.stdout[-2000:]}")
    return scale * min(one for one in factors if one > 0)


def plain_leg(height, breadth, gauge, across, up):
    """A leg with both side edges free, head and foot hinged."""
    deck = Deck(gauge)
    grid = deck.face((0.0, 0.0), (1.0, 0.0), breadth, height, across, up)
    for i in range(2 * across + 1):
        deck.hold(grid[i, 0], 2)
        deck.hold(grid[i, 2 * up], 2)
        deck.hold(grid[i, 0], 3)
    deck.hold(grid[across - across % 2, 0], 1)
    deck.press(grid, across, up, 1.0, breadth)
    stiff = MODULUS * gauge**3 / (12 * (1 - POISSON**2))
    return lowest(deck, math.pi**2 * stiff / height**2) * breadth


def faces_of(deck, starts, ways, breadth, height, across, up, kept=()):
    """Faces that stand beside one another, pressed from above; columns kept in place at the ends.

    All else of head and foot is held square to its own face alone.
    """
    grids = []
    for start, way in zip(starts, ways, strict=True):
        grid = deck.face(start, way, breadth, height, across, up)
        grids.append(grid)
        for i in range(2 * across + 1):
            for j in (0, 2 * up):
                if i in kept:
                    deck.hold(grid[i, j], 1)
                    deck.hold(grid[i, j], 2)
                else:
                    deck.hold_square(grid[i, j], way)
            deck.hold(grid[i, 0], 3)
        deck.press(grid, across, up, 1.0, breadth)
    return grids


def tie_edges(deck, one, other, across, up):
    """Tie the last column of a face to the first one of the next: a hinge.

    Head and foot are held in their own planes by both faces, so there only the height is tied.
    """
    for j in range(1, 2 * up):
        deck.tie(other[0, j], one[2 * across, j], (1, 2, 3))
    deck.tie(other[0, 2 * up], one[2 * across, 2 * up], (3,))


def corner(height, depth, gauge, across, up):
    """A lip and as much of its leg: two outstands hinged at their fold."""
    deck = Deck(gauge)
    starts, ways = ((-depth, 0.0), (0.0, 0.0)), ((1.0, 0.0), (0.0, 1.0))
    one, other = faces_of(deck, starts, ways, depth, height, across, up)
    for grid in (one, other):  # the fold's own ends stay in their places
        edge = 2 * across if grid is one else 0
        for j in (0, 2 * up):
            held = 1 if grid is one else 2
            deck.hold(grid[edge, j], held)
    tie_edges(deck, one, other, across, up)
    stiff = MODULUS * gauge**3 / (12 * (1 - POISSON**2))
    return lowest(deck, 0.4 * math.pi**2 * stiff / depth**2) * 2 * depth


def post(height, face, gauge, across, up):
    """A closed tube of three faces, hinged at its folds and at the lap."""
    deck = Deck(gauge)
    ways = tuple((math.cos(a), math.sin(a)) for a in (0.0, 2 * math.pi / 3, 4 * math.pi / 3))
    starts, at = [], (0.0, 0.0)
    for way in ways:
        starts.append(at)
        at = (at[0] + face * way[0], at[1] + face * way[1])
    grids = faces_of(deck, starts, ways, face, height, across, up, kept=(0, 2 * across))
    for i, grid in enumerate(grids):
        tie_edges(deck, grids[i - 1], grid, across, up)
    stiff = MODULUS * gauge**3 / (12 * (1 - POISSON**2))
    return lowest(deck, 4 * math.pi**2 * stiff / face**2) * 3 * face


def main():
    finer = 2 if "--finer" in sys.argv else 1
    rows = (
        ("plain leg 65.354 × 201, 10 mil", plain_leg(65.354, 201.0, 0.254, 20 * finer, 8 * finer)),
        ("plain leg 65.227 × 201, 5 mil", plain_leg(65.227, 201.0, 0.127, 20 * finer, 8 * finer)),
        ("corner of lip 8 × 65.278, 7 mil", corner(65.278, 8.0, 0.1778, 4 * finer, 24 * finer)),
        ("post 12 × 65, 5 mil", post(65.0, 12.0, 0.127, 6 * finer, 30 * finer)),
    )
    for name, newtons in rows:
        print(f"{name:34} {newtons:.4f} N")


if __name__ == "__main__":
    main()
