"""What a worker does for an exhibit: one support, or one sheet; in any process.

Both put their files on disk themselves, all or none, and hand back only what the tables need, so
that memory stays flat however long the list is.
"""

import json
import math
from collections.abc import Collection, Mapping
from dataclasses import field, replace
from typing import Literal, TypeVar

from cutfiles.bench.film import Film
from cutfiles.bench.slip import Slip
from cutfiles.dataclass import dataclass
from cutfiles.disk.files import add_line
from cutfiles.disk.sets import Sums
from cutfiles.disk.system import sum_of
from cutfiles.draft import Draft
from cutfiles.errors import CutfilesError, Fault, Place
from cutfiles.exhibit.results import SupportFacts, Told, View
from cutfiles.exhibit.thumbs import support_view
from cutfiles.files.made import File, Made
from cutfiles.files.passes import write_plan
from cutfiles.film.drawing import Drawing
from cutfiles.film.lay_many import Placement, lay_many
from cutfiles.job.deliver import deliver
from cutfiles.job.deliver_files import deliver_files
from cutfiles.job.make import drawings, make, plan_cards
from cutfiles.job.order import Order, drafted
from cutfiles.machine.cutter import profile_sha256
from cutfiles.machine.options import Options
from cutfiles.machine.passes import CutPlan
from cutfiles.machine.plan import plan
from cutfiles.pattern.pattern import Pattern, Role
from cutfiles.pattern.unfold import unfold
from cutfiles.plane.measure import box_of, path_length
from cutfiles.plane.shapes import Point
from cutfiles.report.printed.labels import labels_of
from cutfiles.support.design import design
from cutfiles.support.profile import walk
from cutfiles.support.reuse import stood_of
from cutfiles.support.settle import way_of
from cutfiles.support.standing import Support, board_of
from cutfiles.support.states import State
from cutfiles.support.straps import straps
from cutfiles.support.verdict import Verdict
from cutfiles.version import VERSION
from cutfiles.words.made import fell_text
from cutfiles.words.verdict import state_text


@dataclass(frozen=True, slots=True, kw_only=True)
class SupportTask:
    """One support to be made."""

    row: int
    slip: Slip
    order: Order
    folder: str
    journal: str

    @property
    def number(self) -> str:
        """Number of the support."""
        return self.slip.book.number

    @property
    def key(self) -> str:
        """Checksum of all that its files depend on."""
        # given and said are no part of a slip's looks, but questions are asked of them
        return _key((_bare(self.slip), sorted(self.slip.given.items()), self.slip.said), self.order)


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetTask:
    """One sheet to be made: which slips' strips, or which of their posts, lie where."""

    number: str
    title: str
    gauge: float
    size: tuple[float, float]
    margin: float
    places: tuple[tuple[Slip, float, float, bool, str], ...]
    order: Order
    folder: str
    journal: str
    known: Sums

    @property
    def key(self) -> str:
        """Checksum of all that its files depend on."""
        places = [(_bare(slip), *where) for slip, *where in self.places]
        return _key(
            (self.number, self.title, self.gauge, self.size, self.margin, places), self.order
        )


Task = TypeVar("Task", SupportTask, SheetTask)


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """What became of a task: facts or files, or the faults that refused it.

    Attributes:
        name: number of the support or sheet.
        key: checksum of all that its files depend on.
        facts: of a support.
        files: names and checksums; of a support that is noted none, for its facts tell them.
        findings: of a sheet, one sentence each.
        faults: that refused it.
        seconds: how long a cutter works on a sheet.

    """

    name: str
    key: str
    facts: SupportFacts | None = None
    files: Mapping[str, str] = field(default_factory=dict)
    findings: tuple[str, ...] = ()
    faults: tuple[Fault, ...] = ()
    seconds: float = 0.0


def note_files(journal: str, kind: str, name: str, sums: Mapping[str, str]) -> None:
    """Note files that are about to be put in place: a run killed then, the next one knows them."""
    add_line(journal, json.dumps([kind, name, {"files": dict(sums)}], ensure_ascii=False))


_USUAL = Options()


def _key(what: object, order: Order) -> str:
    options = order.options
    said = (
        VERSION,
        what,
        order.formats if order.formats is None else tuple(order.formats),
        sorted(options.pens.items()),
        options.hpgl_range,
        *(sorted(named.items()) for named in (options.layers, options.colours, options.settings)),
        options.method,
        options.side,
        order.films,
        order.paper,
        order.lot,
        None if order.cutter is None else profile_sha256(order.cutter),
        *([order.trials] if order.trials else []),
        *([sorted(order.edits.items())] if order.edits else []),
        *(["laser"] if order.kind == "laser" and order.cutter is None else ()),
        *(name for name in ("png", "strict", "anyway") if getattr(order, name)),
        *(
            (name, getattr(options, name))
            for name in ("face", "power_range", "beam")
            if getattr(options, name) != getattr(_USUAL, name)
        ),
    )
    return sum_of(repr(said).encode())


def with_own_edits(order: Order, numbers: Collection[str]) -> Order:
    """Return an order with the kept edits of some supports alone: others' change nothing there."""
    own = {number: kept for number, kept in order.edits.items() if number in numbers}
    return order if own == order.edits else replace(order, edits=own)


def _bare(slip: Slip) -> Slip:
    return replace(slip, source=Place(), findings=())


# -- a support ------------------------------------------------------------------------------------


def make_support(task: SupportTask) -> Done:
    """Make a support and put its files on disk; a refusal is returned, not raised."""
    number, order = task.number, task.order
    alone = replace(order, cutter=None, lot="", machine=order.kind)  # it is sheets that are cut
    try:
        made = make(task.slip, alone)
        files: dict[str, str] = {}

        def note(sums: Mapping[str, str]) -> None:
            files.update(sums)
            note_files(task.journal, "supports", number, sums)

        deliver(made, task.folder, replace=order.replace, alone=True, note=note)
    except CutfilesError as error:
        return Done(name=number, key=task.key, faults=error.faults)
    except Exception as error:  # one bad book stops no other
        return Done(name=number, key=task.key, faults=(_unforeseen(error, task.slip.source),))
    return Done(name=number, key=task.key, facts=support_facts(made, task.key, files), files=files)


def _unforeseen(error: Exception, place: Place) -> Fault:
    return Fault(
        place,
        f"a fault of the program ({type(error).__name__}: {error})",
        "a support is made or refused with a reason",
        "please report this row; the others were made",
    )


def support_facts(made: Made, key: str, files: Mapping[str, str]) -> SupportFacts:
    """Return what tables and page need of a made support."""
    draft = made.draft
    pattern, opening = draft.pattern, draft.slip.opening
    held = straps(draft.support)
    return SupportFacts(
        key=key,
        width=round(pattern.box.width, 2),
        height=round(pattern.box.height, 2),
        gauge=round(draft.support.film.gauge, 4),
        layers=draft.support.film.layers,
        opening_angle=round(opening.opening_angle, 1),
        left_slope=round(opening.left.slope, 1),
        right_slope=round(opening.right.slope, 1),
        left_rise=round(opening.left.rise, 1),
        right_rise=round(opening.right.rise, 1),
        cut=round(_length(pattern, Role.OUTLINE, Role.HOLES), 1),
        score=round(_length(pattern, Role.VALLEY, Role.MOUNTAIN), 1),
        creases=len({to.crease for step in draft.support.steps for to in step.folds}),
        tape=round(_tape(pattern), 1),
        strap=sum(strap.cut_length for strap in held),
        straps=tuple((s.side, s.kind, s.width, s.cut_length, s.from_fore_edge) for s in held),
        dummy=draft.verdict.dummy,
        state=sure_state(draft.verdict),
        way=_way(draft.support),
        shape=shape_of(pattern, draft.support.film),
        verdict=verdict_of(draft),
        posts=posts_of(pattern, draft.support.film),
        fell=fell_text(draft.verdict.fell, draft.verdict.made.way) if draft.verdict.fell else "",
        teller=Told(
            findings=tuple(finding.message for finding in made.findings),
            picture=support_view(draft.support),
            view=view_of(draft.support),
            labels=labels_of(draft),
            stood=stood_of(draft.support, draft.verdict.state, round(draft.verdict.weight, 3)),
            files=files,
        ),
    )


def view_of(support: Support) -> View:
    """Return the end view of a support with its boards, to 0.1 mm."""
    lines: list[tuple[Literal["board", "strip"], list[tuple[float, float]]]] = []
    for half in support.halves:
        board = board_of(support.slip, half.side)
        slope = half.slope if half.stands else math.radians(board.slope)
        (x, y), run = half.joint, half.way * board.width
        y += 1.5
        far = (x + run * math.cos(slope), y + board.width * math.sin(slope))
        lines.append(("board", [(x, y), far]))
    lines.append(("strip", [(p.x, p.y) for p in walk(support.profile).corners]))
    return tuple(
        (kind, tuple((round(x, 1) + 0.0, round(y, 1) + 0.0) for x, y in line))
        for kind, line in lines
    )


def sure_state(verdict: Verdict) -> State:
    """Return a verdict's state; what may hold once the book is weighed is worth a trial."""
    if verdict.state == "another support" and verdict.light not in (None, "another support"):
        return "make a trial"
    return verdict.state


def _way(support: Support) -> tuple[str, str, str, int]:
    way = way_of(support)
    return way.film.name, way.construction, way.edge, support.choices.posts


def shape_of(pattern: Pattern, film: Film) -> str:
    """Return a checksum of what is cut and scored, to 0.01 mm, and of its film.

    What is only written on a piece does not count: a title that is corrected cuts nothing anew.
    """
    lines = [
        (stroke.role.value, stroke.path.closed, [_hundredths(p) for p in stroke.path.points])
        for role in (Role.OUTLINE, Role.HOLES, Role.VALLEY, Role.MOUNTAIN)
        for stroke in pattern.of_role(role)
    ]
    told = repr((round(film.gauge, 4), film.layers, lines))
    return sum_of(told.encode())[:12]


def _hundredths(point: Point) -> tuple[int, int]:
    """Return a place in hundredths; what is measured in halves of them stays off the ties."""
    return round(point.x * 100 + 0.13), round(point.y * 100 + 0.13)


def verdict_of(draft: Draft) -> str:
    """Return the verdict's state, marked where the weight is estimated."""
    return state_text(draft.verdict)


def posts_of(pattern: Pattern, film: Film) -> tuple[tuple[str, float, float, int, str], ...]:
    """Return name, width, height (mm), count and shape of each leg's blanks: they are alike."""
    blanks: dict[str, list[Pattern]] = {}
    for post in pattern.posts:
        blanks.setdefault(leg_of(post), []).append(post)
    return tuple(
        (
            name,
            round(own[0].box.width, 2),
            round(own[0].box.height, 2),
            len(own),
            shape_of(own[0], film),
        )
        for name, own in blanks.items()
    )


def leg_of(post: Pattern) -> str:
    """Return what the posts of one leg are called together: ``left post``."""
    return post.name.rpartition(" ")[0]


def _length(pattern: Pattern, *roles: Role) -> float:
    pieces = (pattern, *pattern.posts)
    return sum(path_length(s.path) for one in pieces for role in roles for s in one.of_role(role))


def _tape(pattern: Pattern) -> float:
    pieces = (pattern, *pattern.posts)
    return sum(box_of([s.path]).height for one in pieces for s in one.strokes if s.use == "tape")


# -- a sheet --------------------------------------------------------------------------------------


def make_sheet(task: SheetTask) -> Done:
    """Make a sheet and put its files on disk; a refusal is returned, not raised."""
    try:
        sheet = sheet_of(task)
        files, findings, planned = sheet_files(sheet, task.number, task.order)
        put = deliver_files(
            task.folder,
            task.number,
            files,
            planned,
            known=task.known,
            replace=task.order.replace,
            note=lambda sums: note_files(task.journal, "sheets", task.number, sums),
        )
    except CutfilesError as error:
        return Done(name=task.number, key=task.key, faults=error.faults)
    except Exception as error:
        fault = _unforeseen(error, Place(file=task.number))
        return Done(name=task.number, key=task.key, faults=(fault,))
    seconds = round(planned.seconds, 1) if planned else 0.0
    return Done(name=task.number, key=task.key, files=put.sums, findings=findings, seconds=seconds)


def sheet_of(task: SheetTask) -> Drawing:
    """Return the sheet; each slip's pattern is laid flat once."""
    patterns: dict[str, Pattern] = {}
    places = []
    for slip, left, bottom, turned, post in task.places:
        number = slip.book.number
        if number not in patterns:
            edited = number in task.order.edits
            patterns[number] = drafted(slip, task.order).pattern if edited else unfold(design(slip))
        pattern = patterns[number]
        if post:
            pattern = next(one for one in pattern.posts if leg_of(one) == post)
        places.append(Placement(pattern, left, bottom, turned))
    return lay_many(task.number, task.title, task.gauge, task.size, task.margin, places)


def sheet_files(
    sheet: Drawing, name: str, order: Order
) -> tuple[tuple[File, ...], tuple[str, ...], CutPlan | None]:
    """Return a sheet's files, each read back and compared, what could not be made, and the plan.

    With a cutter they are the passes of that machine and one drawing for people.
    """
    files: list[File] = []
    findings: list[str] = []
    shown, planned = sheet, None
    if order.cutter is not None:
        planned = plan(sheet, order.cutter, order.lot)
        shown = planned.drawing
        files += write_plan(planned, name)
        files += plan_cards(planned, name, order.paper)
        findings += [finding.message for finding in planned.findings]
    drawn = drawings(shown, name, order.chosen, order.drawn)
    findings += [f"{form.title} not made: {error.fault.needed}" for form, error in drawn.large]
    return (*files, *drawn.files), tuple(findings), planned
