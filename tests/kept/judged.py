"""What commands say of many odd books, made every way: judged, advised, tried; hand coupons."""

import itertools
import json
import math

from tilted import BOOKS

from kept import Group

COUNT = 72
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


def drawn():
    """Return the values of each drawn slip: kinds, ways and what is known, in strides of primes."""
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
    for values in drawn():
        path = paths[values["number"]] = folder / f"{values['number']}.toml"
        path.write_text(toml(values), encoding="utf-8")
    return paths


_LEGS = ("plain", 1, 0.127), ("plain", 3, 0.127), ("plain", 1, 0.254), ("plain", 1, 0.1778)
_LEGS += ("lips", 1, 0.254), ("lips", 1, 0.1778), ("posts", 1, 0.127), ("posts", 1, 0.1016)
_TOLD = (  # how each kind's tests ended, and by which factor
    (("stood", 1.9), ("stood", 2.4), ("stood", 1.71), ("collapsed", 2.6)),
    (("collapsed", 2.2), ("collapsed", 1.95), ("collapsed", 2.4), ("collapsed", 2.1)),
    (("collapsed", 0.949), ("stood", 3.0)),
    (("stood", 5.0), ("stood", 6.0)),
    (("collapsed", 0.951), ("stood", 1.1), ("stood", 1.2)),
    (("collapsed", 1.3), ("collapsed", 5.2), ("collapsed", 2.8), ("stood", 9.0)),
)


def trials():
    """Yield tests of legs of several kinds, and of coupons."""
    from cutfiles.bench.film import MODULUS
    from cutfiles.support.coupons import coupon_trial
    from cutfiles.support.trials import Trial, factor_of

    for i, (construction, layers, gauge) in enumerate(_LEGS):
        for j, (ended, factor) in enumerate(_TOLD[i % len(_TOLD)]):
            one = Trial(
                date=f"day {j // 2 if i % 2 else j}",
                support=f"T{i}",
                lot="=7",
                gauge=gauge * (0.91 + 0.06 * j),
                layers=layers,
                construction=construction,
                leg=41.0 + 7 * j,
                breadth=150.0 + j,
                face=0.0 if construction == "plain" else 8.0 + j,
                posts=2 if construction == "posts" else 0,
                load=1.0,
                minutes=(0.5, 60, 1440, 3e5)[(i + j) % 4],
                result=ended,
                side=("left", "right")[j % 2] if i % 2 else "",
                note='+ bent, "so"',
            )
            yield one._replace(load=factor / factor_of(one, MODULUS))
    for j, gauge in itertools.product(range(6), (0.127, 0.1778)):
        crease = coupon_trial("crease", gauge, date="2026-03-02", lot="9", initials="x")
        turned = math.radians(20 + 3 * j)
        yield crease._replace(leg=38.0 + j, load=0.004 * gauge / 0.127, turned=turned)
        post = coupon_trial("post", gauge, note="-pressed")._replace(minutes=1.0)
        yield post._replace(load=(4.0 + 1.5 * j) * (gauge / 0.127), result="collapsed")
        yield coupon_trial("corner", gauge)._replace(bow=3.1 + j / 10)


def tried_files(folder):
    """Write the slips and a table of trials."""
    from cutfiles.support.trial_rows import write_trials

    path = folder / "tried.csv"
    path.write_text(write_trials(trials()), encoding="utf-8")
    return {**slip_files(folder), "tried": path, "own": folder / "own.csv"}


def groups():
    """Yield the groups."""
    names = [f"{{B{i:02}}}" for i in range(COUNT)]
    told = [["check", name] for name in names[1::3]]
    yield Group("judged", [["check", "--json", *names], *told], slip_files)
    with_ = ["--trials", "{tried}"]
    one = ["--trials", "{own}", "--date", "a day", "--lot", "3", "--initials", "x"]
    lines = [
        ["check", "--json", *with_, *names[2::9]],
        *(["check", n, *with_] for n in names[3::24]),
    ]
    lines += [["trial", name] for name in names[4::11]]
    for name, weight, hours, ended in (
        (names[2], "962 g", "24", ("stood",)),
        (names[2], "700 g", "1", ("stood",)),
        (names[5], "2 lb", "24", ("collapsed", "--fell", "left")),
        (names[20], "500 g", "0", ("collapsed",)),
        (names[2], "1200 g", "30", ("stood",)),
    ):
        test = ["--weight", weight, "--hours", hours, "--ended", *ended]
        lines += [["trial", name, *one, *test]]
    lines += [["trial", name, *one[:2]] for name in (names[2], names[5])]
    lines += [["check", "--json", names[2], names[5], *one[:2]]]
    for gauge in ("5 mil", "3 mil"):
        own = [*one, "--measured", gauge]
        crease = ["--weight", "1.2 g", "--arm", "38 mm", "--turned", "27°"]
        lines += [["trial", "--coupon", "crease", *own, *crease]]
        lines += [["trial", "--coupon", "post", *own, "--weight", "610 g", "--ended", "collapsed"]]
        lines += [["trial", "--coupon", "corner", *own, "--bow", "3.4 mm"]]
    yield Group("tried", lines, tried_files)
    lines = []
    for name, gauge in itertools.product(("crease", "post", "corner"), ("2 mil", "5 mil", "7 mil")):
        to = ["--format", "svg", "--no-cards", "--to", "{}"]
        lines.append(["coupon", name, "--gauge", gauge, *to])
    yield Group("hand-coupons", lines)
