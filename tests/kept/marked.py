"""Passes aligned by marks that were measured, and whatever may be wrong with them."""

import math
from functools import cache

from kept import Group
from kept.planned import sheet
from kept.profiles import changed, said_as


@cache
def turned(shows="mm", x_axis="right", y_axis="up", origin="lower-left"):
    """Return a plan of two faces for a bed that counts so."""
    from cutfiles.machine.plan import plan
    from cutfiles.machine.profile.read import cutter_from

    bed = {"shows": shows, "x_axis": x_axis, "y_axis": y_axis, "origin": origin}
    return plan(sheet("level"), cutter_from(changed({"formats": ["svg"], "bed": bed}), "x.toml"))


COUNTED = {
    "in": ("in", "up", "left", "lower-right"),
    "steps": ("0.025 mm", "left", "down", "centre"),
    "cm": ("cm", "right", "down", "upper-left"),
}


def found_at(turn=0.01, at=(12, 7), grown=(1.0, 1.0), noise=0.0, leave=0, swap=(), bad=0.0):
    """Return where marks are found after a move about a place of the sheet, mark by mark."""

    def of(marks):
        c, s = math.cos(turn), math.sin(turn)
        found = [
            (
                c * grown[0] * x - s * grown[1] * y + at[0] + noise * math.sin(9 * i),
                s * grown[0] * x + c * grown[1] * y + at[1] + noise * math.cos(7 * i),
            )
            for i, (x, y) in enumerate(mark.at for mark in marks)
        ]
        if swap:
            found[swap[0]], found[swap[1]] = found[swap[1]], found[swap[0]]
        found[-1] = (found[-1][0] + bad, found[-1][1])
        return dict(zip([mark.name for mark in marks[leave:]], found[leave:], strict=True))

    return of


def measured(name, found, counted=(), limit=0.3, written=()):
    """Return a line that aligns the second pass by marks, and tells all that comes of it."""

    def call(_):
        from cutfiles.errors import CutfilesError
        from cutfiles.job.aligned import align_passes, misfits
        from cutfiles.machine.marks import (
            filled_table,
            marks_table,
            read_marks,
            shown_place,
            to_measure,
        )
        from cutfiles.machine.passes import Mark
        from cutfiles.report.text.plan import lying_text

        plan = turned(*counted)
        (one,) = to_measure(plan)
        places = {
            mark: shown_place(Mark(mark, at), plan.cutter.bed)
            for mark, at in found(one.marks).items()
        }
        text = filled_table(one, places)
        for old, new in () if isinstance(written, str) else written:
            text = text.replace(old, new)
        text = written if isinstance(written, str) else text
        said = [marks_table(plan).decode(), text]
        try:
            marks = read_marks(text, plan, "m.csv")
            said.append(repr(marks))
            for done in align_passes(plan, marks, "T", limit):
                said += [lying_text(done.found), repr(done.found.residuals)]
                said += [f"{file.name}\n{file.data.decode()}" for file in done.files]
        except CutfilesError as error:
            said.append(str(error))
            if "marks" in locals():
                said += [
                    f"{file.name}\n{file.data.decode()}"
                    for done in misfits(plan, marks, "T", limit)
                    for file in done.files
                ]
        return "\n".join(said)

    return said_as(name, call)


def _read_as(unit):
    """Return how a table says that its places are in another unit."""
    return [(HEAD, HEAD + ",unit"), ("\n", f",{unit}\n")]


HEAD = "pass,mark,x,y"
MEASURED = [
    measured("turned", found_at()),
    measured("not moved", found_at(turn=0)),
    *(measured(f"in {name}", found_at(turn=-0.02), counted) for name, counted in COUNTED.items()),
    measured("grown", found_at(grown=(1.004, 1.004))),
    measured("stretched", found_at(grown=(1.004, 0.997))),
    measured("noisy", found_at(noise=0.1)),
    measured("too noisy", found_at(noise=0.4)),
    measured("three", found_at(leave=3)),
    measured("two", found_at(leave=4)),
    measured("above a small limit", found_at(noise=0.1), limit=0.05),
    *(
        measured(f"grown to {size}", found_at(grown=(size, size)))
        for size in (1.0108, 1.0112, 0.98)
    ),
    *(
        measured(f"turned by {turn}", found_at(turn=turn))
        for turn in (0.17, 0.18, 1.58, -1.56, 3.13)
    ),
    *(measured(f"mirrored {turn}", found_at(turn=turn, grown=(-1, 1))) for turn in (0, 1.57, 3.1)),
    *(
        measured(f"mirrored in {name} {turn}", found_at(turn=turn, grown=(-1, 1)), counted)
        for turn in (0, 1.57, 3.1, 4.7)
        for name, counted in COUNTED.items()
    ),
    *(
        measured(f"{unit} for mm, turned {turn}", found_at(turn=turn), written=_read_as(unit))
        for unit, turn in (("cm", 0), ("in", 0.01), ("0.025 mm", 0), ("in", 1.6))
    ),
    measured("exchanged", found_at(swap=(1, 4))),
    measured("exchanged of three", found_at(swap=(4, 5), leave=3)),
    *(measured(f"bad of {6 - leave}", found_at(bad=1.4, leave=leave)) for leave in range(4)),
    measured("grown and bad", found_at(grown=(1.004, 1.004), bad=-2)),
    measured("beyond the corner", found_at(at=(-30, 7))),
    measured("beyond the front", found_at(at=(9, -20))),
    measured("beyond the reach", found_at(at=(400, 7))),
]
"""Sheets as they may lie, and marks as they may be mistaken."""
ROW = "face-b,cross 1,"
NOMINAL = "mark,nominal x,x,nominal y,y\n"
WRITTEN = {
    "another unit": [(HEAD, "Mark;X;Y;unit;;"), ("face-b,", ""), (",", ";")],
    "tabs and no pass": [(HEAD, "\ufeffmark,x,y"), ("face-b,", ""), (",", "\t")],
    "a unit of its own": [(ROW, "face-b,cross 1,1 1/2 in, \u22122 cm\nface-b,no mark,")],
    "units in rows": [
        (HEAD, "pass,mark,x,y,unit,x_axis,Y axis,origin"),
        (
            "face-b,pin hole 2,",
            "face-b,pin hole 2,1,2,IN,down,right,upper-right\nface-b,pin hole 9,",
        ),
    ],
    "axes along": [(HEAD, HEAD + ",x axis"), (ROW, "face-b,cross 9,1,2,up\n" + ROW)],
    "a word": [(HEAD, HEAD + ",unit"), (ROW, "face-b,cross 9,1,2,ell\n" + ROW)],
    "twice": [(ROW, "face-b,cross 1,1,1\n" + ROW)],
    "a letter": [(ROW, "face-b,cross 7,1,l\n" + ROW)],
    "half a row": [(ROW, "face-b,cross 7,1,\n" + ROW)],
    "an empty row": [(ROW, "face-b,cross 7, ,\n,,\n" + ROW)],
    "another pass": [(ROW, "face-c,cross 1,1,1\n" + ROW)],
    "the first pass": [("face-b", "face-a")],
    "no columns": [("mark,x", "mark,across")],
    "no pass": [("face-b,", ",")],
    "another plan": NOMINAL + "cross 1,249.19,1,5.03,2",
    "another x": NOMINAL + "cross 1,249.21,1,5,2",
    "places like the plan's": NOMINAL + "cross 1,249.19,1,q,2\ncross 2,5.019,2,4.981,3",
    "nothing": "mark,x,y\ncross 1,,\n",
    "no line": "",
    "half the row": "mark,y,x\ncross 1,4",
}
"""Tables of marks as people may write them."""


def groups():
    """Yield the groups."""
    tables = [
        measured(f"written with {name}", found_at(), written=w) for name, w in WRITTEN.items()
    ]
    steps = [(HEAD, HEAD), (ROW, "face-b,cross 1,3.5 mm,-7\nface-b,no mark,")]
    in_steps = measured("written in steps", found_at(), COUNTED["steps"], written=steps)
    yield Group("marks", [*MEASURED, *tables, in_steps])
