"""A small test piece that shows, for one film lot, which setting scores best.

One strip a setting, parted by slits so that each folds by itself: a valley and a mountain score,
worked from the faces the profile says. Above them a square of 10 mm cut out (its size shows the
kerf, its edge the cut), and a bar of 50 mm (its length shows the scale).
"""

import json
import tomllib
from dataclasses import replace
from pathlib import Path

from cutfiles.bench.film import MATERIAL, Film
from cutfiles.dataclass import dataclass
from cutfiles.disk.files import update
from cutfiles.disk.refusals import read
from cutfiles.disk.system import sum_of
from cutfiles.errors import CutterError, Fault, FileError, Place
from cutfiles.film.drawing import Drawing
from cutfiles.film.register import crosses
from cutfiles.machine.cutter import Cutter, Setting, Varied, profile_sha256
from cutfiles.machine.formats import FORMATS
from cutfiles.machine.passes import CutPlan
from cutfiles.machine.plan import plan_chosen
from cutfiles.machine.profile.read import cutter_from, packaged_cutters, packaged_text, read_cutter
from cutfiles.machine.settings import choose
from cutfiles.pattern.facts import PROGRAM
from cutfiles.pattern.lettering import text_strokes, text_width
from cutfiles.pattern.pattern import Role, Stroke, by_role
from cutfiles.plane.shapes import Box, open_path, rectangle
from cutfiles.version import VERSION

MARGIN = 10.0
WIDTH = 120.0
STRIP = 16.0
HEAD = 24.0
_LABELS: dict[Varied, str] = {
    "score_power": "{}%",
    "score_force": "force {}",
    "score_passes": "{}×",
    "land": "{} mm",
}
"""What stands on a strip behind its number: the value that it tries."""
_STEPS = (0.6, 0.8, 1.0, 1.25, 1.5)


@dataclass(frozen=True, slots=True)
class Trial:
    """What a coupon varies.

    Attributes:
        what: which value.
        values: of strip 1 and so on.

    """

    what: Varied
    values: tuple[float, ...]

    def label(self, value: float) -> str:
        """Return a value as a strip and its card say it.

        >>> Trial("score_passes", (1.0, 2.0)).label(2.0)
        '2×'
        """
        return _LABELS[self.what].format(f"{value:g}")


def trial_of(cutter: Cutter, gauge: float) -> Trial:
    """Return what a coupon for this cutter and gauge (mm) varies.

    The land of a perforation; else power or force, around the one in the profile, where the
    machine's format can say it; else how often a line is worked.
    """
    if cutter.method == "perforate":
        return Trial("land", tuple(round(max(0.3, cutter.land * step), 2) for step in _STEPS))
    material = cutter.material(gauge)
    score = material.settings["score"] if material else Setting()
    if all(FORMATS[key].wire for key in cutter.formats):
        if score.power is not None:
            values = {round(min(100.0, score.power * step), 1) for step in _STEPS}
            return Trial("score_power", tuple(sorted(values)))
        if score.force is not None:
            return Trial("score_force", tuple(round(score.force * step) for step in _STEPS))
    return Trial("score_passes", (1.0, 2.0, 3.0))


def coupon(cutter: Cutter, gauge: float) -> CutPlan:
    """Return the plan of a coupon.

    Args:
        cutter: the machine.
        gauge: of the film, mm.

    Raises:
        FormatError: the coupon does not fit the bed.

    """
    trial = trial_of(cutter, gauge)
    drawing = coupon_drawing(trial, Film(gauge=gauge, layers=1), number_of(cutter, gauge))
    chosen = choose(drawing, cutter)
    settings, lands = dict(chosen.settings), {}
    for i, value in enumerate(trial.values, 1):
        name = _name(i)
        score = settings[Role.VALLEY]
        match trial.what:
            case "score_power":
                settings[name] = replace(score, power=value)
            case "score_force":
                settings[name] = replace(score, force=value)
            case "score_passes":
                settings[name] = replace(score, passes=1)  # the sheet holds the line as often
            case "land":
                lands[name] = value
    return plan_chosen(drawing, cutter, replace(chosen, settings=settings, lands=lands))


def tried(plan: CutPlan) -> Trial:
    """Return what the coupon of a plan tries."""
    return trial_of(plan.cutter, plan.drawing.gauge or 0.0)


def number_of(cutter: Cutter, gauge: float) -> str:
    """Return what a coupon is called: those of two machines or films keep apart in one folder."""
    return f"coupon-{called(cutter)}-{gauge * 1000:.6g}um"


def called(cutter: Cutter) -> str:
    """Return what a machine is called in names of files.

    Two profiles of one name may well differ, so four signs tell what a profile of one's own says;
    what was judged for a film lot counts for nothing in it.
    """
    name = cutter.name.replace(" ", "-")
    said = {key: value for key, value in cutter.values.items() if key != "judged"}
    if any(said == tomllib.loads(packaged_text(one)) for one in packaged_cutters()):
        return name
    return f"{name}-{profile_sha256(replace(cutter, values=said))[:4]}"


def coupon_drawing(trial: Trial, film: Film, number: str) -> Drawing:
    """Return the coupon of this number as a sheet, book face up."""
    count = len(trial.values)
    height = HEAD + count * STRIP
    left, bottom = MARGIN, MARGIN
    strokes: list[Stroke] = []
    for i, value in enumerate(trial.values, 1):
        low = bottom + height - HEAD - i * STRIP
        strokes += _strip(i, value, trial.what, left, low, last=i == count)
    top = bottom + height
    strokes.append(
        Stroke(
            Role.HOLES, "square of 10 mm", rectangle(Box(left + 100, top - 18, left + 110, top - 8))
        )
    )
    bar = top - 18
    strokes += [
        Stroke(Role.LABEL, "bar of 50 mm", path)
        for path in (
            open_path((left + 8, bar), (left + 58, bar)),
            open_path((left + 8, bar - 2), (left + 8, bar + 2)),
            open_path((left + 58, bar - 2), (left + 58, bar + 2)),
        )
    ]
    said = f"50 mm, {trial.what.replace('_', ' ')}, {film.gauge_text}"
    size = min(3.0, 82.0 / text_width(said, 1.0))
    strokes += [
        Stroke(Role.LABEL, "bar's label", p) for p in text_strokes(said, (left + 8, bar + 5), size)
    ]
    outline = rectangle(Box(left, bottom, left + WIDTH, top))
    strokes.append(Stroke(Role.OUTLINE, "outline", outline))
    width, whole = WIDTH + 2 * MARGIN, height + 2 * MARGIN
    strokes += crosses(width, whole, MARGIN)
    return Drawing(
        title=number,
        width=width,
        height=whole,
        piece=(WIDTH, height),
        strokes=by_role(strokes),
        notes=(),
        facts=(
            ("number", number),
            ("unit", "mm"),
            ("view", "book face up, head up"),
            ("material", MATERIAL),
            ("gauge", film.gauge_text),
            ("layers", "1"),
            ("varied", f"{trial.what}: " + ", ".join(f"{v:g}" for v in trial.values)),
            (PROGRAM, f"cutfiles {VERSION}"),
        ),
        gauge=film.gauge,
    )


def _strip(
    number: int, value: float, what: Varied, left: float, low: float, last: bool
) -> list[Stroke]:
    high = low + STRIP
    strokes = [
        Stroke(role, _name(number), open_path((left + x, low + 1), (left + x, high - 1)))
        for role, x in ((Role.VALLEY, 55.0), (Role.MOUNTAIN, 85.0))
        for _ in range(int(value) if what == "score_passes" else 1)
    ]
    label = f"{number}  {Trial(what, (value,)).label(value)}"
    strokes += [
        Stroke(Role.LABEL, f"label {number}", p)
        for p in text_strokes(label, (left + 4, low + 5), min(5.0, 46.0 / text_width(label, 1.0)))
    ]
    if not last:  # a slit up to the right edge: the strip hangs on its left end
        slit = open_path((left + 40, low), (left + WIDTH - 3, low))
        strokes.append(Stroke(Role.HOLES, f"slit {number}", slit))
    return strokes


def _name(number: int) -> str:
    return f"setting {number}"


def record_judged(path: str | Path, lot: str, gauge: float, setting: int) -> Trial:
    """Write the setting chosen for a film lot into a profile file; return what was varied.

    It is added at the file's end; everything else in it stays as it was, comments too. The last
    entry of a lot counts.

    Raises:
        FileError: it is a profile that comes with the program, or cannot be written.
        CutterError: the setting is none of the coupon's.

    """
    if str(path) in packaged_cutters():
        raise FileError(
            "a profile that comes with the program",
            "a profile of your own",
            "copy it first",
            f"cutter {path}",
            "copy-cutter",
        )
    file = Path(path)
    cutter = read_cutter(file)
    trial = trial_of(cutter, gauge)
    if not 1 <= setting <= len(trial.values):
        raise CutterError(
            (
                Fault(
                    Place(file=cutter.source),
                    f'setting "{setting}"',
                    f"the coupon has 1 to {len(trial.values)}",
                    "give the number by the strip that folded best",
                ),
            )
        )
    entry = (
        f"\n[[judged]]\nlot = {json.dumps(lot, ensure_ascii=False)}\n"
        f'gauge = "{gauge:.4g} mm"\nsetting = {setting}\nwhat = "{trial.what}"\n'
        f"value = {trial.values[setting - 1]:g}\n"
    )
    before = read(file, "a profile we can write")
    data = (before.decode("utf-8-sig").rstrip("\n") + "\n" + entry).encode()
    cutter_from(tomllib.loads(data.decode().replace("\r\n", "\n")), cutter.source)
    update(file, data, sum_of(before))
    return trial
