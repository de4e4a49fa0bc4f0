"""What `check` says of many odd books, made every way and measured every way."""

import json

from tilted import BOOKS

from kept import Group

COUNT = 54
"""Books drawn, each with its own size, way to make it, and what else is known of it."""
_LEVEL = {"left_joint": 0.0, "right_joint": 0.0}
_ODD = (
    {"height": 118, "left_width": 70, "right_width": 74, "spine_width": 9.5} | _LEVEL,
    {"spine_width": 62, "left_width": 210, "right_width": 190, "height": 250} | _LEVEL,
    {"left_rise": 5.0, "right_rise": 31.0, "left_joint": 0.0, "right_joint": 9.0},
)
_KINDS = (*BOOKS.values(), *({**BOOKS["LEVEL"], **odd} for odd in _ODD))
_THIRDS = tuple({**BOOKS[name], **_LEVEL} for name in ("LEVEL", "LAPPED", "FLAT", "RIGHT"))
"""Books of which three layers are made."""
_BARE = ("posts", "layers", "nesting", "opening_ceiling")
_MADE = (
    {},
    {"gauge": "5 mil", "layers": 3},
    {"construction": "lips", "edges": "cut"},
    {"construction": "posts", "posts": 3, "edges": "folded"},
    {"construction": "plain", "edges": "folded", "gauge": "7 mil"},
    {"film": "PET 10 mil", "adjust": 4, "construction": "plain"},
    {"layers": 3, "nesting": 0.7, "gauge": "4 mil"},
    {"edges": "cut", "prefer": "film"},
    {"straps": "film", "strap_slots": "yes"},
    {"straps": "film", "strap_slots": "yes", "layers": 3},
    {"construction": "lips", "gauge": "3 mil", "adjust": 2},
    {"construction": "plain", "adjust": 4, "layers": 1, "edges": "cut"},
    {"spine_clearance": 0, "fore_inset": 0, "end_inset": 0, "corner_radius": 0},
    {"spine_clearance": 4, "fore_inset": 6.5, "end_inset": 3.3, "tape_thickness": 0.25},
    {"tab_most": 17, "tab_least": 6, "tab_gap": 2.5, "tape_inset": 4.5},
    {"deck_lift": 2.4, "layers": 1},
    {"least_rise": 48},
    {"least_rise": 2, "opening_ceiling": 100},
    {"fold_gap": 2, "edge_gap": 1.2, "score_gap": 2.5, "relief_diameter": 3, "layers": 3},
    {"relief_diameter": 0, "layers": 3, "corner_radius": 6},
    {"stiff_board": 3, "prefer": "film"},
    {"joints": "guess", "follow": "boards"},
    {"posts": 1, "construction": "posts", "gauge": "4 mil", "edges": "cut"},
    {"posts": 8, "construction": "posts", "adjust": 4},
    {"straps": "film", "adjust": 3, "edges": "any", "gauge": "10 mil"},
    {"construction": "lips", "edges": "folded", "gauge": "10 mil", "adjust": 4},
    {"gauge": "2 mil", "layers": 1},
)
_KNOWN = (
    {},
    {"weight": None, "pages": 310},
    {"weight": None, "left_side": None, "right_side": None},
    {"weight": "1 g"},
    {"weight": "1400 g"},
    {"weight": "2.9 lb", "units": "in"},
    {"left_side": None, "opening": "title page"},
    {"cover": "limp", "binding": "limp vellum"},
    {"cover": "limp", "weight": "900 g", "binding": "paper wrapper, stapled"},
    {"binding": "oversewn", "page_angle": 70, "note": "leaves stand up"},
    {"binding": "glued paperback", "case_depth": 200, "case_width": 290, "case_height": 60},
    {"binding": "tight back", "case_depth": 170, "case_height": 400},
    {"binding": "hollow back", "note": "springy"},
    {"binding": "cloth", "left_joint": None, "right_joint": None},
    {"spine_width": None, "thickness": 24, "left_joint": None, "right_joint": None},
    {"weight": "6 kg"},
    {"span": 200, "right_side": None},
)
_NEAR = (  # just on either side of a limit, and far beyond it
    ("LEVEL", {"left_width": 12, "left_rise": 9}),
    ("LEVEL", {"left_width": 44, "right_width": 30, "right_rise": 9}, {"strap_slots": "yes"}),
    ("LEVEL", {"height": 41}, {"corner_radius": 20}),
    ("LEVEL", {"height": 47}, {"corner_radius": 18, "tape_inset": 20}),
    ("LEVEL", {"opening": "Closed", "left_rise": 0, "right_rise": 7.9}),
    ("LEVEL", {"left_rise": 7.9, "right_rise": 3}),
    ("LEVEL", {"left_rise": 8, "right_rise": 7.9, "spine_width": 0.5}, {"spine_clearance": 0}),
    ("RIGHT", {"spine_width": 7, "right_joint": 6}),
    ("RISER", {"left_joint": 4.9}),
    ("RISER", {"left_joint": 5.1, "right_rise": 0}),
    ("RISER", {"left_joint": 32}),
    ("RISER", {"left_joint": 33.5}),
    ("RISER", {"left_rise": 118}, {"tab_least": 60, "tab_most": 60}),
    ("FLAT", {"left_width": 20}, {"tab_least": 60, "tab_most": 60}),
    ("FLAT", {"spine_width": 3}, {"tab_gap": 10}),
    ("FLAT", {"left_rise": 30, "right_rise": 2, "spine_width": 1}, {"spine_clearance": 0}),
    ("LEVEL", {}, {"construction": "lips", "layers": 3}),
    ("LEVEL", {}, {"construction": "posts", "gauge": "3.9 mil"}),
    ("LEVEL", {}, {"construction": "posts", "edges": "cut", "posts": 8, "gauge": "4 mil"}),
    ("LEVEL", {"height": 17}, {"fold_gap": 10, "edge_gap": 10, "layers": 3}),
    ("LEVEL", {"height": 18}, {"score_gap": 10, "layers": 3, "relief_diameter": 6}),
    ("LEVEL", {"height": 28}, {"tape_inset": 13.5}),
    ("LEVEL", {"left_width": 14, "left_rise": 9}, {"relief_diameter": 6, "layers": 3}),
    ("CROSSED", {}, {"deck_lift": 5}),
    ("LAPPED", {}, {"deck_lift": 0.1, "coating": "uncoated"}),
    ("LEVEL", {"left_rise": 53.5, "right_rise": 54.3}),
    ("LEVEL", {"left_rise": 91.6, "right_rise": 97.1, "height": 254}),
    ("LEVEL", {"left_rise": 101.4, "right_rise": 3, "height": 254.1}),
    ("LEVEL", {"left_side": 5, "right_side": 20.1, "weight": "1360 g"}),
    ("LEVEL", {"left_side": 5.1, "right_side": 20.5, "weight": "1361 g"}),
    ("LEVEL", {"right_side": 5, "left_side": 19.9, "height": 75, "note": "droop"}),
    ("LEVEL", {"right_side": 4, "left_side": 47, "height": 74.9, "opening": "pastedown"}),
    ("LEVEL", {"right_side": 4, "left_side": 47.1, "height": 203, "binding": "stapled"}),
    ("LEVEL", {"left_rise": 3, "right_rise": 9, "number": "Żółw \u1ecb-7", "weight": "700 g"}),
    ("LEVEL", {"left_rise": 60, "number": "x" * 40, "right_width": 20, "right_rise": 9}),
    ("LEVEL", {"page_angle": 100, "binding": "sewn"}, {"follow": "boards"}),
    ("LEVEL", {"page_angle": 124, "cover": "limp"}, {"straps": "film"}),
    ("LEVEL", {"left_rise": None, "right_rise": None, "opening_angle": 117.5}),
    ("LEVEL", {"left_rise": None, "left_slope": 22, "right_rise": None, "opening_angle": 131}),
    ("LEVEL", {"left_rise": None, "left_fore_edge": 57, "left_joint": 11, "right_rise": 20}),
    ("RISER", {"left_joint": None, "right_joint": None, "spine_tilt": 33, "left_slope": 40}),
    ("LONE", {"cover": "limp", "left_side": None, "opening": "f. 1r"}, {"stiff_board": 2}),
    ("STEEP", {"right_rise": 202.8, "left_rise": 5.2}, {"least_rise": 5}),
    ("LEVEL", {"weight": "12 kg", "height": 420}),
    ("LOW", {"weight": "450 g", "height": 240, "spine_width": 14.9}, {"prefer": "film"}),
    ("LEVEL", {}, {"corner_radius": 12, "construction": "lips", "edges": "folded"}),
    ("RISER", {}, {"corner_radius": 9, "construction": "posts", "gauge": "5 mil"}),
    ("FLAT", {}, {"corner_radius": 20, "construction": "plain", "layers": 1}),
    ("LAPPED", {}, {"corner_radius": 14, "construction": "lips", "edges": "cut"}),
    ("NONE", {"spine_width": 1.4, "height": 98}, {"adjust": 4}),
    ("CROSSED", {"left_rise": 20}, {"adjust": 4, "strap_slots": "yes", "straps": "film"}),
    ("LAPPED", {"left_rise": 21}, {"adjust": 2, "construction": "plain", "tab_least": 3}),
)
FIRST = len(_NEAR)
"""Place of the first slip that is drawn."""


def drawn():
    """Return the values of each drawn slip: kinds, ways and what is known, in strides of primes."""
    for i, (book, known, *made) in enumerate(_NEAR):
        values = BOOKS[book] | {"number": f"N{i:02}"} | known
        values = {key: value for key, value in values.items() if value is not None}
        yield {**values, "support": dict(*made)}
    for i in range(COUNT):
        made, known = _MADE[i % len(_MADE)], _KNOWN[i % len(_KNOWN)]
        of = _THIRDS if made.get("layers") == 3 and i > 1 else _KINDS
        values = dict(of[i % len(of)]) | known
        for name in ("height", "left_width", "right_width", "left_rise", "right_rise"):
            values[name] = f"{values[name] * (0.82 + 0.055 * (i % 7)):.2f} mm"
        values = {key: value for key, value in values.items() if value is not None}
        if "units" in known:
            values, made = (_in_mm(one) for one in (values, made))
        yield {**values, "number": f"B{i:02}", "support": made}


def _in_mm(values):
    """Return values of which each length says its unit."""
    bare = {
        key for key, value in values.items() if key in _BARE or not isinstance(value, int | float)
    }
    return {key: value if key in bare else f"{value} mm" for key, value in values.items()}


def toml(values):
    """Return a slip's values as its file has them."""
    plain = {key: value for key, value in values.items() if key != "support"}
    lines = [f"{key} = {json.dumps(value)}" for key, value in plain.items()]
    lines += ["[support]", *(f"{k} = {json.dumps(v)}" for k, v in values["support"].items())]
    return "\n".join(lines) + "\n"


def slip_files(folder):
    """Write the slips."""
    paths = {}
    for i, values in enumerate(drawn()):
        path = paths[f"n{i}"] = folder / f"{i:03}.toml"
        path.write_text(toml(values), encoding="utf-8")
    paths["films"] = folder / "films.toml"
    paths["films"].write_text(FILMS, encoding="utf-8")
    return paths


FILMS = """
[[film]]
name = "roll"
gauge = "5 mil"
modulus = 3600
form = "roll"
sizes = ["1016 mm"]
price = "2.10 a metre"
[[film]]
name = "sheets"
gauge = "0.19 mm"
coating = "unknown"
sizes = ["500 x 700 mm"]
price = "3.40 a sheet"
"""


def groups():
    """Yield the groups."""
    every = [f"{{n{i}}}" for i in range(FIRST + COUNT)]
    near, names = every[:FIRST], every[FIRST:]
    told = [["check", name] for name in (*near[::3], *names[1::6])]
    told.append(["check", "--json", "--films", "{films}", *near[1::8], *names[2::14]])
    yield Group("judged", [["check", "--json", *every], *told], slip_files)
