"""The card of a score coupon: what each strip tries, how to fold and judge it, where to write."""

from cutfiles.machine.coupon import tried
from cutfiles.machine.passes import CutPlan
from cutfiles.pattern.pattern import Role
from cutfiles.plane.measure import chords
from cutfiles.plane.shapes import Box
from cutfiles.report.printed.bench_drawings import DASHES
from cutfiles.report.printed.paper import LEAST, SOFT, Paper, PaperName
from cutfiles.version import VERSION
from cutfiles.words.cautions import KNIFE, LASER

_TEXT, _HEAD, _ROW = 3.1, 3.7, 9.0
_PICTURE = 100.0
"""Breadth of the picture, mm."""
_COLUMNS = ("strip", "tries", "valley", "mountain", "back flat", "best")
_VARIED = {
    "score_power": "the power of the scores, in per cent of full power",
    "score_force": "the force of the scores, as the machine counts it",
    "score_passes": "how often each score is worked",
    "land": "the film left between two cuts of a perforation, mm",
}


def score_card(plan: CutPlan, paper: PaperName = "A4") -> bytes:
    """Return the card of a score coupon as PDF, one page.

    Args:
        plan: of the coupon.
        paper: A4 or Letter.

    """
    page = Paper(paper, f"{plan.number}, card")
    box, facts, trial = page.box, dict(plan.drawing.facts), tried(plan)
    page.text((box.left, box.top - 6.0), "Which setting scores best", 6.0, bold=True)
    said = f"{plan.number} · polyester film, {facts['gauge']} · {plan.cutter.name}"
    page.text((box.left, box.top - 11.5), said, _TEXT, width=box.width, least=LEAST)
    page.text((box.left, box.top - 16.0), "film lot ____________  date ____________", _TEXT)
    high = _PICTURE * plan.drawing.height / plan.drawing.width
    top = box.top - 22.0
    picture = Box(box.right - _PICTURE, top - high, box.right, top)
    _picture(page, plan, picture)
    y = top
    for i, line in enumerate(_words(plan, _VARIED[trial.what]), 1):
        y = page.paragraph((box.left, y), line, picture.left - box.left - 8.0, _TEXT, lead=str(i))
        y -= 1.6
    labels = [trial.label(value) for value in trial.values]
    y = _table(page, labels, Box(box.left, box.bottom, box.right, min(y, picture.bottom) - 6.0))
    said = (
        "Tick what is good, cross out what cracked, whitened or tore. Have the number of the best "
        "strip recorded for this film lot: from then on it is what this lot is scored with. None "
        "is good: change blade, tool or the setting in the profile, and cut another coupon."
    )
    y = page.paragraph((box.left, y - 3.0), said, box.width, _TEXT) - 3.0
    own = LASER if plan.cutter.kind == "laser" else KNIFE
    page.paragraph((box.left, y), own, box.width, _TEXT, lead="Take care")
    page.text((box.left, box.bottom), f"cutfiles {VERSION}", LEAST, grey=SOFT)
    return page.pdf()


def _words(plan: CutPlan, varied: str) -> tuple[str, ...]:
    if tried(plan).what == "score_passes":
        varied += ": the files state neither power nor force, which is set at the machine"
    faces = "both faces" if len({one.face for one in plan.passes}) > 1 else "one face"
    return (
        f"Cut it from the film lot to be used, from {faces} as its pass card tells. The strips try "
        f"{varied}; all else stays as it will be.",
        "Measure to a tenth of a millimetre: the square hole is 10 mm (smaller or larger shows "
        "the kerf), the bar 50 mm (its length shows the scale).",
        "Fold each strip at its valley (dashed) towards the face on which the numbers read, to a "
        "right angle, then open it; at its mountain (dash and dots) away from that face.",
        "Look with a lens across the light: the fold runs along the line, nothing cracked, "
        "whitened or came through, and it goes back flat by itself or nearly.",
        "Of those that fold true the lightest is best. Pull at its ends: one that tears is none.",
    )


def _picture(page: Paper, plan: CutPlan, box: Box) -> None:
    """Draw the coupon, book face up, its strips numbered beside it."""
    drawing = plan.drawing
    scale = box.width / drawing.width
    page.box_line(box, width=0.15, grey=SOFT)
    for stroke in drawing.strokes:
        if stroke.role is Role.GUIDE:
            continue
        page.line(
            [(box.left + scale * x, box.bottom + scale * y) for x, y in chords(stroke.path, 0.1)],
            width=0.12 if stroke.role in (Role.LABEL, Role.REGISTRATION) else 0.35,
            dashes=DASHES.get(stroke.role, ()),
            closed=stroke.path.closed,
        )
    for number, _ in enumerate(tried(plan).values, 1):
        score = next(s for s in drawing.strokes if s.name == f"setting {number}")
        middle = (score.path.points[0].y + score.path.points[-1].y) / 2
        page.ring((box.left - 3.4, box.bottom + scale * middle), 2.6, str(number))


def _table(page: Paper, labels: list[str], box: Box) -> float:
    """Draw the table to write in; return y below it."""
    wide = box.width / len(_COLUMNS)
    lefts = [box.left + i * wide for i in range(len(_COLUMNS) + 1)]
    for x, head in zip(lefts, _COLUMNS, strict=False):
        page.text((x + 1.0, box.top - 4.0), head, _TEXT, bold=True)
    top = box.top - 5.6
    bottom = page.ruled(lefts, top, _ROW, len(labels))
    for i, label in enumerate(labels):
        level = top - _ROW * i - 5.6
        page.text((box.left + 1.0, level), str(i + 1), _HEAD, bold=True)
        page.text((lefts[1] + 1.0, level), label, _TEXT)
    return bottom
