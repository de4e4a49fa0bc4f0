"""Files made by the command line for the tests of what goes wrong: pass files, lists, exhibits."""

from click.testing import CliRunner
from conftest import SAMPLES
from kept.made import MATERIAL

from cutfiles.cli import cli


def run(*args):
    return CliRunner().invoke(cli, [str(one) for one in args])


def done(*args):
    """Run a command that must succeed."""
    ended = run(*args)
    assert ended.exit_code == 0, ended.output
    return ended


def profile(folder, base, *changes, materials=()):
    """Copy a cutter's profile, change texts in it, add film; return its path."""
    path = folder / f"our-{base}.toml"
    done("cutters", "copy", base, path)
    text = path.read_text(encoding="utf-8")
    for before, after in changes:
        assert before in text, before
        text = text.replace(before, after, 1)
    text += "\n" + "".join(MATERIAL.format(gauge=gauge) for gauge in materials)
    path.write_text(text, encoding="utf-8")
    return path


def laser(folder, *changes):
    """A laser that takes G-code, with powers for 3, 4, 5 and 7 mil film."""
    gcode = ('"dxf-r2000"]', '"dxf-r2000", "gcode"]')
    controller = ("[speed]", '[laser]\npower_range = 1000\nbeam = "M4"\n\n[speed]')
    return profile(folder, "laser", gcode, controller, *changes, materials=(3, 4, 5, 7))


def first_sample(folder, *settings):
    """Write the first sample with settings of its own, ``layers = 3``; return its path."""
    from conftest import SAMPLES

    path = folder / "A1.toml"
    lines = [(SAMPLES / "A1.toml").read_text(encoding="utf-8"), "[support]", *settings]
    path.write_text("\n".join([*lines, ""]), encoding="utf-8")
    return path


THIRDS = ("layers = 3", 'gauge = "5 mil"', 'construction = "plain"')


def slip(folder, name="S1", **fields):
    """Write a slip; lengths and angles as on a bench."""
    values = {
        "number": name,
        "units": "mm",
        "height": 60,
        "width": 45,
        "spine_width": 20,
        **({} if "left_slope" in fields else {"opening_angle": 110}),
        **fields,
    }
    support = values.pop("support", {"layers": 1, "gauge": "5 mil"})
    lines = [f"{key} = {value!r}".replace("'", '"') for key, value in values.items()]
    lines += ["", "[support]"]
    lines += [f"{key} = {value!r}".replace("'", '"') for key, value in support.items()]
    path = folder / f"{name}.toml"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def pass_file(folder, cutter, suffix, sample=None):
    """Make a slip's passes; return the first pass file with this suffix."""
    path = slip(folder) if sample is None else SAMPLES / f"{sample}.toml"
    done("make", path, "--cutter", cutter, "--to", folder / "out")
    return sorted((folder / "out").glob(f"*.face-*.{suffix}"))[0]
