"""Coupons of cutters: what they try, and what was judged of it."""

from kept import Group
from kept.profiles import FORCES, LASER, POWERS, changed, said_as, toml

TRIED = {
    "force": {"material": [FORCES]},
    "power": {**LASER, "material": [{**POWERS, "score_power": 80}]},
    "times": {"formats": ["svg", "hpgl"], "material": [FORCES], "name": "bench of ours"},
    "land": {"score": {"method": "perforate", "land": "0.4 mm"}, "formats": ["svg"]},
    "narrow": {"bed": {"width": "60 mm", "length": "130 mm"}},
}
"""Cutters by what their coupons try."""


def cutters(folder):
    """Write the profiles of coupons."""
    for name, sections in TRIED.items():
        (folder / f"{name}.toml").write_text(toml(changed(sections)), encoding="utf-8")
    return {name: folder / f"{name}.toml" for name in TRIED}


def judged(name, number, gauge=0.127):
    """Return a line that records the strip of a coupon that folded best."""

    def call(folder):
        from cutfiles.errors import CutfilesError
        from cutfiles.machine.coupon import record_judged

        path = folder / f"{name}.toml"
        try:
            said = record_judged(path, f'"A" {number}', gauge, number)
        except CutfilesError as error:
            said = error
        return f"{said}\n{path.read_text(encoding='utf-8')}"

    return said_as(f"{name} judged {number} of {gauge:g}", call)


def coupons():
    """Return lines: coupons cut, and judged."""
    bare = ["--no-cards", "--format", "svg", "--to", "{}"]
    lines = [["coupon", "--cutter", f"{{{name}}}", *bare] for name in TRIED]
    lines += [["coupon", "--cutter", "{times}", "--gauge", "7.25 mil", *bare]]
    lines += [["coupon", kind, "--cutter", "{times}", *bare] for kind in ("crease", "post")]
    lines += [["coupon", "--cutter", "laser", "--lot", "A", "--judged", "3"]]
    lines += [judged("force", number) for number in (0, 1, 5, 6)]
    lines += [judged(name, number) for name in TRIED for number in (3, 4)]
    lines += [judged("power", 2, 0.1278)]
    return [*lines, ["cutters", "check", "{force}"]]


def groups():
    """Yield the groups."""
    yield Group("coupons", coupons(), cutters)
