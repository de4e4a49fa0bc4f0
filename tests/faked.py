"""Exhibits whose supports and sheets are faked: what is left is what the parent does and holds.

A faked support is one of a few that were truly made, under its own number: facts as long, as many
files as a support has, each of a few bytes.
"""

import functools
import pickle
import tempfile
from dataclasses import replace
from hashlib import sha256
from pathlib import Path
from unittest import mock

from cutfiles.bench.slip import slip_from
from cutfiles.exhibit.work import Done, SupportTask, make_support, note_files
from cutfiles.film.late import KeptSheet, Relaid
from cutfiles.film.layout import LaidSheet
from cutfiles.film.layout_check import Lying
from cutfiles.job.order import Order

ENDINGS = ("svg", "pdf", "dxf", "r12.dxf", "plt", "bench.pdf", "json")
ON_A_SHEET = 15


@functools.cache
def patterns():
    """What workers hand back of three supports, made once in a process."""
    with tempfile.TemporaryDirectory() as folder:
        tasks = [
            SupportTask(
                row=1,
                slip=slip_from(
                    {"number": "#", "title": f"Title {height}", "units": "mm", "height": height}
                    | {"width": 0.7 * height, "spine_width": 25, "opening_angle": 120}
                ),
                order=Order(formats=("svg",), paper=None),
                folder=folder,
                journal=str(Path(folder) / "journal"),
            )
            for height in (120, 160, 210)
        ]
        return tuple(map(make_support, tasks))


def fake_support(task):
    """Return what a worker would of a support, as it comes from another process."""
    number, done = task.number, patterns()[task.row % len(patterns())]
    files = _written(task.folder, [f"{number}.{ending}" for ending in ENDINGS])
    note_files(task.journal, "supports", number, files)
    told = done.facts.told
    told = replace(
        told,
        picture=told.picture.replace("#", number),
        labels=tuple(label._replace(number=number) for label in told.labels),
        stood=replace(told.stood, number=number),
        files=files,
    )
    facts = replace(done.facts, key=task.key, teller=told)
    return pickle.loads(pickle.dumps(Done(name=number, key=task.key, facts=facts, files=files)))


def fake_sheet(task):
    """Return what a worker would of a sheet."""
    files = _written(task.folder, [f"{task.number}.svg", f"{task.number}.files.json"])
    note_files(task.journal, "sheets", task.number, files)
    return Done(name=task.number, key=task.key, files=files)


def _written(folder, names):
    for name in names:
        (Path(folder) / name).write_text(name)
    return {name: sha256(name.encode()).hexdigest() for name in names}


def fake_layout(before, work, last=0):
    """Lay pieces one after another, so many on a sheet: a second time they lie where they lay."""
    del last
    if before:
        return Relaid(tuple(before), ())
    single = [piece for piece in work.pieces for _ in range(piece.count)]
    runs = [single[i : i + ON_A_SHEET] for i in range(0, len(single), ON_A_SHEET)]
    return Relaid(tuple(_sheet(n, run, work.films[0]) for n, run in enumerate(runs, start=1)), ())


def _sheet(number, pieces, film):
    lying = tuple(
        Lying(one.name, 10.0 + i, 10.0 + i, one.width, one.height, False, one.shape)
        for i, one in enumerate(pieces)
    )
    gauge = pieces[0].gauge
    return KeptSheet(
        number=number,
        laid=LaidSheet(film=film, gauge=gauge, width=1016.0, height=1500.0, pieces=lying),
    )


def faked(*, layout=False):
    """Fake supports and sheets of exhibits made meanwhile, and if asked where they lie."""
    fakes = {"make_support": fake_support, "make_sheet": fake_sheet}
    if layout:
        fakes |= {"relay": fake_layout, "compared": lambda before, *_: before}
    return mock.patch.multiple("cutfiles.exhibit.run", **fakes)
