"""Cut files read back: by each reader from small files, compared, folded, whole and damaged."""

import gzip
import re
import sys
from functools import partial
from itertools import cycle

from small_files import KINDS
from told_files import by_hand, checked, compared, edits, leaning, told, written

from kept import ROOT, SAMPLES, Group

FILES, EDITED = SAMPLES / "files", ROOT / "tests" / "edits"
SAVED = (
    *("clone.svg", "colours.svg", "corner.svg", "gdal.dxf", "inches.dxf", "opened.svg"),
    *("rich.dxf", "stroked.svg", "turned_half.svg"),
)
"""Of the drawings saved by general-purpose programs; all are told in `test_edits_saved.py`."""


def line(name, *texts):
    """Return a line of a group that gives texts, each made when it is run."""

    def call(folder):
        del folder
        return "\n".join(told(text) for text in texts)

    call.__name__ = name
    return call


def designs():
    """Yield supports of every kind and construction by their names, and slips of samples."""
    import tilted
    from conftest import sample

    hems = {"edges": "folded"}
    for number, more in {
        "LEVEL": {"layers": 3, "edges": "folded"},
        "RISER": {"construction": "lips", **hems},
        "LONE": {"construction": "posts"},
        "CROSSED": {"layers": 3, "edges": "folded", "relief_diameter": 0},
        "LAPPED": {**hems, "corner_radius": 1},
        "FLAT": {"layers": 3, "edges": "folded", "nesting": 2},
        "RIGHT": {"construction": "posts", **hems},
    }.items():
        yield number, tilted.slip_of(number, support=more)
    for stem in ("A1", "D1", "H2"):
        yield stem, sample(stem)


def _unpacked(name):
    return gzip.decompress((EDITED / f"{name}.gz").read_bytes())


def brought(folder):
    """Write what commands are given: slips, an edited drawing, and files changed by hand."""
    drawing, slip = folder / "edited.svg", folder / "E7.toml"
    drawing.write_bytes(_unpacked("several.svg"))
    slip.write_bytes((EDITED / "E7.toml").read_bytes())
    bare = re.sub(rb"<(desc|metadata)>.*?</\1>", b"", (FILES / "A1.svg").read_bytes(), flags=re.S)
    (folder / "bare.svg").write_bytes(bare)
    return {"edited": drawing, "slip": slip, "bare": folder / "bare.svg", "from": folder}


def commands():
    """Yield the groups of what commands say of files, and make of them."""
    names = ("A1.svg", "A1.pdf", "A1.r12.dxf", "A1.r2000.dxf", "A1.hpgl", "A1.fold", "H2.hpgl")
    files = [str(FILES / name) for name in (*names, "H2.straps.hpgl", "A1.bench.pdf", "A1.json")]
    a1, h2 = (str(SAMPLES / f"{stem}.toml") for stem in ("A1", "H2"))
    said = [["verify", *files, "--slip", slip] for slip in (a1, h2)]
    said += [["verify", *files], ["verify", "{bare}"], ["verify", "{bare}", "--slip", h2]]
    yield Group("read-verify", said, brought)
    folds = [["fold", *files, "--check"], ["fold", *files[:2], "--slip", h2, "--json", "--check"]]
    folds += [["fold", "{bare}", "--to", "{}"], ["fold", "{bare}", "--slip", a1, "--to", "{}"]]
    folds += [["fold", files[5], "--to", "{}", "--json"]]
    beds = ("600x20 mm", "700x300 mm", "250x700 mm")
    folds += [["make", a1, "--bed", bed, "--format", "svg", "--to", "{}/bed"] for bed in beds]
    yield Group("read-fold", folds, brought)
    what = ("crease", "post", "corner")
    small = [["coupon", one, "--format", "all", "--no-cards", "--to", "{}"] for one in what]
    small += [["verify", "{}/coupon-crease-5-mil.svg", "{}/coupon-crease-5-mil.hpgl"]]
    yield Group("read-coupons", small)
    slip = ["--slip", "{slip}"]
    kept = [["edits", "{edited}", *slip, "--accept", "--to", "{}"]]
    kept += [["make", "{slip}", "--format", "svg,fold", "--no-sheet", "--to", "{}"]]
    kept += [["edits", "{}/E7.svg", *slip, "--check"], ["verify", "{}/E7.svg", *slip]]
    kept += [["fold", "{}/E7.fold", *slip, "--check"]]
    yield Group("read-edits-kept", kept, brought)


def _all(do, *given):
    return "\n".join(do(*given))


def groups():
    """Yield the groups."""
    sys.path.append(str(ROOT / "tests" / "bench"))
    hand = [line(key, *(by_hand(key, data) for data in files)) for key, files in KINDS.items()]
    yield Group("read-by-hand", hand)
    keys = ("svg", "dxf-r12", "pdf", "hpgl", "dxf-r2000", "gcode", "svg-plain")
    pairs = list(zip(range(99), designs(), cycle(keys), strict=False))

    def each(do, pairs=pairs):
        return [
            line(f"{name} {key}", partial(_all, do, slip, key, i)) for i, (name, slip), key in pairs
        ]

    yield Group("read-compared", each(compared, pairs[: len(keys)]))
    yield Group("read-written", [line(key, partial(_all, written, key)) for key in keys])
    yield Group("read-folded", each(checked, pairs[1:9]))
    yield Group("read-leaning", each(leaning))
    yield Group("read-edits", [line(one, partial(edits, _unpacked(one))) for one in SAVED])
    yield from commands()
