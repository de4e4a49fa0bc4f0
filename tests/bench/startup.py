"""Speed, as ratios to a baseline measured in the same run; never a test.

    python tests/bench/startup.py [rounds]

make:  whole process of `make` in all formats, over a process that imports the libraries it uses.
help:  whole process of `--help`, over a process that imports click.
"""

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

COMMAND = ["-c", "from cutfiles.cli import main; main()"]
SAMPLE = Path(__file__).parents[2] / "samples" / "A1.toml"
LIBRARIES = (
    "import click, ezdxf, svgwrite, pypdf, shapely, shapely.geometry, tomllib, "
    "json, hashlib, xml.etree.ElementTree, "
    "svgwrite.extensions, pypdf.generic, ezdxf.filemanagement, "
    "reportlab.pdfgen.canvas, reportlab.pdfbase.ttfonts"
)


def best(arguments, rounds):
    """Return the shortest time of a process, s; its modules are compiled once before."""
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        subprocess.run(
            [sys.executable, *arguments], check=True, stdout=subprocess.DEVNULL, env=environment
        )
        times.append(time.perf_counter() - start)
    return min(times)


def main():
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 10
    with tempfile.TemporaryDirectory() as folder:
        make = [*COMMAND, "make", str(SAMPLE), "--to", folder]
        pairs = {
            "make": (make, ["-c", LIBRARIES], 1.3),
            "help": ([*COMMAND, "--help"], ["-c", "import click"], 1.2),
        }
        times = {
            name: (best(ours, rounds), best(baseline, rounds), goal)
            for name, (ours, baseline, goal) in pairs.items()
        }
    for name, (ours, baseline, goal) in times.items():
        print(
            f"{name}: {ours * 1000:.0f} ms / {baseline * 1000:.0f} ms = {ours / baseline:.2f} "
            f"(goal {goal})"
        )


if __name__ == "__main__":
    main()
