"""Supports, coupons, prints and blanks as the commands make them, and what they say."""

from pathlib import Path

from click.testing import CliRunner

from kept import Group, slips

FEW = ("A1", "B1", "B2", "G1", "H2")
"""Three layers, a miniature, one layer lapped, one side flat, slots and straps of film."""
CUTTERS = ("desktop-knife", "flatbed-wheel", "laser", "wide-roll-knife")
MATERIAL = """
[[material]]
gauge = "{gauge} mil"
cut_power = 40
cut_speed = 20
score_power = 12
score_speed = 60
mark_power = 8
mark_speed = 80
"""


def laser(folder):
    """Copy the laser's profile with powers for the gauges of the samples."""
    from cutfiles.cli import cli

    path = folder / "our-laser.toml"
    CliRunner().invoke(cli, ["cutters", "copy", "laser", str(path)])
    text = path.read_text(encoding="utf-8")
    text = text.replace('"dxf-r2000"]', '"dxf-r2000", "gcode"]') + "\n"
    text += '\n[laser]\npower_range = 1000\nbeam = "M4"\n'
    text += "".join(MATERIAL.format(gauge=gauge) for gauge in (5, 7))
    path.write_text(text, encoding="utf-8")
    return {"laser": path}


def groups():
    """Yield the groups."""
    yield Group("make", [["make", *slips(), "--format", "all", "--to", "{}"]])
    yield Group("make-letter", [["make", *slips()[:2], "--paper", "Letter", "--to", "{}"]])
    for cutter in CUTTERS:
        # what does not depend on the cutter is written by "make"; the laser works all, and makes
        # all of a few again
        all_ = cutter == "laser"
        few = [path for path in slips() if Path(path).stem in FEW]
        lines = []
        for path in slips() if all_ else few:
            more = [] if all_ and path in few else ["--no-sheet"]
            profile = "{laser}" if all_ else cutter
            lines.append(["make", path, "--cutter", profile, *more, "--to", "{}"])
        yield Group(f"passes-{cutter}", lines, laser)
        yield Group(f"coupon-{cutter}", [["coupon", "--cutter", cutter, "--to", "{}"]])
    yield Group("prints", [["cards", *slips(), "--to", "{}"]])
    yield Group("prints-letter", [["cards", *slips()[:3], "--paper", "Letter", "--to", "{}"]])
    yield Group(
        "blanks",
        [
            ["slip", "{}/slip.toml"],
            ["slip", "{}/measuring.pdf"],
            ["slip", "{}/inches.toml", "--units", "in", "--height", "8"],
            ["films", "--blank"],
            ["cutters", "copy", "laser", "{}/l.toml"],
        ],
    )
    yield Group(
        "told",
        [
            ["check", *slips()],
            *(["check", path] for path in slips()),
            *(["check", path, "--json"] for path in slips()),
            ["films"],
            ["films", "--json"],
            ["cutters", "list"],
            *(["cutters", "check", cutter] for cutter in CUTTERS),
        ],
    )
