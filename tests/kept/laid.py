"""Exhibits and layouts made by Python, where no command leads: works cut off, odd files, dice."""

import json
from concurrent.futures import Executor, Future
from dataclasses import replace

from cutfiles.bench.at_hand import Supply
from cutfiles.bench.films import read_films
from cutfiles.dice import Dice
from cutfiles.errors import CutfilesError
from cutfiles.exhibit.cards import CaseRow, case_card
from cutfiles.exhibit.case_plan import Placed
from cutfiles.exhibit.install import install_pack
from cutfiles.exhibit.plan import ExhibitPlan
from cutfiles.exhibit.run import make_exhibit
from cutfiles.exhibit.stages import COLUMNS, read_stages
from cutfiles.exhibit.standing import standing
from cutfiles.film.compare import film_missing, savings
from cutfiles.film.late import KeptSheet, Work, relay
from cutfiles.film.layout import Piece, lay_out, offcuts
from cutfiles.film.rules import Rules
from cutfiles.job.order import Order
from kept import Group
from kept.shown import BARE, FILM, brought, rows


class Here(Executor):
    """Works at once, in this process, as processes of a pool would."""

    _max_workers = 1

    def submit(self, fn, /, *args, **kwargs):
        done = Future()
        done.set_result(fn(*args, **kwargs))
        return done


def begun_again(folder):
    """What a run tells while it works, stopped halfway and taken up; then records of others."""
    order = Order(formats=("svg",), paper=None)
    plan = ExhibitPlan(name="show", order=order, rules=Rules(effort=20_000))
    told, out, few = [], folder.parent / "out" / "py", folder / "few.csv"

    def progress(*words):
        told.append(repr(words))
        if len(told) == 4:
            raise KeyboardInterrupt

    def run(**more):
        try:
            done = make_exhibit(few, out, plan, progress=progress, **more)
            told.append(f"{done.counts} {done.removed} {done.left} {done.changed} {done.report}")
        except (KeyboardInterrupt, CutfilesError) as error:
            told.append(repr(error))
        told.append(" ".join(sorted(path.name for path in out.rglob("*"))))

    run()
    try:
        standing(out)
    except CutfilesError as error:
        told.append(str(error))
    run(executor=Here())
    record = out / "exhibit.json"
    kept = json.loads(record.read_text(encoding="utf-8"))
    older = {key: one for key, one in kept.items() if key not in ("sheets", "saved")}
    made = kept["made"]["supports"]
    wide = {**made["A2"], "facts": {**made["A2"]["facts"], "width": "wide"}}
    wide = {**kept, "made": {**kept["made"], "supports": {**made, "A2": wide}}}
    for change in (kept, wide, older, {"exhibit": "x"}, {**kept, "last": "x"}):
        record.write_text(json.dumps(change), encoding="utf-8")
        run()
    return "\n".join(told)


def stages_told(folder):
    """Tables of marks with faults, and what they say."""
    head, told = ",".join(COLUMNS), []
    for text in (
        "",
        "sheet,number\n",
        f"{head}\n,A1,cut,2026-03-02,AB,'=1,\n\nsheet-001,,planned,,,,\n",
        f"{head}\nsheet-001,A1,cut,,,,\n,,cut,,,,\n,A1,proved,,,,\n,A1,,,,,\n",
        f"{head}\n{'x' * 50},,cut,,,,\n,A1,cut,{'d' * 50},{'i' * 30},{'n' * 600},{'p' * 50}\n",
    ):
        (folder / "stages.csv").write_text(text, encoding="utf-8")
        try:
            told.append(repr(read_stages(folder)))
        except CutfilesError as error:
            told.append(str(error))
    return "\n".join(told)


def long_prints(folder):
    """A card and a pack of more rows than a page holds, places and texts of every kind."""
    del folder
    words = ("back", "2", "10", "shelf 2", "")
    view = (("boards", ((0.0, 0.0), (60.0, 40.0), (150.0, 5.0))),)
    rows = [
        CaseRow(case=f"{k % 3}", number=f"N{k}", title="a long title " * (k % 12), of=of, note="x")
        for k, of in enumerate(("support", "trial", "nothing") * 12)
    ]
    placed = [
        Placed(
            number=f"N{k}" * (1 + k % 3),
            title="long " * 7 * (k % 4),
            place=words[k % 5],
            stage="folded",
            view=view if k % 4 else (),
            depth=30.0 * k,
            do_nots=("not " * k,),
        )
        for k in range(17)
    ]
    prints = (case_card("long", rows), install_pack("long", "7", placed, "Letter", ("a", "b")))
    return "".join(one.decode("latin-1") for one in prints)


def laid_out(folder):
    """Pieces thrown by dice on all that may be at hand, then fewer, others and cut ones."""
    shelf, dice, told = read_films(folder / "film.toml").shelf, Dice(7), []
    gauges = [0.127, 0.127, 0.1778, 0.254]
    more = Supply(form="sheet", name="more", gauge=0.0, width=640.0, length=480.0, count=3)
    pieces = [
        Piece(
            name=f"P{k}",
            width=140.0 + 7 * dice.below(80),
            height=60.0 + 3 * dice.below(50),
            gauge=gauges[dice.below(4)],
            count=1 + dice.below(2),
            apart=k % 7 == 3,
        )
        for k in range(22)
    ]
    for films, rules in (
        (shelf, Rules(effort=30_000)),
        ((*shelf, more), Rules(effort=200_000, margin=7.0, spacing=1.5, bed=(600.0, 900.0))),
        ((more, replace(shelf[1], gauge=0.0, width=760.0)), Rules(effort=60_000, longest=640.0)),
    ):
        first = lay_out(pieces, films, rules)
        sheets = [KeptSheet(number=k, laid=one) for k, one in enumerate(first.sheets, 1)]
        sheets = [replace(one, frozen=one.number % 3 == 1) for one in sheets]
        later = [replace(one, height=one.height + 9, shape="9") for one in pieces[:4]] + pieces[7:]
        late = relay(sheets, Work(pieces=later, films=films, rules=rules, owner=str), len(sheets))
        missing = film_missing(first.unplaced, films, rules)
        saved = [*savings(first.sheets, pieces, rules)]
        rest = [*offcuts({one.number: one.laid for one in late.sheets}, rules, "show")]
        told += [first, late, missing, saved, rest]
    return "\n".join(map(repr, told))


def groups():
    """Yield the groups."""
    brings = brought(few=rows("A2", "B2"), film=FILM)
    for line in (begun_again, stages_told, long_prints, laid_out):
        yield Group(f"laid-{line.__name__}", [line], brings)
    # sheets for a cutter, for a format that holds small ones, with pictures; none for a film lot
    line = ["exhibit", "{one}", *BARE, "--to"]
    yield Group(
        "laid-cut",
        [
            [*line, "{}/laser", "--cutter", "laser"],
            [*line, "{}/hpgl", "--format", "hpgl,pdf", "--png"],
            [*line, "{}/lot", "--cutter", "laser", "--lot", "none"],
        ],
        brought(one=rows("B2")),
    )
