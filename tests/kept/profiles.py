"""Profiles of cutters: what they may say, and every fault and contradiction they can have."""

import copy
import json

from kept import Group

BENCH = {
    "name": "bench",
    "kind": "knife",
    "formats": ["hpgl"],
    "bed": {"width": "600 mm", "length": "900 mm", "range_most": 40000},
    "score": {"method": "half-cut"},
}
LASER = {"kind": "laser", "formats": ["gcode"], "laser": {"power_range": 255, "beam": "M3"}}
FORCES = {"gauge": "5 mil", "cut_force": 160, "score_force": 60, "mark_force": 40}
SPEEDS = {"cut_speed": 120, "score_speed": 33.4, "mark_speed": 205}
POWERS = {"gauge": "5 mil", "cut_power": 62.5, "score_power": 70, "mark_power": 7, **SPEEDS}
JUDGED = {"lot": "2026-03", "gauge": "5 mil", "setting": 2}


def said_as(name, call):
    """Return a line of a group: a function called so."""

    def line(folder):
        return call(folder)

    line.__name__ = name
    return line


def changed(*all_sections):
    """Return the values of a profile: the bench's, with these sections changed."""
    values = copy.deepcopy(BENCH)
    for sections in all_sections:
        for name, value in sections.items():
            both = isinstance(value, dict) and isinstance(values.get(name), dict)
            values[name] = {**values[name], **value} if both else value
    return values


def toml(values):
    """Return a profile as a file says it."""
    lines = [f"{k} = {json.dumps(v)}" for k, v in values.items() if not _nested(v)]
    for name, value in values.items():
        for one in (value if isinstance(value, list) else [value]) if _nested(value) else ():
            lines += ["", f"[[{name}]]" if isinstance(value, list) else f"[{name}]"]
            lines += [f"{k} = {json.dumps(v)}" for k, v in one.items()]
    return "\n".join(lines) + "\n"


def _nested(value):
    return isinstance(value, dict) or (isinstance(value, list) and isinstance(value[0], dict))


def _filled(of):
    """Return the values of a profile with each field filled in by ``of``, every list once."""
    from cutfiles.machine.profile.fields import ENTRIES, JUDGED, MATERIAL

    values = {"material": [{}], "judged": [{}]}
    for one in ENTRIES:
        (values.setdefault(one.table, {}) if one.table else values)[one.name] = of(one)
    for name, fields in (("material", MATERIAL), ("judged", JUDGED)):
        values[name] = [{one.name: of(one) for one in fields}]
    return values


def _sized(one, size, off):
    """Return a value at an end of a field's range, or beyond it; others cannot be so."""
    match one.kind:
        case "length":
            return f"{size + off / 1000:g} mm"
        case "number" | "whole":
            return size + off if one.kind == "whole" else size + off / 1000
        case "text":
            return "x" * int(one.most + max(off, 0))
    return "X" * 40 if off > 0 else 7


FILLED = {
    "below": lambda one: _sized(one, one.least, -1),
    "above": lambda one: _sized(one, one.most, 1),
    "wrong": lambda one: True,
    "empty": lambda one: "",
}
OWN_ROLES = {
    "layers": {"cut-outline": "Cut", "cut-holes": "CUT_2", "guide": "people"},
    "colours": {"cut-outline": "#00ffff", "score-valley": "#0000FF", "label": "#000000"},
    "pens": {"cut-outline": 5, "cut-holes": 6, "score-valley": 7, "label": 0},
}
SOUND = {
    "plain": {},
    "roles": OWN_ROLES,
    "outside": {"score": {"side": "outside"}, "about": "of ours"},
    "inside": {"score": {"method": "channel", "side": "inside", "turn": "head to tail"}},
    "dashes": {"score": {"method": "perforate", "turn": "never", "dash": "2 mm", "land": "2 mm"}},
    "knife": {"tool": {"knife_offset": "0.25 mm", "overcut": "0.4 mm", "lead_in": "1 mm"}},
    "none": {"tool": {"knife_offset": "0 mm", "overcut": "0 mm"}},
    "bridges": {"tool": {"bridges": 3, "bridge_width": "0.8 mm", "overcut": "0.79 mm"}},
    "inches": {"units": "in", "bed": {"width": 20, "length": "18 1/2 in", "margin": 0.25}},
    "fed": {"bed": {"tiles": "feed", "origin": "upper-left", "y_axis": "down"}},
    "shifted": {
        "bed": {"tiles": "shift", "origin": "upper-right", "x_axis": "left", "y_axis": "down"}
    },
    "exact": {"bed": {"origin": "centre", "range_least": -18000, "range_most": 18000}},
    "least": {"bed": {"width": "50 mm", "length": "250 mm", "margin": "0 mm"}},
    "laser": {**LASER, "material": [POWERS, {"film": "thin", "gauge": "3 mil", "cut_passes": 2}]},
    "bare": LASER,
    "burnt": {**LASER, "formats": ["svg"], "tool": {"kerf": "0.2 mm", "corners": "rounded"}},
    "forces": {"material": [{**FORCES, **SPEEDS, "cut_passes": 2}, {**FORCES, "gauge": "7 mil"}]},
    "judged": {
        "judged": [
            {**JUDGED, "what": "score_force", "value": 48.5},
            {**JUDGED, "what": "land", "value": 1.2},
        ]
    },
}
"""What a profile may say; all of it is told."""
UPRIGHT = {"x_axis": "up", "y_axis": "left"}
CONTRARY = {
    "controller": {"kind": "laser", "formats": ["gcode", "svg"], "laser": {}},
    "half-a-controller": {**LASER, "laser": {"beam": "M4"}},
    "pressing-beam": {**LASER, "score": {"method": "impress", "turn": "never"}},
    "channel-beam": {**LASER, "score": {"method": "channel"}, "tool": {"overcut": "1 mm"}},
    "torn": {"score": {"side": "inside"}},
    "no-side": {"score": {"method": "perforate", "side": "outside", "turn": "never"}},
    "two-faces": {"score": {"method": "impress", "turn": "never"}},
    "burning-knife": {"formats": ["gcode", "svg", "pdf"], "tool": {"kerf": "0.2 mm"}},
    "trailing-beam": {**LASER, "tool": {"knife_offset": "0.2 mm", "overcut": "0.3 mm"}},
    "parted-bridges": {"tool": {"bridges": 2, "overcut": "0.5 mm"}},
    "one-pen": {
        "score": {"method": "impress"},
        "pens": {"score-valley": 1, "score-mountain": 4, "cut-holes": 4},
    },
    "usual-pens": {"score": {"method": "impress"}, "pens": {"cut-outline": 3, "cut-holes": 2}},
    "no-pen": {"pens": {"cut-outline": 0, "cut-holes": 0, "score-valley": 0}},
    "narrow": {"bed": {"width": "150 mm", "margin": "50.01 mm"}},
    "shallow": {"bed": {"length": "100 mm", "margin": "25 mm"}},
    "both-across": {"bed": {"y_axis": "left"}},
    "both-along": {"bed": {"x_axis": "down"}},
    "below-range": {"bed": {"origin": "lower-right"}},
    "beyond-range": {"bed": {"length": "1000.04 mm"}},
    "in-range": {"bed": {"length": "1000.01 mm"}},
    "turned-range": {"bed": {**UPRIGHT, "range_most": 23000, "range_least": -10}},
    "no-units": {"formats": ["svg"], "bed": {"length": "5 m", "origin": "centre"}},
    "guides-layer": {"layers": {"guide": "w_x", "label": "W-X", "registration": "w-X"}},
    "one-colour": {
        "formats": ["svg"],
        "layers": {"score-valley": "S", "score-mountain": "s"},
        "colours": {"score-valley": "#ff0000", "score-mountain": "#00ff00"},
    },
    "palette": {"formats": ["dxf-r12", "dxf-r2000"], "colours": {"label": "#123456"}},
    "gauges": {"material": [FORCES, {**FORCES, "gauge": "0.1272 mm"}]},
    "forced-beam": {**LASER, "material": [{"gauge": "5 mil", "cut_force": 3, "mark_power": 9}]},
    "powered-knife": {"material": [{"gauge": "7 mil", "score_power": 3, "mark_speed": 10}]},
}
"""Every sentence of what contradicts itself, and what comes close to it."""


def profiles(folder):
    """Write the profiles."""
    given = {
        **{name: changed(sections) for name, sections in {**SOUND, **CONTRARY}.items()},
        **{name: _filled(of) for name, of in FILLED.items()},
        "lacking": {"named": "x", "bed": {"lenght": 3}, "score": "impress", "material": {}},
    }
    for name, values in given.items():
        (folder / f"{name}.toml").write_text(toml(values), encoding="utf-8")
    return {name: folder / f"{name}.toml" for name in given}


def fields(_):
    """Tell the fields of a profile as people are shown them."""
    from cutfiles.machine.profile.fields import PROFILE_FILE, profile_table

    return "\n".join(map(str, (*profile_table().fields, *profile_table()[2:], PROFILE_FILE)))


def groups():
    """Yield the groups."""
    made = [*SOUND, *CONTRARY, *FILLED, "lacking"]
    lines = [["cutters", "check", f"{{{name}}}"] for name in made]
    unknown = [["cutters", "check", name] for name in ("lasr", "hammer", "none.toml")]
    yield Group("profiles", [*lines, *unknown, fields], profiles)
