"""Plans of what a cutter does with a sheet: each way to draw, work, lay and set it."""

import json
from functools import cache

from kept import Group
from kept.profiles import FORCES, JUDGED, LASER, OWN_ROLES, POWERS, SOUND, SPEEDS, changed, said_as

SMALL = {"number": "T", "units": "mm", "height": 64, "width": 45, "spine_width": 20}
HALVES = {"left_rise": 21, "right_rise": 14}
BOOKS = {
    "level": {},
    "riser": {"left_joint": 9, "right_joint": 0},
    "flat": {"left_rise": 0},
    "posts": {"height": 120, "support": {"construction": "posts"}},
    "lips": {"support": {"construction": "lips", "edges": "folded"}},
    "layers": {"support": {"layers": 3}, "weight": "90 g"},
}
"""Small, and no half like the other."""


@cache
def sheet(book):
    """Return the sheet of a small book."""
    from cutfiles.bench.slip import slip_from
    from cutfiles.draft import draft_of

    more = BOOKS[book]
    way = {"layers": 1, "gauge": "5 mil", "construction": "plain", "edges": "cut"}
    way |= more.get("support", {})
    return draft_of(slip_from({**SMALL, **HALVES, **more, "support": way})).drawing


def planned(name, book, *sections, lot=""):
    """Return a line that tells a plan in words, as data, and as all its files."""

    def call(_):
        from cutfiles.errors import CutfilesError
        from cutfiles.files.passes import write_plan
        from cutfiles.machine.plan import lie_of, plan
        from cutfiles.machine.profile.read import cutter_from
        from cutfiles.report.text.plan import plan_data, plan_table

        try:
            made = plan(sheet(book), cutter_from(changed(*sections), "x.toml"), lot)
            files = write_plan(made)
        except CutfilesError as error:
            return str(error)
        said = [plan_table(made), json.dumps(plan_data(made)), *map(str, made.findings)]
        said += [str(lie_of(made, one)) for one in made.passes]
        return "\n".join([*said, *(f"{one.name}\n{one.data.decode('latin-1')}" for one in files)])

    return said_as(name, call)


PRESSED = {"score": {"method": "impress"}}
TILED = [
    ("feed", 110, 200, "level"),
    ("shift", 110, 160, "riser", SOUND["knife"], PRESSED),
    ("none", 330, 90, "level"),
    ("none", 90, 330, "level"),
    ("none", 100, 100, "level"),
    ("feed", 75, 500, "level"),
    ("none", 70, 75, "riser"),
    ("feed", 90, 55, "riser"),
    ("feed", 300, 120, "posts"),
]
COUNTING = [
    ("upper-left", "right", "down"),
    ("lower-right", "up", "left"),
    ("upper-right", "down", "left"),
    ("centre", "left", "up"),
]
LOTS = [
    ("score_force", 48.5, {"material": [FORCES]}),
    ("score_power", 33.3, SOUND["laser"]),
    ("score_passes", 3, {}),
    ("land", 1.5, SOUND["dashes"]),
]
PLANS = [
    planned("all formats", "level", OWN_ROLES, {"formats": ["svg", "svg-plain", "hpgl"]}),
    planned("drawings", "flat", PRESSED, {"formats": ["dxf-r12", "dxf-r2000", "pdf"]}),
    planned("outside", "level", PRESSED, {"score": {"side": "outside"}, "formats": ["pdf"]}),
    planned("head to tail", "level", SOUND["inside"], {"formats": ["pdf"]}),
    planned("dashes", "lips", SOUND["dashes"]),
    planned("dashes across", "riser", SOUND["dashes"], {"score": {"dash": "5 mm"}}),
    planned(
        "too long a dash", "level", SOUND["dashes"], {"score": {"dash": "30 mm", "land": "18 mm"}}
    ),
    planned("perforated", "flat", SOUND["dashes"], {"formats": ["pdf"]}),
    planned("a knife", "riser", SOUND["knife"]),
    planned("a knife that presses", "level", SOUND["knife"], PRESSED),
    planned("no overcut", "posts", SOUND["knife"], {"tool": {"overcut": "0 mm"}}),
    planned("no offset", "flat", SOUND["knife"], {"tool": {"knife_offset": "0 mm"}}),
    planned("mitred", "level", SOUND["burnt"], {"tool": {"corners": "mitred"}}),
    planned("rounded", "posts", SOUND["burnt"], {"tool": {"kerf": "0.5 mm"}}),
    planned("too broad a beam", "level", SOUND["burnt"], {"tool": {"kerf": "2 mm"}}),
    planned("bridges", "posts", SOUND["bridges"], {"tool": {"lead_in": "1 mm"}}),
    planned("many bridges", "posts", SOUND["bridges"], {"tool": {"bridges": 60}}),
    planned("lead-ins", "riser", SOUND["burnt"], {"tool": {"lead_in": "3 mm"}}),
    *(
        planned(
            f"from {origin}",
            "level",
            {"bed": {"origin": origin, "x_axis": x, "y_axis": y}},
            {"bed": {"range_least": -40000}},
        )
        for origin, x, y in COUNTING
    ),
    *(
        planned(
            f"{tiles} on {width} × {length}",
            book,
            {"bed": {"tiles": tiles, "width": f"{width} mm", "length": f"{length} mm"}},
            *more,
        )
        for tiles, width, length, book, *more in TILED
    ),
    planned("a program", "level", SOUND["laser"]),
    planned(
        "worked twice",
        "flat",
        LASER,
        {"laser": {"beam": "M4", "power_range": 1000}},
        {"material": [{**POWERS, "cut_passes": 2, "score_passes": 3}]},
    ),
    planned("no such film", "level", LASER, {"material": [{**POWERS, "gauge": "7 mil"}]}),
    planned("by hand", "layers", {"material": [{**FORCES, "gauge": "7 mil"}]}),
    planned("forces", "level", {"material": [{**FORCES, **SPEEDS, "score_passes": 2}]}),
    planned(
        "paces",
        "riser",
        {"speed": {"cut": 30, "score": 55, "mark": 80, "travel": 333}, "pens": {"label": 5}},
        {"speed": {"lift": 2, "acceleration": 222, "tool_change": 17}},
    ),
    *(
        planned(
            f"a lot's {what} {lot}",
            "level",
            more,
            {
                "judged": [
                    {**JUDGED, "what": what, "value": value},
                    {**JUDGED, "what": what, "value": 7, "gauge": "7 mil"},
                ]
            },
            lot=lot,
        )
        for what, value, more in LOTS
        for lot in ("2026-03", "2026-04")[: 2 if what == "land" else 1]
    ),
]
"""Plans: each way a line is drawn, worked, laid on a bed and set."""


def groups():
    """Yield the groups."""
    yield Group("plans", PLANS)
