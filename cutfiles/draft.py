"""A slip drafted: the support designed and laid flat, checked, not yet written.

>>> from cutfiles.bench.slip import slip_from
>>> made = draft_of(slip_from({"number": "A1", "units": "mm", "height": 203, "width": 133,
...                            "spine_width": 34, "opening_angle": 120}))
>>> len(made.pattern.creases)
6
"""

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache

from cutfiles.bench.questions import queries
from cutfiles.bench.slip import Slip
from cutfiles.dataclass import dataclass
from cutfiles.errors import Defect
from cutfiles.film.drawing import Drawing
from cutfiles.film.lay import lay
from cutfiles.findings import Finding
from cutfiles.pattern.checks import check_pattern
from cutfiles.pattern.pattern import Pattern
from cutfiles.pattern.unfold import unfold
from cutfiles.plane.shapes import Path
from cutfiles.support.adjusted import foot_ticks
from cutfiles.support.advice import advise
from cutfiles.support.checks import check_standing
from cutfiles.support.design import design
from cutfiles.support.kept import kept
from cutfiles.support.settle import settled
from cutfiles.support.standing import Support
from cutfiles.support.states import STATES
from cutfiles.support.trials import Trial
from cutfiles.support.tried import tried_by
from cutfiles.support.verdict import Verdict, assess
from cutfiles.words.verdict import sentence, tick_state


@dataclass(frozen=True, slots=True)
class Draft:
    """A support designed and laid flat, checked, not yet written.

    Attributes:
        slip: what was measured.
        support: the support standing.
        pattern: the support laid flat.
        drawing: the pattern with its marks, as files hold it.
        findings: what is worth knowing; nothing in it stops the work.
        verdict: whether the film carries the book.
        trials: the studio's load tests, on which the verdict rests.

    """

    slip: Slip
    support: Support
    pattern: Pattern
    drawing: Drawing
    findings: tuple[Finding, ...]
    verdict: Verdict
    trials: tuple[Trial, ...] = ()

    @property
    def revision(self) -> str:
        """Eight signs that change whenever the pattern does; they stand on every print."""
        return drawing_sha256(self.drawing)[:8]


def draft_of(slip: Slip, trials: Sequence[Trial] = ()) -> Draft:
    """Return the support of a slip, laid flat and checked.

    Args:
        slip: what was measured; film and construction that it leaves open are chosen, or stay as
            they were where a piece made so was proved.
        trials: the studio's load tests.

    Raises:
        DesignError: no cradle follows from the slip.
        Defect: one of our own checks failed; nothing may be cut.

    """
    wanted = slip
    chosen = settled(slip, tried_by(trials))
    slip = kept(slip, chosen.ways, trials) or chosen.slip
    support = design(slip)
    slip = support.slip
    pattern = unfold(support)
    verdict = assess(support, trials, chosen.ways)
    findings = (
        *slip.findings,
        *(query.finding for query in queries(slip)),
        *support.told,
        *_fewer_posts(wanted, slip),
        *_strength(verdict, slip),
        *check_standing(support),
        *check_pattern(pattern, support),
        *_ticks(support, verdict, trials),
        *advise(support),
    )
    stops = [finding for finding in findings if finding.severity == "stop"]
    if stops:
        raise Defect(
            "; ".join(f"{stop.rule}: {stop.message}" for stop in stops[:5]),
            "a pattern must fold back into its support",
            "nothing was written; please report this slip",
            slip.source,
        )
    drawing = lay(pattern, slip.book, support.film.gauge)
    return Draft(slip, support, pattern, drawing, findings, verdict, tuple(trials))


def _ticks(support: Support, verdict: Verdict, trials: Sequence[Trial]) -> Iterator[Finding]:
    """Yield what is wrong with the support creased at each of its ticks, or less sure there."""
    for foot in foot_ticks(support, trials):
        at_each = zip(foot.ticks, foot.states, foot.creased, strict=True)
        for number, (tick, state, creased) in enumerate(at_each, start=1):
            for found in (*check_standing(creased), *check_pattern(unfold(creased), creased)):
                if found.severity == "stop":
                    yield replace(found, message=f"at tick {number}, {found.message}")
            if STATES.index(state) > STATES.index(verdict.state):
                yield Finding(
                    "tick",
                    f"{foot.side} foot",
                    f"creased at tick {number} beside the {foot.side} foot ({tick.rise:+g} mm) it "
                    f"would be: {tick_state(state, verdict)}",
                    tick.rise,
                )


def _fewer_posts(wanted: Slip, made: Slip) -> Iterator[Finding]:
    """Yield that another number of posts is made than a slip asks for."""
    asked, stand = wanted.choices.posts, made.choices.posts
    if not asked or wanted.settled or asked == stand:
        return
    if made.choices.construction == "posts":
        said = f"posts = {asked} is asked for, and {stand} are made: the nearest to it that"
        said += " may stand side by side, two at least"
    else:
        said = f"posts = {asked} is asked for, and none are made: the construction has none"
        said += '; with construction = "posts" it would'
    yield Finding("posts", "support.posts", said, asked, stand)


def _strength(verdict: Verdict, slip: Slip) -> Iterator[Finding]:
    """Yield a verdict that is not sure, or rests on a guessed weight: nothing is made silently."""
    if not verdict.holds or verdict.estimated:
        check = verdict.governing
        said = sentence(verdict, slip)
        yield Finding("strength", check.place, said, check.measured, check.limit)


@lru_cache(maxsize=4)  # record, labels and cards of one support all tell it
def drawing_sha256(drawing: Drawing) -> str:
    """Return a checksum of all that a drawing holds: the same measures give the same one.

    Coordinates count to 0.001 mm, for what is beyond may differ from machine to machine.
    """
    lines = [
        (stroke.role.value, stroke.name, stroke.path.closed, _rounded(stroke.path))
        for stroke in drawing.strokes
    ]
    return hashlib.sha256(repr((drawing.title, drawing.facts, lines)).encode()).hexdigest()


def _rounded(path: Path) -> list[tuple[float, float]]:
    return [(round(x, 3) + 0.0, round(y, 3) + 0.0) for x, y in path.points]
