"""Takes the README's picture of the desk anew, `samples/desk.png`, in a real browser.

    python tests/bench/desk_picture.py

A book is measured, the field for its left slope has the focus: its measure is lit in the drawing.
The one that is kept has 96 colours, which are enough, and a third of the bytes.
"""

import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "tests" / "outside"), str(ROOT)]

from browser import browse  # noqa: E402
from desks import running  # noqa: E402

READY = "!!document.querySelector('#more table') && !document.querySelector('#more.old')"
SLIP = ROOT / "samples" / "A1.toml"
TO = ROOT / "samples" / "desk.png"
SCREEN = [1400, 1000]


def main():
    """Measure, and take the picture."""
    with tempfile.TemporaryDirectory() as folder, running(Path(folder)) as desk:
        steps = [["wait", "document.title.startsWith('The desk ·')"]]
        steps += [["goto", desk.origin + "/book"], ["upload", "#slip", str(SLIP)]]
        steps += [["click", "text=Open it"], ["wait", READY]]
        steps += [["focus", "#f\\.left_slope"], ["pause", 300], ["shot", str(TO)]]
        browse(desk.door, steps, origin=desk.origin, screen=SCREEN)
    print(f"{TO}: {TO.stat().st_size} bytes")


if __name__ == "__main__":
    main()
