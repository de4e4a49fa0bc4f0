"""The questions of a cutting in words: what to do, which face is up, settings, cautions."""

from collections.abc import Iterator, Sequence
from typing import Literal, NamedTuple, assert_never

from cutfiles.dataclass import dataclass
from cutfiles.job.cutting import AS_IT_LIES, Cutting, Key, StepKey, words_for
from cutfiles.machine.cutter import Setting
from cutfiles.machine.marks import shown_place
from cutfiles.machine.passes import PENS, WORK, CutPlan, Pass, scale_check
from cutfiles.machine.plan import lie_of
from cutfiles.machine.time import time_text
from cutfiles.report.printed.pass_drawing import head_told
from cutfiles.report.text.plan import CAUTIONS, work_of
from cutfiles.words.cautions import STATIC

HANDS = "Machine paused, tool up or beam off, while your hands are on the bed."


class Question(NamedTuple):
    """One question.

    Attributes:
        key: what is asked.
        title: where the work stands, in a few words.
        lines: what to do before it is answered, a sentence each.
        shows: names of the files to look at.
        asks: the question itself.
        answers: the words that are understood; none where any text is.

    """

    key: Key
    title: str
    lines: tuple[str, ...]
    shows: tuple[str, ...]
    asks: str
    answers: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """What the questions tell beside the plan.

    Attributes:
        shows: names of pictures and cards that lie beside the plan.
        to: the line, or "" where files are handed over.
        table: name of the table of marks to fill in.
        files: of the pass that comes next.

    """

    shows: tuple[str, ...] = ()
    to: str = ""
    table: str = ""
    files: tuple[str, ...] = ()

    @property
    def is_file(self) -> bool:
        """Whether passes are written as files, which somebody carries to the machine."""
        return self.to.startswith("file:")


def ask(cutting: Cutting, setup: Setup) -> Question:
    """Return what is asked next."""
    key = cutting.key
    lines, asks = _said(cutting, setup)
    shown = setup.shows if key in ("load", "turn", "feed", "measure", "inspect") else ()
    return Question(key, _title(cutting), tuple(lines), shown, asks, words_for(key))


def _title(cutting: Cutting) -> str:
    plan, one = cutting.plan, cutting.one
    where = f"{plan.number} on {plan.cutter.name}"
    if one is None or cutting.key in ("go-on", "again", "initials"):
        return where
    number = plan.passes.index(one) + 1
    return f"{where}, pass {number} of {len(plan.passes)}: {one.name}, {face_up(plan, one)}"


def face_up(plan: CutPlan, one: Pass) -> str:
    """Return which face is up, and where the head lies as one stands before the machine."""
    return f"{one.face} face up, head {head_told(lie_of(plan, one))}"


def _said(cutting: Cutting, setup: Setup) -> tuple[Sequence[str], str]:
    """Return what is told and what is asked."""
    match cutting.key:
        case "go-on":
            lot = f"; film lot {cutting.lot}" if cutting.lot else ""
            lines = [
                f"A sheet was begun here{lot}. It stands at: {_AT[cutting.step.key]}.",
                "Begin again means new film: what was cut is not cut twice.",
            ]
            return (lines, "Go on with it, or begin again?")
        case "again":
            how = "was spoilt" if cutting.over == "spoilt" else "was cut and inspected"
            return ([f"The sheet begun here {how}."], "Begin another, with new film?")
        case "initials":
            return ([], "Who stands at the machine? Initials")
        case "lot":
            return (_film(cutting.plan), "Which film lot, as it stands on the roll?")
        case key:
            assert cutting.one is not None or key == "inspect"
            return _step(key, cutting, setup)


_AT: dict[StepKey, str] = {
    "lot": "the film lot",
    "load": "loading the film",
    "turn": "turning the sheet",
    "feed": "moving the sheet on",
    "measure": "measuring the marks",
    "start": "starting a pass",
    "ended": "a pass under way, or worked",
    "inspect": "the last look",
}


def _step(
    key: Literal["place", StepKey], cutting: Cutting, setup: Setup
) -> tuple[Sequence[str], str]:
    plan, one = cutting.plan, cutting.one
    if one is None:
        return (list(_inspect()), "Is it all right?")
    match key:
        case "load":
            return (list(_load(plan, one)), "Is it loaded so?")
        case "turn":
            return (list(_turn(plan, one)), "Is it turned, and held?")
        case "feed":
            return (list(_feed(plan, one)), "Does it lie so?")
        case "measure":
            return (list(_measure(one, setup)), "Measured? Or the name of another table")
        case "place":
            mark = cutting.mark
            assert mark is not None
            x, y = shown_place(mark, plan.cutter.bed)
            lines = [f"{mark.name}: planned at {x} {y} ({plan.cutter.bed.shows})."]
            return (lines, "Where does the machine show it?")
        case "start":
            return (list(_start(cutting, one, setup)), f"{_go(setup)} Write the whole word yes")
        case "ended":
            return (
                list(_ended(cutting, setup)),
                "Has the machine come to its end, tool up or beam off, and does it stand still?",
            )
        case "lot" | "inspect":
            raise AssertionError("belongs to no pass")
        case _:
            assert_never(key)


def _film(plan: CutPlan) -> Sequence[str]:
    gauge = dict(plan.drawing.facts).get("gauge", "")
    film = f"film {gauge}" if gauge else "film"
    lot = f" of lot {plan.lot}, for which its settings were judged" if plan.lot else ""
    return [f"One sheet of {film}{lot}."]


def _load(plan: CutPlan, one: Pass) -> Iterator[str]:
    (width, height), bed = lie_of(plan, one).size, plan.cutter.bed
    yield HANDS
    yield f"A sheet of {width:.0f} × {height:.0f} mm or more, flat, free of dust."
    inside = f" ({bed.margin:g} mm inside the bed)" if bed.margin else ""
    yield (
        "Lay it into the lower left corner, as you see it, of what the tool reaches"
        f"{inside}, held all over: {face_up(plan, one)}."
    )
    yield STATIC


def _turn(plan: CutPlan, one: Pass) -> Iterator[str]:
    yield HANDS
    yield f"Turn the sheet over, {plan.cutter.turn}: {face_up(plan, one)}."
    if one.frames > 1:
        yield f"It begins at part {one.frame} of {one.frames} again: bring the film back."
    yield "Lay it on its three pins: they fit one way only. Without pins: by the marks, next."
    yield "Pins stand lower than the tool travels, or come out before it moves."


def _feed(plan: CutPlan, one: Pass) -> Iterator[str]:
    yield HANDS
    yield f"Move the sheet on to part {one.frame} of {one.frames}; the same face stays up."
    for mark in one.marks:
        x, y = shown_place(mark, plan.cutter.bed)
        yield f"{mark.name} comes to where the machine shows {x}, {y} ({plan.cutter.bed.shows})."


def _measure(one: Pass, setup: Setup) -> Iterator[str]:
    yield "Find three marks or more with the machine's own pointer, tool up; read where they are."
    yield f"Marks: {', '.join(mark.name for mark in one.marks)}."
    yield f"Write that into {setup.table}, columns x and y, and save it; then: yes. Or: type."
    yield f"All within 0.2 mm of the table, or the machine aligns by itself? Then: {AS_IT_LIES}."


def _start(cutting: Cutting, one: Pass, setup: Setup) -> Iterator[str]:
    plan = cutting.plan
    yield f"{work_of(one)}; about {time_text(one.seconds)}."
    yield from _settings(plan, one)
    if cutting.is_aligned:
        yield "Corrected for how the sheet lies, by the marks you measured."
    if cutting.step.index == 0 and (check := scale_check(one)):  # the first pass makes the marks
        yield f"Afterwards measure on the film: {check.text}."
    yield f"File: {' or '.join(setup.files)}."
    yield "The first of its kind on this machine? Run it once with the tool up or the beam off."
    caution = CAUTIONS[plan.cutter.kind]
    yield f"{caution[0].upper()}{caution[1:]}; the machine's manual comes first."


def _settings(plan: CutPlan, one: Pass) -> Iterator[str]:
    """Yield with which tool each role of a pass is worked, and how."""
    there = {stroke.role for stroke in one.drawing.strokes}
    for role in (role for role in WORK if role in there):
        setting = plan.settings.get(role, Setting())
        tool = f"tool {plan.cutter.pens.get(role, PENS[role])}"
        told = [
            tool if plan.cutter.kind == "knife" else "",
            "" if setting.force is None else f"force {setting.force:g} in the machine's count",
            "" if setting.power is None else f"power {setting.power:g} %",
            "" if setting.speed is None else f"speed {setting.speed:g} mm/s",
            "" if setting.passes == 1 else f"each line {setting.passes} times",
        ]
        known = setting.force is not None or setting.power is not None
        pressed = "force" if plan.cutter.kind == "knife" else "power"
        told += [] if known else [f"{pressed} as set at the machine"]
        yield f"{role.value}: {', '.join(part for part in told if part)}."


def _go(setup: Setup) -> str:
    if setup.is_file:
        return f"It is written to {setup.to.removeprefix('file:')}; that starts nothing. Write it?"
    if setup.to:
        return f"It goes to {setup.to}, and the machine may begin at once. Start?"
    return "You start it at the machine. Ready?"


def _ended(cutting: Cutting, setup: Setup) -> Iterator[str]:
    if cutting.broken:
        yield f"It broke off: {cutting.broken}."
        yield "Look at the machine, not at this screen; in danger use its own stop."
        yield "Not worked to its end? Then: spoilt. Part of a pass is not worked twice."
    elif setup.to and not setup.is_file:
        yield "Stay with it. What the machine does only the machine shows."
    else:
        one = " or ".join(setup.files)
        once = ": one of them, once; they hold the same pass" if len(setup.files) > 1 else ""
        if setup.is_file:
            yield f"Carry {one} to the machine, and start it there."
        else:
            yield f"Open {one} in the machine's own program, or carry it there{once}."
        yield "At 100 %: no scaling, no rotating, no sorting."
        yield "Stay with it until it stands still."
    yield "Hands off the bed until then. A sheet that slipped or tore: spoilt."
    first = cutting.one if cutting.step.index == 0 and not cutting.broken else None
    if first is not None and (check := scale_check(first)):
        yield (
            "When it has ended, and before the sheet is moved, measure on the film: "
            f"{check.text}. More than 0.5 mm off: spoilt."
        )


def _inspect() -> Iterator[str]:
    yield HANDS
    yield "Take the sheet off."
    yield "Outline and holes cut through, every crease scored on its face, no edge that snags."
    yield "Pieces lie as in the picture; count them."
