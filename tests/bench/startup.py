"""Speed of single commands: ratios of processor time to a baseline of the same run; never a test.

    python tests/bench/startup.py [rounds]

make:  whole process of `make`, all files, over a process that imports the libraries it uses.
one:   the same, one format and nothing printed.
help:  whole process of `--help`, over a process that imports click.
late:  what a library takes to be loaded as it is here (`cutfiles.late`), over the whole of it.
"""

import os
import resource
import subprocess
import sys
import tempfile
from pathlib import Path

COMMAND = ["-c", "from cutfiles.cli import main; main()"]
SAMPLE = Path(__file__).parents[2] / "samples" / "A1.toml"
LIBRARIES = "import click, ezdxf, svgwrite, pypdf, shapely, reportlab"


def processor_time(arguments):
    """Return what a process takes of the processor, its own and the system's, s."""
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(
        [sys.executable, *arguments], check=True, stdout=subprocess.DEVNULL, env=environment
    )
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def ratios(rounds):
    """Return name, ratio to its baseline and goal; the least of several rounds, taken in turn."""
    with tempfile.TemporaryDirectory() as folder:
        make = [*COMMAND, "make", str(SAMPLE), "--to", folder]
        processes = {
            "make": make,
            "one": [*make, "--format", "svg", "--no-cards"],
            "help": [*COMMAND, "--help"],
            "libraries": ["-c", LIBRARIES],
            "click": ["-c", "import click"],
        }
        times = {name: [] for name in processes}
        for _ in range(rounds + 1):  # modules are compiled in the first
            for name, arguments in processes.items():
                times[name].append(processor_time(arguments))
    least = {name: min(found[1:]) for name, found in times.items()}
    return [
        ("make, all files, over its libraries", least["make"] / least["libraries"], 1.1),
        ("make, one format, over the same", least["one"] / least["libraries"], 0.6),
        ("--help over click", least["help"] / least["click"], 1.1),
    ]


LOADED = {
    "svgwrite": (
        "import cutfiles.film.drawing, cutfiles.late",
        "import cutfiles.files.writers.svg",
        "import svgwrite, svgwrite.extensions, svgwrite.validator2, urllib.request",
    ),
    "ezdxf": (
        "import cutfiles.film.drawing, cutfiles.late",
        "import cutfiles.files.writers.dxf_frame",
        "import ezdxf.document, ezdxf.filemanagement, ezdxf.queryparser",
    ),
    "reportlab": (
        "import cutfiles.report.printed.paper",
        "cutfiles.report.printed.paper.Paper('A4', 'one')",
        "import PIL.Image; cutfiles.report.printed.paper.Paper('A4', 'one')",
    ),
    "numpy": (
        "import os",
        "os.environ['OPENBLAS_NUM_THREADS'] = '1'; import numpy",
        "import numpy",
    ),
}
"""Libraries loaded in part: what both begin with, how it is done here, and the whole of each."""


def late(rounds):
    """Return name and ratio of each library loaded in part; the least of several rounds."""
    found = []
    for name, (begun, here, whole) in LOADED.items():
        codes = (begun, f"{begun}; {here}", f"{begun}; {whole}")
        times = [[processor_time(["-c", code]) for code in codes] for _ in range(rounds + 1)]
        least = [min(column) for column in zip(*times[1:], strict=True)]
        found.append((name, (least[1] - least[0]) / (least[2] - least[0])))
    return found


def main():
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 10
    for name, ratio, goal in ratios(rounds):
        print(f"{name}: {ratio:.2f} (goal {goal})")
    for name, ratio in late(rounds):
        print(f"{name}, loaded as here, over the whole of it: {ratio:.2f}")


if __name__ == "__main__":
    main()
