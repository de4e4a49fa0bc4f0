"""The folded pages of twelve supports in Chromium, at every stage of folding: nothing clipped.

    python tests/bench/screens.py [folder]

Each at the size of a desktop, a phone and a phone on its side, and printed; says what is clipped,
and leaves a picture of each in the folder, to look at. `tests/outside/test_page.py` asks the
same of four of them.
"""

import sys
import tempfile
from pathlib import Path

TESTS = Path(__file__).parents[1]
sys.path[:0] = [str(TESTS / "outside"), str(TESTS)]

import tilted  # noqa: E402
from browser import browse  # noqa: E402
from conftest import SAMPLES  # noqa: E402

from cutfiles.bench.slip import read_slip  # noqa: E402
from cutfiles.job.make import make  # noqa: E402

SCREENS = {"desktop": [1280, 900], "phone": [390, 780], "side": [740, 360]}
INSIDE = "document.getElementById('view').dataset.inside"
FITS = (
    "document.documentElement.scrollWidth <= innerWidth && "
    "document.getElementById('view').offsetHeight <= innerHeight"
)
SLIPS = {stem: read_slip(SAMPLES / f"{stem}.toml") for stem in ("A1", "A2", "B1", "D1", "E1")}
SLIPS |= {name: tilted.slip_of(name) for name in ("CROSSED", "FLAT", "LAPPED", "LONE", "RIGHT")}
SLIPS["THREE"] = tilted.slip_of("LEVEL", support={"layers": 3})
SLIPS["POSTS"] = tilted.slip_of("LEVEL", support={"construction": "posts"})


def page_of(slip, folder):
    """Write the folded page of a slip; return where, and how many steps it has."""
    made = make(slip, formats=["svg"], paper=None, anyway=True)
    [html] = [file for file in made.files if file.name.endswith(".folded.html")]
    path = folder / html.name
    path.write_bytes(html.data)
    return path, len(made.draft.support.steps)


def clipped(path, steps, screen, shots, stem):
    """Return the stages at which something is clipped on a screen; leave pictures of some."""
    asked = [["focus", "#fold"], ["key", "Home"]]
    for stage in range(steps + 1):
        asked += [["read", str(stage), INSIDE], ["read", f"fits {stage}", FITS]]
        if stage in (0, steps // 2, steps):
            asked.append(["shot", str(shots / f"{stem}.{screen}.{stage:02}.png")])
        asked.append(["key", "ArrowRight"])
    asked.append(["print", str(shots / f"{stem}.pdf")])
    read = browse(path, asked, screen=SCREENS[screen], dark=screen == "phone")
    return [s for s in range(steps + 1) if read[str(s)] != "true" or not read[f"fits {s}"]]


def main():
    shots = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(tempfile.mkdtemp(prefix="screens-"))
    shots.mkdir(parents=True, exist_ok=True)
    bad = 0
    for stem, slip in SLIPS.items():
        path, steps = page_of(slip, shots)
        for screen in SCREENS:
            stages = clipped(path, steps, screen, shots, stem)
            bad += len(stages)
            said = f"clipped at stages {stages}" if stages else f"{steps + 1} stages whole"
            print(f"{stem:8} {screen:8} {said}", flush=True)
    print(f"{bad} clipped; pictures in {shots}")
    return bool(bad)


if __name__ == "__main__":
    sys.exit(main())
