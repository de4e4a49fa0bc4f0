"""Files sent to a cutter: which of them may go, and where to."""

import json
import shutil

from click.testing import CliRunner

from kept import SAMPLES, Group
from kept.profiles import LASER, POWERS, changed, toml

ROLL = "wide-roll-knife"


def _record(change):
    """Return how a folder is spoilt: a change to its record."""

    def spoil(folder):
        path = folder / "B2.json"
        record = json.loads(path.read_text(encoding="utf-8"))
        change(record, {one["path"]: one for one in record["files"]})
        path.write_text(json.dumps(record), encoding="utf-8")

    return spoil


def _of_file(old, new, name="B2.face-a.hpgl"):
    """Return how a folder is spoilt: a pass says something else, and its record knows it."""

    def spoil(folder):
        from cutfiles.disk.system import sum_of

        path = folder / name
        data = path.read_bytes()
        assert old in data
        path.write_bytes(data.replace(old, new, 1))
        found = sum_of(path.read_bytes())
        _record(lambda _, files: files[path.name].update(sha256=found))(folder)

    return spoil


SPOILT = {
    "sound": lambda folder: None,
    "changed": lambda folder: (folder / "B2.face-a.hpgl").write_bytes(b"IN;"),
    "gone": lambda folder: (folder / "B2.face-a.hpgl").unlink(),
    "unknown": lambda folder: (folder / "B2.json").unlink(),
    "not-compared": _record(lambda _, files: files["B2.face-a.hpgl"].update(verified=None)),
    "drawn": _record(lambda _, files: files["B2.face-a.hpgl"].update(format="svg")),
    "no-format": _record(lambda _, files: files["B2.face-a.hpgl"].update(format="x")),
    "no-plan": _record(lambda record, _: record.pop("plan")),
    "other-profile": _record(lambda record, _: record["plan"].update(profile_sha256="0")),
    "older": _of_file(b"cutfiles", b"cutfile"),
    "other-cutter": _of_file(b"wide roll knife", b"wide roll"),
    "no-cutter": _of_file(b"cutter", b"cuter"),
    "beyond": _of_file(b"PD", b"PD63202,0,"),
    "at-the-edge": _of_file(b"PD", b"PD63200,0,"),
    "before": _of_file(b"PD", b"PD0,-2,"),
    "above": _of_file(b"PD", b"PD0,47202,"),
    "at-the-front": _of_file(b"PD", b"PD0,-1,"),
}
"""What may have become of a file since it was made."""
BURNT = {
    "burnt": lambda folder: None,
    "burnt-at-the-edge": _of_file(b"G1 X8 Y5 ", b"G1 X600.009 Y5 ", "B2.face-a.gcode"),
    "burnt-beyond": _of_file(b"G1 X8 Y5 ", b"G1 X600.012 Y5 ", "B2.face-a.gcode"),
}
"""The same of a program."""


def folders(folder):
    """Make the passes of a support, and copies of them that were spoilt."""
    from cutfiles.cli import cli

    made, beam = folder / "made", folder / "beam.toml"
    material = {**POWERS, "gauge": "3 mil"}
    beam.write_text(toml(changed(LASER, {"material": [material]})), encoding="utf-8")
    for cutter, spoilt in ((ROLL, SPOILT), (beam, BURNT)):
        line = ["make", SAMPLES / "B2.toml", "--cutter", cutter, "--no-sheet", "--to", made]
        assert CliRunner().invoke(cli, list(map(str, line))).exit_code == 0
        for name, spoil in spoilt.items():
            shutil.copytree(made, folder / name)
            spoil(folder / name)
    return {"beam": beam} | {name: folder / name for name in (*SPOILT, *BURNT)}


def sendings():
    """Return the lines: which files go, and where to."""
    send = ["send", "--cutter", ROLL]
    one = "{sound}/B2.face-a.hpgl"
    file = "file:{}/card.hpgl"
    lines = [[*send, f"{{{name}}}/B2.face-a.hpgl", "--to", "-", "--dry-run"] for name in SPOILT]
    lines += [
        [*send, "{sound}/B2.face-b.hpgl", "--to", to, *more]
        for to, more in (("-", ["--dry-run"]), (file, []), (file, ["--earlier-done"]))
    ]
    burn = ["send", "--cutter", "{beam}", "--to", "-", "--dry-run"]
    lines += [[*burn, f"{{{name}}}/B2.face-a.gcode"] for name in BURNT]
    lines += [["send", "--cutter", "laser", one, "--to", file]]
    lines += [
        [*send, one, "--to", to]
        for to in (
            "x:1",
            "serial:",
            "tcp:host",
            "tcp::1",
            "tcp:localhost:0",
            "tcp:localhost:65536",
            "tcp:localhost:a",
            "tcp:[]:9100",
            "file:",
            "file:{}/none/x",
        )
    ]
    lines += [
        [*send, "{sound}/B2.plan.json", "--to", file],
        [*send, one, "--to", file, "--replace"],
    ]
    return lines


def groups():
    """Yield the groups."""
    yield Group("sending", sendings(), folders)
