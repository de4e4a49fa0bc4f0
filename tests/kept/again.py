"""Plans and aligned passes read again, whole and spoilt."""

import json
import re

from kept import Group
from kept.marked import found_at, turned

SPOILT = [
    ("", ""),
    ("alignment: affine [0-9.]+", "alignment: affine 1.0"),
    ("alignment: affine [0-9.]+", "alignment: affine 1.2"),
    ("alignment: affine", "alignment: turned"),
    ("alignment: affine [0-9.]+", "alignment: affine"),
    ("alignment: affine [0-9.]+", "alignment: affine one"),
    ("alignment: ", "aligned so: "),
    ("aligned: affine", "aligned: rigid"),
]
"""What an aligned file says of itself, and what comes in its place."""


def known_again(_):
    """Tell how a pass that was aligned is compared with its plan, whole and spoilt."""
    from cutfiles.errors import CutfilesError
    from cutfiles.files.passes import verify_pass, write_aligned
    from cutfiles.machine.align import align, aligned
    from cutfiles.plane.shapes import Point

    plan = turned()
    one = plan.passes[1]
    found = align(one, {n: Point(*p) for n, p in found_at(grown=(1.004, 0.997))(one.marks).items()})
    (file,) = write_aligned(plan, aligned(one, found), "T")
    said = [repr(found)]
    try:
        align(one, {mark.name: mark.at for mark in plan.passes[0].marks})
    except CutfilesError as error:
        said.append(str(error))
    for old, new in SPOILT:
        data = re.sub(old, new, file.data.decode()).encode()
        assert (data == file.data) == (old == new)
        try:
            said.append(str(verify_pass(plan, file.name, data, "T")))
        except CutfilesError as error:
            said.append(str(error))
    return "\n".join(said)


def planned_again(_):
    """Tell what is no plan."""
    from cutfiles.errors import CutfilesError
    from cutfiles.machine.plan_data import plan_bytes, plan_from

    whole = json.loads(plan_bytes(turned()))
    bed = {**whole["cutter"], "bed": {"width": 3}}
    old = {key: value for key, value in whole["sheet"].items() if key != "gauge"}
    changes = [
        {},
        {"form": "plan 1"},
        {"passes": 3},
        {"cutter": bed},
        {"settings": {"x": {"y": 1}}},
    ]
    changes += [{"sheet": old}, {"sheet": {**old, "size": []}}, {"sheet": None}]
    said = []
    for data in [json.dumps(whole | change).encode() for change in changes] + [b"[]", b"\xff", b""]:
        try:
            made = plan_from(data, "x.plan.json")
            said.append(f"{made.number} {made.drawing.gauge} {made == turned()}")
        except CutfilesError as error:
            said.append(str(error))
    return "\n".join(said)


def groups():
    """Yield the groups."""
    yield Group("again", [known_again, planned_again])
