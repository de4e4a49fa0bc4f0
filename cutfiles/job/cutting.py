"""The cutting of one sheet as questions and answers: what comes next follows from what was said.

Pure: a terminal, a page or a test drives it. `ask` gives the question, `take` reads an answer and
says what is to be done. Nothing here opens a file or a line.

    lot, then for each pass: load, turn or feed, measure the marks, start, ended; then inspect
"""

from dataclasses import replace
from typing import Literal, NamedTuple, assert_never

from cutfiles.dataclass import dataclass
from cutfiles.machine.marks import to_measure
from cutfiles.machine.passes import CutPlan, Mark, Pass

StepKey = Literal["lot", "load", "turn", "feed", "measure", "start", "ended", "inspect"]
Key = Literal["go-on", "again", "initials", "place", StepKey]
Doing = Literal["ask", "keep", "align", "work", "begin", "stop", "spoilt", "done"]
"""What is to be done after an answer: ask again, keep the answer and ask the next, align the pass
and keep it then, keep it and start the pass, forget the sheet before, stop here, keep that the film
is spoilt, keep that all is done."""
Over = Literal["", "done", "spoilt"]
AS_IT_LIES = "as it lies"
"""Said instead of a table of marks: the machine finds them itself, or the pins hold the sheet."""
TYPED = "type"
"""Said instead of a table of marks: their places are asked for one by one."""
LONGEST = 80


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the cutting.

    Attributes:
        key: what is done.
        index: of the pass in its plan; -1 where it belongs to none.

    """

    key: StepKey
    index: int = -1


@dataclass(frozen=True, slots=True)
class Answer:
    """What was said to a step, as it was understood.

    Attributes:
        step: which one.
        said: in one of its words, or the text it takes.

    """

    step: Step
    said: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutting:
    """How far a sheet has come.

    Attributes:
        plan: what is done with it.
        answers: to the steps so far, in their order.
        over: how it ended: "done", "spoilt", or "" while it goes on.
        broken: how the sending of the pass under way broke off; empty where it did not.
        initials: of who stands at the machine in this run; empty until asked.
        resumed: whether this run goes on with what an earlier one began.
        typed: of the marks of this pass, in their order, x and y as typed so far, None for one
            that was not found; None where they are not typed.

    """

    plan: CutPlan
    answers: tuple[Answer, ...] = ()
    over: Over = ""
    broken: str = ""
    initials: str = ""
    resumed: bool = False
    typed: tuple[tuple[str, str] | None, ...] | None = None

    @property
    def step(self) -> Step:
        """The step that comes next; the last one where all are done."""
        steps = steps_of(self.plan)
        return steps[min(len(self.answers), len(steps) - 1)]

    @property
    def key(self) -> Key:
        """What is asked next."""
        if not self.initials:
            return "initials"
        if self.over:
            return "again"
        if self.answers and not self.resumed:
            return "go-on"
        typing = self.step.key == "measure" and self.typed is not None
        return "place" if typing else self.step.key

    @property
    def one(self) -> Pass | None:
        """The pass of the step that comes next."""
        return self.plan.passes[self.step.index] if self.step.index >= 0 else None

    @property
    def mark(self) -> Mark | None:
        """The mark whose place is typed next."""
        return self.one.marks[len(self.typed or ())] if self.one else None

    @property
    def lot(self) -> str:
        """The film lot that was named."""
        return next((answer.said for answer in self.answers if answer.step.key == "lot"), "")

    @property
    def is_aligned(self) -> bool:
        """Whether the marks of this pass were measured: its corrected file is what is worked."""
        measured = Step("measure", self.step.index)
        return any(a.step == measured and a.said != AS_IT_LIES for a in self.answers)


class Taken(NamedTuple):
    """An answer, read.

    Attributes:
        doing: what is to be done.
        cutting: how far the sheet has come when that is done.
        said: what the answer was understood as: a table to be read, or why it cannot be taken.
        places: of the marks that were typed: mark, x and y of each, as written.

    """

    doing: Doing
    cutting: Cutting
    said: str = ""
    places: tuple[tuple[str, tuple[str, str]], ...] = ()


def steps_of(plan: CutPlan) -> tuple[Step, ...]:
    """Return all steps of a sheet, in order."""
    steps = [Step("lot")]
    before: Pass | None = None
    measured = to_measure(plan)
    for index, one in enumerate(plan.passes):
        if before is None:
            steps.append(Step("load", index))
        elif one.key != before.key:
            steps.append(Step("turn", index))
        else:
            steps.append(Step("feed", index))
        if one in measured:
            steps.append(Step("measure", index))
        steps += [Step("start", index), Step("ended", index)]
        before = one
    return (*steps, Step("inspect"))


def words_for(key: Key) -> tuple[str, ...]:
    """Return the answers that a question takes as they stand; none where it takes any text."""
    match key:
        case "go-on":
            return ("go on", "begin again", "no")
        case "lot" | "initials":
            return ()
        case "measure":
            return ("yes", TYPED, AS_IT_LIES, "no")
        case "place":
            return ("x y", "Enter: not found", "done", "no")
        case "ended" | "turn" | "feed" | "inspect":
            return ("yes", "no", "spoilt")
        case "again" | "load" | "start":
            return ("yes", "no")
        case _:
            assert_never(key)


def take(cutting: Cutting, text: str | None) -> Taken:
    """Read an answer to what `cutting` asks; None where nobody answers any more.

    "no" stops, at every question: what was said so far is kept, and the same is asked again.
    """
    if text is None:
        return Taken("stop", cutting, "nobody answers here any more")
    said, key = " ".join(text.split()), cutting.key
    known = {"y": "yes", "n": "no"} if key != "start" else {"n": "no"}
    word = known.get(said.casefold(), said.casefold())
    taken = words_for(key)
    if word == "no":
        return Taken("stop", cutting, "stopped here")
    if taken and word not in taken and key not in ("measure", "place"):
        return Taken("ask", cutting, f'"{said[:LONGEST]}": {" or ".join(taken)} is understood')
    match key:
        case "go-on":
            if word == "go on":
                return Taken("ask", replace(cutting, resumed=True))
            return Taken("begin", Cutting(plan=cutting.plan, initials=cutting.initials))
        case "again":
            return Taken("begin", Cutting(plan=cutting.plan, initials=cutting.initials))
        case "initials":
            if wrong := _no_name(said, word, "somebody stands at the machine: write initials"):
                return Taken("ask", cutting, wrong)
            return Taken("ask", replace(cutting, initials=said))
        case "lot":
            return _lot(cutting, said, word)
        case "measure":
            if word == AS_IT_LIES:
                return Taken("keep", _answered(cutting, AS_IT_LIES))
            if word == TYPED:
                return Taken("ask", replace(cutting, typed=()))
            table = "" if word in ("", "yes") else said
            return Taken("align", _answered(cutting, table or "yes"), table)
        case "place":
            return _place(cutting, word)
        case "start":
            return Taken("work", _answered(cutting, word))
        case "ended" | "turn" | "feed" | "inspect" if word == "spoilt":
            return Taken("spoilt", replace(cutting, over="spoilt"))
        case "inspect":
            return Taken("done", replace(_answered(cutting, word), over="done"))
        case "load" | "turn" | "feed" | "ended":
            return Taken("keep", _answered(cutting, word))
        case _:
            assert_never(key)


def _place(cutting: Cutting, said: str) -> Taken:
    """Read where the machine shows a mark; after the last one the pass is aligned."""
    one, typed = cutting.one, cutting.typed or ()
    assert one is not None
    if said != "done":
        place = _two(said)
        if said and place is None:
            return Taken("ask", cutting, f'"{said[:LONGEST]}": write x and y with a blank between')
        typed = (*typed, place)
        if len(typed) < len(one.marks):
            return Taken("ask", replace(cutting, typed=typed))
    found = ((mark.name, place) for mark, place in zip(one.marks, typed, strict=False) if place)
    return Taken("align", _answered(cutting, TYPED), places=tuple(found))


def _two(said: str) -> tuple[str, str] | None:
    """Return x and y of what was typed, None where it is not two of them.

    >>> _two("12,5 -3"), _two("1 1/4 in; 2 in"), _two("1.25 in 2 in"), _two("12")
    (('12,5', '-3'), ('1 1/4 in', '2 in'), ('1.25 in', '2 in'), None)
    """
    if ";" in said:
        parts = [part.strip() for part in said.split(";")]
    else:
        words = said.split()
        half = len(words) // 2
        parts = [" ".join(words[:half]), " ".join(words[half:])] if len(words) in (2, 4) else []
    return (parts[0], parts[1]) if len(parts) == 2 and all(parts) else None


def _no_name(said: str, word: str, wanted: str) -> str:
    """Return what is wanted where an answer is no name of anybody or anything; empty if it is."""
    if word == "yes":
        return f'"{said}" names nothing; {wanted}'
    return "" if said and len(said) <= LONGEST else wanted


def _lot(cutting: Cutting, said: str, word: str) -> Taken:
    """Read the film lot; one the settings were not judged for is not cut."""
    wanted = "write the lot as it stands on the roll, or a dash for none"
    if wrong := _no_name(said, word, wanted):
        return Taken("ask", cutting, wrong)
    if cutting.plan.lot and said != cutting.plan.lot:
        return Taken(
            "ask",
            cutting,
            f'the lot "{said}": this plan was made with what a coupon of lot {cutting.plan.lot} '
            "has shown; take film of that lot, or stop and make it again for yours",
        )
    return Taken("keep", _answered(cutting, said))


def _answered(cutting: Cutting, said: str) -> Cutting:
    answers = (*cutting.answers, Answer(cutting.step, said))
    return replace(cutting, answers=answers, resumed=True, broken="", typed=None)
