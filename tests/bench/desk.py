"""From a key to the picture: what a person waits for at the desk, in a real browser.

Types digits into a field of each sample, one at a time, and tells the time from the key to the
changed picture in the page, the server's share of it, and both looks alone. Run it on a quiet
machine: `python tests/bench/desk.py`.
"""

import statistics
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "tests" / "outside"), str(ROOT)]

from browser import browse  # noqa: E402
from desks import running  # noqa: E402

from cutfiles.desk.books import values_of_slip  # noqa: E402
from cutfiles.desk.looks import first_look, second_look, warm  # noqa: E402
from cutfiles.job.order import Order  # noqa: E402

READY = "!!document.querySelector('#more table') && !document.querySelector('#more.old')"
PAIRS = """(() => { const at = name => performance.getEntriesByName(name).map(one => one.startTime);
const shown = at('shown'); return at('typed').map(t => shown.find(s => s > t) - t); })()"""


def spread(seconds):
    """Return the middle and the worst of some times, in ms."""
    ms = [1000 * one for one in seconds]
    return f"{statistics.median(ms):6.0f} {max(ms):6.0f}"


def looks(path):
    """Return how long both looks take, here in this process."""
    values, took = values_of_slip(path.name, path.read_bytes()), ([], [])
    for _ in range(5):
        for times, look in zip(took, (first_look, second_look), strict=True):
            begun = time.perf_counter()
            look(values, Order())
            times.append(time.perf_counter() - begun)
    return took


def keys(desk, path):
    """Return the times from keys to pictures in the browser, s."""
    steps = [["wait", "document.title.startsWith('The desk ·')"], ["goto", desk.origin + "/book"]]
    steps += [["upload", "#slip", str(path)], ["click", "text=Open it"], ["wait", READY]]
    steps += [["focus", "#f\\.spine_width"]]
    for key in ("Backspace", "5", "Backspace", "7", "Backspace", "6"):
        steps += [["key", key], ["pause", 400]]
    steps.append(["read", "took", PAIRS])
    return [ms / 1000 for ms in browse(desk.door, steps, origin=desk.origin)["took"]]


def main():
    """Print a line a sample: middle and worst, ms."""
    warm()
    print(f"{'sample':8}{'key to picture':>16}{'first look':>16}{'second look':>16}")
    with tempfile.TemporaryDirectory() as folder, running(Path(folder)) as desk:
        for path in sorted((ROOT / "samples").glob("*.toml")):
            first, second = looks(path)
            print(
                f"{path.stem:8}", *(f"{spread(s):>15}" for s in (keys(desk, path), first, second))
            )


if __name__ == "__main__":
    main()
