"""Exhibits of many books: time, memory and growth, beside raw writing of the same entities.

    python tests/bench/exhibits.py [books ...] [--workers N] [--plain] [--engine] [--faked]

Each size runs in a process of its own: all formats, verified, nested. The baseline is what ezdxf
and svgwrite alone take to write the entities of the same supports and sheets, DXF R12, DXF R2000
and SVG, in one process: `times raw` is our processor time over twice that (each pattern is written
by itself and on its sheet). With `--plain` every support is a plain strip of one layer, edges cut:
what the constructions that the tool chooses cost beyond that. With `--engine` the same is done by
`distributed`, with as many processes: what an engine costs beyond our own pool. With `--faked`
supports and sheets are not made and nothing is nested or printed (`tests/faked.py`): what is left
is what the parent holds of each book, told beside the smallest size of the same call.
"""

import json
import os
import resource
import subprocess
import sys
import tempfile
import time
from contextlib import contextmanager, nullcontext
from functools import partial
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))
RAW_SAMPLE = 20
HOW = ("--plain", "--engine", "--faked")


def list_of(count, plain=False):
    """A list of invented books: sizes spread as in a library, the same every time."""
    head, made = (",Construction,Edges,Layers", ",plain,cut,1") if plain else ("", "")
    lines = ["No,Title,Show,H (mm),W (mm),Spine (mm),Left slope,Right slope,Case" + head]
    state = 7
    for i in range(count):
        draws = []
        for _ in range(5):
            state = (state * 1103515245 + 12345) % 2**31
            draws.append(state / 2**31)
        height = 90 + 155 * draws[0]
        lines.append(
            f"N{i:04d},Book {i},p. {i},{height:.0f},{height * (0.6 + 0.12 * draws[1]):.0f},"
            f"{12 + 30 * draws[2]:.0f},{20 + 25 * draws[3]:.0f},{20 + 25 * draws[4]:.0f},"
            f"{i // 20}{made}"
        )
    return "\n".join(lines) + "\n"


@contextmanager
def engine(workers):
    """Lend an executor of `distributed` on this machine, its processes ended afterwards."""
    from distributed import Client, LocalCluster

    how = {"threads_per_worker": 1, "dashboard_address": None}
    with LocalCluster(n_workers=workers, **how) as cluster, Client(cluster) as client:
        yield client.get_executor()


def run(count, workers, plain=False, lent=nullcontext, fakes=nullcontext):
    """One exhibit, in this process and its workers; its numbers as JSON."""
    from cutfiles.exhibit.plan import ExhibitPlan
    from cutfiles.exhibit.run import make_exhibit
    from cutfiles.job.order import Order

    started = {}

    def progress(what, done, total):
        started.setdefault(what, time.perf_counter())

    with tempfile.TemporaryDirectory() as folder, lent() as executor, fakes():
        path = Path(folder) / "list.csv"
        path.write_text(list_of(count, plain))
        how = {"workers": workers, "executor": executor}
        if fakes is not nullcontext:
            how["plan"] = ExhibitPlan(name="list", order=Order(paper=None), anew=True)
        begin = time.perf_counter()
        done = make_exhibit(path, Path(folder) / "out", progress=progress, **how)
        wall = time.perf_counter() - begin
        first = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        begin = time.perf_counter()
        again = make_exhibit(path, Path(folder) / "out", **how)
        second = time.perf_counter() - begin
        size = sum(p.stat().st_size for p in Path(folder).rglob("*") if p.is_file())
    assert done.counts["made"] == again.counts["unchanged"] == count
    usage = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    print(
        json.dumps(
            {
                "books": count,
                "wall": wall,
                "second": second,
                "cpu": sum(u.ru_utime + u.ru_stime for u in usage),
                "memory": [first, *(u.ru_maxrss / 1024 for u in usage)],
                "sheets": len(done.sheets),
                "used": sum(s.used for s in done.sheets) / len(done.sheets),
                "size": size / 1e6,
            }
        )
    )


def raw():
    """Processor time to write one support's entities, s: DXF twice and SVG, by the libraries."""
    from reference_dxf import write_dxf

    from cutfiles.draft import draft_of
    from cutfiles.files.writers.svg import write_svg
    from cutfiles.lists.ledger import read_list

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "list.csv"
        path.write_text(list_of(RAW_SAMPLE))
        sheets = [draft_of(row.slip).drawing for row in read_list(path).rows]
    write_dxf(sheets[0], "R12")
    write_svg(sheets[0])
    begin = time.process_time()
    for sheet in sheets:
        write_dxf(sheet, "R12")
        write_dxf(sheet, "R2000")
        write_svg(sheet)
    print(json.dumps((time.process_time() - begin) / len(sheets)))


def child(*arguments):
    command = [sys.executable, __file__, *map(str, arguments)]
    run = subprocess.run(command, capture_output=True, text=True, check=True)
    return json.loads(run.stdout)


def fakes_of(arguments):
    from faked import faked

    return partial(faked, layout=True) if "--faked" in arguments else nullcontext


def grown(least, one):
    """How much more memory the parent takes for each book more, as text."""
    more = one["books"] - least["books"]
    if not more:
        return ""
    first, both = ((one["memory"][i] - least["memory"][i]) * 1024 / more for i in (0, 1))
    return f", {first:.1f} and {both:.1f} kB a book"


def main():
    arguments = sys.argv[1:]
    if arguments[:1] == ["--one"]:
        count, workers = map(int, arguments[1:3])
        lent = partial(engine, workers) if "--engine" in arguments else nullcontext
        return run(count, workers, "--plain" in arguments, lent, fakes_of(arguments))
    if arguments == ["--raw"]:
        return raw()
    workers, how = os.cpu_count(), [one for one in arguments if one in HOW]
    arguments = [one for one in arguments if one not in how]
    if "--workers" in arguments:
        at = arguments.index("--workers")
        workers = int(arguments[at + 1])
        del arguments[at : at + 2]
    base = child("--raw")
    print(f"raw writing: {base * 1000:.0f} ms a support; {workers} workers")
    least = None
    for count in [int(a) for a in arguments] or [100, 1000, 5000]:
        one = child("--one", count, workers, *how)
        least = least or one
        print(
            f"{count} books: {one['wall']:.1f} s, {one['wall'] / count * 1000:.0f} ms each, "
            f"{one['cpu'] / count / (2 * base):.2f} times raw, second run {one['second']:.1f} s, "
            f"memory {one['memory'][0]:.0f} MB, with the second {one['memory'][1]:.0f} MB, and "
            f"{one['memory'][2]:.0f} MB a worker{grown(least, one)}, "
            f"{one['sheets']} sheets, {one['used']:.1%} used, {one['size']:.0f} MB on disk"
        )
    return None


if __name__ == "__main__":
    main()
