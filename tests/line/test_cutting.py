"""The guided run of a plan: nothing starts before a yes, and it goes on where it was stopped."""

import csv
import hashlib
import io
import json
import math
import os
import re
import shutil
import socket
from dataclasses import replace
from itertools import combinations

import pytest
from click.testing import CliRunner
from conftest import ROOT, outside_module, sample
from network_cutter import NetworkCutter

from cutfiles import deliver, make
from cutfiles.cli import cli
from cutfiles.job.asked import Setup, ask
from cutfiles.job.cut_record import keep, open_record
from cutfiles.job.cutting import Cutting, steps_of, take, words_for
from cutfiles.machine.profile.read import find_cutter

PROFILE = ROOT / "cutfiles" / "machine" / "profile" / "examples" / "wide-roll-knife.toml"
STEPS = ["lot", "load", "start", "ended", "turn", "measure", "start", "ended", "inspect"]
ANSWERS = ["L7", "yes", "yes", "yes", "yes", "as it lies", "yes", "yes", "yes"]
"""What is said to them."""


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """A support made for a knife that works two faces, and the profile it was made with."""
    folder = tmp_path_factory.mktemp("made")
    shutil.copy(PROFILE, folder / "knife.toml")
    done = make(
        sample("B2"), cutter=find_cutter(folder / "knife.toml"), formats=["svg"], paper=None
    )
    deliver(done, folder)
    return folder


@pytest.fixture
def bench(made, tmp_path, monkeypatch):
    """A folder of one's own with the same files, and a keyboard to answer at."""
    monkeypatch.setattr("cutfiles.cli.cut.at_keyboard", lambda: True)
    for file in made.iterdir():
        shutil.copy(file, tmp_path)
    return tmp_path


@pytest.fixture
def machine():
    one = NetworkCutter()
    yield one
    one.end()


def cut(bench, *said, to=None, extra=()):
    words = ["cut", str(bench / "B2.plan.json"), "--cutter", str(bench / "knife.toml")]
    words += ["--to", to] if to else []
    text = "".join(f"{one}\n" for one in said)
    return CliRunner().invoke(cli, [*words, *extra], input=text)


def log(bench):
    text = (bench / "B2.cutting.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(io.StringIO(text)))


def passes(bench):
    return [(bench / f"B2.face-{key}.hpgl").read_bytes() for key in "ab"]


# -- the pure part --------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def plan(made):
    return open_record(made / "B2.plan.json").plan


def through(plan, count=None):
    """A sheet after so many answers, or all."""
    cutting = Cutting(plan=plan, initials="KM")
    for said in ANSWERS[:count]:
        cutting = take(cutting, said).cutting
    return cutting


def test_the_steps_follow_the_passes(plan):
    assert [step.key for step in steps_of(plan)] == STEPS
    assert through(plan).over == "done"
    frames = replace(plan.passes[0], frames=2), replace(plan.passes[0], frame=2, frames=2)
    fed = replace(plan, passes=(*frames, plan.passes[1]))
    assert [step.key for step in steps_of(fed)][1:8] == [
        *("load", "start", "ended", "feed", "measure", "start", "ended")
    ]


@pytest.mark.parametrize("count", range(len(ANSWERS)))
def test_no_and_silence_stop_at_every_question(plan, count):
    cutting = through(plan, count)
    for said in ("no", "No", " n ", None):
        taken = take(cutting, said)
        assert (taken.doing, taken.cutting) == ("stop", cutting)


SAID = [
    "yes",
    "y",
    "Y ",
    "YES",
    "",
    "ja",
    "start",
    "go on",
    "as it lies",
    "spoilt",
    "L7",
    "no",
    None,
]


@pytest.mark.parametrize("count", range(len(ANSWERS)))
@pytest.mark.parametrize("said", SAID)
def test_only_a_whole_yes_to_the_start_starts_a_pass(plan, count, said):
    taken = take(through(plan, count), said)
    wanted = STEPS[count] == "start" and said in ("yes", "YES")
    assert (taken.doing == "work") is wanted
    moved = len(taken.cutting.answers) - count
    assert moved == (1 if taken.doing in ("keep", "work", "align", "done") else 0)


@pytest.mark.parametrize("count", range(len(ANSWERS)))
def test_film_is_spoilt_where_it_is_handled(plan, count):
    taken = take(through(plan, count), "spoilt")
    assert (taken.doing == "spoilt") == (STEPS[count] in ("ended", "turn", "inspect"))


def test_the_scale_is_measured_before_the_sheet_is_moved(plan):
    """Once, where the first pass has come to its end: the two marks furthest apart."""
    apart = max(math.dist(a.at, b.at) for a, b in combinations(plan.passes[0].marks, 2))
    said = [ask(through(plan, count), Setup()).lines for count in range(len(ANSWERS))]
    told = [
        i
        for i, lines in enumerate(said)
        if any("before the sheet is moved" in one for one in lines)
    ]
    assert [STEPS[i] for i in told] == ["ended"]
    assert f", {apart:.1f} mm. More than 0.5 mm off: spoilt" in said[told[0]][-1]


def test_going_on_and_beginning_again_are_asked(plan):
    begun = replace(through(plan, 3), resumed=False, initials="")
    assert begun.key == "initials"
    begun = take(begun, "KM").cutting
    assert begun.key == "go-on"
    assert take(begun, "go on").cutting.key == "ended"
    fresh = take(begun, "begin again")
    assert (fresh.doing, fresh.cutting.answers, fresh.cutting.key) == ("begin", (), "lot")
    over = replace(begun, over="spoilt")
    assert over.key == "again"
    assert take(over, "yes").doing == "begin"
    assert take(over, "no").doing == "stop"


@pytest.mark.parametrize("said", ["yes", "Y", " yes "])
def test_a_yes_is_neither_initials_nor_a_lot(plan, said):
    for cutting, wanted in (
        (Cutting(plan=plan), "write initials"),
        (Cutting(plan=plan, initials="KM"), "write the lot as it stands on the roll"),
    ):
        taken = take(cutting, said)
        assert (taken.doing, taken.cutting) == ("ask", cutting)
        assert taken.said.startswith(f'"{said.strip()}" names nothing; ')
        assert wanted in taken.said
    assert take(Cutting(plan=plan), "YS").cutting.initials == "YS"


@pytest.mark.parametrize(("kind", "pressed"), [("knife", "force"), ("laser", "power")])
def test_a_cutter_is_told_only_what_it_can_set(plan, kind, pressed):
    """A knife has no power, a beam no force."""
    bare = replace(plan, cutter=replace(plan.cutter, kind=kind), settings={})
    told = " ".join(ask(through(bare, STEPS.index("start")), Setup()).lines)
    assert f"{pressed} as set at the machine" in told
    assert {"knife": "power", "laser": "force"}[kind] not in told


def test_each_question_tells_what_it_needs(plan):
    setup = Setup(shows=("B2.flat.svg",), table="B2.marks.csv", files=("B2.face-a.hpgl",))
    told = {}
    for count, step in enumerate(STEPS):
        question = ask(through(plan, count), setup)
        told.setdefault(step, "\n".join([question.title, *question.lines, question.asks]))
        assert question.answers == words_for(question.key)
        assert (question.shows == ("B2.flat.svg",)) is (
            step in ("load", "turn", "feed", "measure", "inspect")
        )
    assert "book face up" in told["load"]
    assert "table face up" in told["turn"]
    assert plan.cutter.turn in told["turn"]
    for step in ("load", "turn", "inspect"):
        assert "while your hands are on the bed" in told[step]
    assert "score-mountain: tool 2" in told["start"]
    assert "free hand out of its path" in told["start"]
    assert "the machine's manual comes first" in told["start"]
    assert all(mark.name in told["measure"] for mark in plan.passes[1].marks)
    sent = ask(through(plan, 2), replace(setup, to="tcp:192.0.2.7:9100"))
    assert "tcp:192.0.2.7:9100" in sent.asks
    assert "may begin at once" in sent.asks


def test_a_sheet_longer_than_the_bed_is_moved_on(tmp_path):
    """Its parts are told one by one, and the size of the whole sheet before the first."""
    text = PROFILE.read_text(encoding="utf-8").replace("1600 mm", "300 mm")
    (tmp_path / "short.toml").write_text(text.replace("1200 mm", "400 mm"), encoding="utf-8")
    cutter = find_cutter(tmp_path / "short.toml")
    made = make(sample("A1"), cutter=cutter, formats=["svg"], paper=None).plan
    assert [step.key for step in steps_of(made)].count("feed") == len(made.passes) - 2
    cutting, told = Cutting(plan=made, initials="KM"), {}
    while not cutting.over:
        question = ask(cutting, Setup())
        told.setdefault(question.key, " ".join(question.lines))
        said = {"lot": "L7", "measure": "as it lies"}.get(question.key, "yes")
        cutting = take(cutting, said).cutting
    height = max(made.drawing.width, made.drawing.height)  # it lies along the roll
    assert f"× {height:.0f} mm or more" in told["load"]
    assert "part 2 of" in told["feed"]
    assert "where the machine shows" in told["feed"]
    assert "begins at part 1 of" in told["turn"]


def test_two_files_of_one_pass_are_not_worked_both(plan):
    setup = Setup(files=("B2.face-a.svg", "B2.face-a.gcode"))
    told = " ".join(ask(through(plan, 3), setup).lines)
    assert "B2.face-a.svg or B2.face-a.gcode" in told
    assert "one of them, once" in told


def test_cautions_of_a_laser_stand_as_written(plan):
    burnt = replace(plan, cutter=replace(plan.cutter, kind="laser"))
    told = " ".join(ask(through(burnt, 2), Setup()).lines)
    assert "Laser: extraction on" in told
    assert "never PVC" in told


def test_film_of_another_lot_is_not_cut(plan):
    judged = replace(plan, lot="2026-03")
    cutting = Cutting(plan=judged, initials="KM")
    taken = take(cutting, "2026-04")
    assert taken.doing == "ask"
    assert "2026-03" in taken.said
    assert take(cutting, "2026-03").doing == "keep"


# -- at a terminal --------------------------------------------------------------------------------


def test_a_whole_run_sends_both_passes_once(bench, machine):
    done = cut(bench, "KM", *ANSWERS, to=machine.to)
    assert done.exit_code == 0, done.output
    assert [bytes(job) for job in machine.jobs] == passes(bench)
    rows = log(bench)
    assert [row["what"] for row in rows] == [
        *("begun", "sending", "sent", "ended", "sending", "sent", "ended", "inspected, good")
    ]
    assert {row["film lot"] for row in rows} == {"L7"}
    assert {row["initials"] for row in rows} == {"KM"}
    assert all(re.match(r"\d{4}-\d\d-\d\dT\d\d:\d\d[+-]", row["date"]) for row in rows)
    assert "acknowledged" in rows[2]["note"]
    again = cut(bench, "KM", "no", to=machine.to)
    assert "was cut and inspected" in again.output
    assert again.exit_code == 1
    assert len(machine.jobs) == 2


def test_stopped_at_every_question_it_goes_on_and_sends_nothing_twice(bench, machine):
    """Each run answers one question, then the input ends; what was started is not started again."""
    for count, said in enumerate(ANSWERS):
        before = len(machine.jobs)
        resumed = ["go on"] if count else []
        done = cut(bench, "LB", *resumed, said, to=machine.to)
        if count < len(ANSWERS) - 1:
            assert done.exit_code == 1, done.output
            assert "nobody answers here any more" in done.output
        assert len(machine.jobs) == before + (STEPS[count] == "start")
    assert done.exit_code == 0, done.output
    assert [bytes(job) for job in machine.jobs] == passes(bench)


@pytest.mark.parametrize("count", range(len(ANSWERS)))
def test_no_sends_nothing_more(bench, machine, count):
    done = cut(bench, "KM", *ANSWERS[:count], "no", to=machine.to)
    assert done.exit_code == 1
    assert "stopped here; the same command goes on from here" in done.output
    assert len(machine.jobs) == STEPS[:count].count("start")


def test_without_a_line_files_are_handed_over(bench):
    done = cut(bench, "KM", *ANSWERS)
    assert done.exit_code == 0, done.output
    for key in "ab":
        assert f"{bench / f'B2.face-{key}.hpgl'}\n" in done.output
    handed = [row for row in log(bench) if row["what"] == "handed over"]
    assert [row["file"] for row in handed] == ["B2.face-a.hpgl", "B2.face-b.hpgl"]
    entries = {e["path"]: e for e in json.loads((bench / "B2.json").read_text())["files"]}
    assert all(row["sha256"] == entries[row["file"]]["sha256"] for row in handed)


def test_the_line_of_the_workshop_is_taken_and_by_hand_leaves_it(bench, machine, monkeypatch):
    own = bench / "own"
    own.mkdir()
    (own / "workshop.toml").write_text(f'line = "{machine.to}"', encoding="utf-8")
    monkeypatch.setenv("CUTFILES_CONFIG", str(own))
    done = cut(bench, "KM", *ANSWERS[:3], extra=["--by-hand"])
    assert f"{bench / 'B2.face-a.hpgl'}\n" in done.output
    assert machine.jobs == []
    done = cut(bench, "KM", "begin again", *ANSWERS[:3])
    assert len(machine.jobs) == 1
    assert [row["what"] for row in log(bench)][:4] == ["begun", "handed over", "given up", "begun"]


def test_no_keyboard_no_start(bench, machine, monkeypatch):
    monkeypatch.undo()
    done = cut(bench, "KM", *ANSWERS, to=machine.to)
    assert done.exit_code == 1
    assert "no keyboard at this terminal" in done.output
    assert machine.jobs == []
    assert not (bench / "B2.cutting.json").exists()
    monkeypatch.setattr("sys.stdin", None)
    monkeypatch.setattr("cutfiles.cli.cut.refuse", _raise)
    with pytest.raises(Exception, match="no keyboard"):
        cli(["cut", str(bench / "B2.plan.json")], standalone_mode=False)


def _raise(error):
    raise error


# -- what is wrong is not cut ---------------------------------------------------------------------


def spoil_file(bench):
    file = bench / "B2.face-b.hpgl"
    file.write_bytes(file.read_bytes().replace(b"PD", b"PU", 1))
    return "was changed since it was made"


def spoil_file_and_record(bench):
    """Somebody moved a line, and wrote a new checksum into the record."""
    import hashlib

    file, record = bench / "B2.face-b.hpgl", bench / "B2.json"
    old = file.read_bytes()
    place = re.search(rb"PD(\d+),", old)
    new = old.replace(place[0], b"PD%d," % (int(place[1]) + 40), 1)
    file.write_bytes(new)
    values = record.read_text()
    sums = [hashlib.sha256(data).hexdigest() for data in (old, new)]
    record.write_text(values.replace(*sums))
    return "a pass file holds what its plan says"


def spoil_plan(bench):
    plan = bench / "B2.plan.json"
    plan.write_text(plan.read_text() + "\n")
    return "a plan that was changed since it was made"


def spoil_profile(bench):
    profile = bench / "knife.toml"
    profile.write_text(profile.read_text().replace("score-valley = 2", "score-valley = 1"))
    return "changed since this plan was made"


def spoil_record(bench):
    (bench / "B2.json").unlink()
    return "a plan without a record"


def spoil_gone(bench):
    (bench / "B2.face-b.hpgl").unlink()
    return "no such file"


DAMAGES = [
    *(spoil_file, spoil_file_and_record, spoil_plan, spoil_profile, spoil_record, spoil_gone)
]


@pytest.mark.parametrize("damage", DAMAGES)
def test_damage_is_refused_before_the_first_question_and_between_passes(bench, machine, damage):
    other = bench / "other"
    shutil.copytree(bench, other, ignore=lambda *_: ["other"])
    said = damage(other)
    done = cut(other, "KM", *ANSWERS, to=machine.to)
    assert done.exit_code == 1
    assert said in done.output
    assert "Initials" not in done.output
    assert machine.jobs == []
    cut(bench, "KM", *ANSWERS[:4], to=machine.to)
    damage(bench)
    done = cut(bench, "KM", "go on", *ANSWERS[4:], to=machine.to)
    assert done.exit_code == 1
    assert len(machine.jobs) == 1


def test_what_was_typed_before_a_question_does_not_answer_it(made, monkeypatch):
    """A second yes of an impatient hand, while a pass is aligned, starts no machine."""
    from cutfiles.cli import cut as module

    hand, keyboard = outside_module("pty").openpty()
    os.write(hand, b"yes\n")
    cutting = replace(open_record(made / "B2.plan.json").cutting, initials="KM")
    for said in ANSWERS[:2]:
        cutting = take(cutting, said).cutting
    monkeypatch.setattr(module.click, "echo", lambda *_, **__: os.write(hand, b"no\n"))
    with open(keyboard, encoding="utf-8") as stdin:
        monkeypatch.setattr("sys.stdin", stdin)
        question = ask(cutting, Setup())
        assert (question.key, module._read_line(question)) == ("start", "no\n")
    os.close(hand)


def test_damage_while_it_waits_for_the_yes_is_refused(bench, machine, monkeypatch):
    """The file changes after the run began: it is held once more against its record."""
    from cutfiles.cli import cut as module

    read = module._read_line

    def answered(question):
        if question.key == "start" and len(machine.jobs) == 1:
            spoil_file(bench)
        return read(question)

    monkeypatch.setattr(module, "_read_line", answered)
    done = cut(bench, "KM", *ANSWERS, to=machine.to)
    assert done.exit_code == 1
    assert "was changed since it was made" in done.output
    assert len(machine.jobs) == 1
    assert open_record(bench / "B2.plan.json").cutting.step.key == "start"


def test_a_plan_made_anew_wants_new_film(bench):
    cut(bench, "KM", *ANSWERS[:4])
    cutter = find_cutter(bench / "knife.toml")
    slip = sample("B2", adjust="2 mm")
    deliver(make(slip, cutter=cutter, formats=["svg"], paper=None), bench)
    done = cut(bench, "KM", "L8")
    assert "the plan was made anew since a sheet was begun here: take new film" in done.output
    assert "go on" not in done.output.replace("goes on", "")
    assert open_record(bench / "B2.plan.json").cutting.lot == "L8"


@pytest.mark.parametrize(
    "text",
    [
        "{",
        "[]",
        '{"form": "cutting 1"}',
        '{"form": "cutting 1", "plan_sha256": "PLAN", "over": "", "broken": "", '
        '"answers": [["start", 0, "yes"]]}',
        '{"form": "cutting 1", "plan_sha256": "PLAN", "over": "?", "broken": "", "answers": []}',
    ],
)
def test_a_state_that_follows_from_no_plan_is_refused(bench, text):
    of_plan = open_record(bench / "B2.plan.json").plan_sha256
    (bench / "B2.cutting.json").write_text(text.replace("PLAN", of_plan), encoding="utf-8")
    done = cut(bench, "KM", *ANSWERS)
    assert done.exit_code == 1
    assert "does not say where a sheet stands" in done.output


# -- peers ----------------------------------------------------------------------------------------


def test_a_machine_that_does_not_answer_was_sent_nothing(bench):
    with socket.create_server(("127.0.0.1", 0)) as server:
        port = server.getsockname()[1]
    done = cut(bench, "KM", *ANSWERS[:3], to=f"tcp:127.0.0.1:{port}")
    assert done.exit_code == 1
    assert "a machine that takes the call" in done.output
    assert open_record(bench / "B2.plan.json").cutting.step.key == "start"
    assert [row["what"] for row in log(bench)] == ["begun", "sending", "not sent"]


def test_a_pass_that_broke_off_is_not_sent_twice(bench):
    broken = NetworkCutter(most=500)
    done = cut(bench, "KM", *ANSWERS[:3], "spoilt", to=broken.to)
    broken.end()
    assert done.exit_code == 1
    assert "It broke off" in done.output
    assert "Part of a pass is not worked twice" in done.output
    assert [row["what"] for row in log(bench)] == ["begun", "sending", "broken off", "spoilt"]
    whole = NetworkCutter()
    done = cut(bench, "KM", "yes", *ANSWERS, to=whole.to)
    whole.end()
    assert done.exit_code == 0, done.output
    assert [bytes(job) for job in whole.jobs] == passes(bench)


def test_a_run_killed_while_it_sent_is_asked_about_the_pass(bench, machine):
    """What is kept before the first byte leaves is all that a killed run leaves behind."""
    record = open_record(bench / "B2.plan.json")
    cutting = replace(record.cutting, initials="KM")
    for said in ANSWERS[:3]:
        cutting = take(cutting, said).cutting
    keep(record, cutting, "2026-11-26T10:00+00:00")
    done = cut(bench, "LB", "go on", to=machine.to)
    assert "the run that started this pass did not come to its end" in done.output
    assert "Has the machine come to its end" in done.output
    assert machine.jobs == []


def test_two_runs_at_once_start_a_pass_once(bench, machine, monkeypatch):
    """The other run answers while this one waits for its yes."""
    from cutfiles.cli import cut as module

    cut(bench, "KM", *ANSWERS[:2], to=machine.to)
    read, once = module._read_line, []

    def answered(question):
        if question.key == "start" and not once:
            once.append(True)
            record = open_record(bench / "B2.plan.json")
            begun = replace(record.cutting, initials="LB", resumed=True)
            keep(record, take(begun, "yes").cutting, "2026-11-26T10:00+00:00")
        return read(question)

    monkeypatch.setattr(module, "_read_line", answered)
    done = cut(bench, "KM", "go on", *ANSWERS[2:], to=machine.to)
    assert done.exit_code == 1, done.output
    assert machine.jobs == []


# -- marks ----------------------------------------------------------------------------------------


def write_marks(bench, moved, most=3):
    """Fill in the table of marks as if the machine had found the sheet so, and save it."""
    table = bench / "B2.marks.csv"
    rows = list(csv.DictReader(io.StringIO(table.read_text(encoding="utf-8"))))
    for row in rows[:most]:
        row["x"], row["y"] = moved(float(row["nominal x"]), float(row["nominal y"]))
    out = io.StringIO()
    writer = csv.DictWriter(out, rows[0])
    writer.writeheader()
    writer.writerows(rows)
    table.write_text(out.getvalue(), encoding="utf-8")


def test_measured_marks_lead_to_the_aligned_pass_that_is_sent(bench, machine):
    write_marks(bench, lambda x, y: (x + 1.5, y - 2.0))
    said = [*ANSWERS[:5], "yes", *ANSWERS[6:]]
    done = cut(bench, "KM", *said, to=machine.to)
    assert done.exit_code == 0, done.output
    aligned = (bench / "B2.face-b.aligned.hpgl").read_bytes()
    assert [bytes(job) for job in machine.jobs] == [passes(bench)[0], aligned]
    assert aligned != passes(bench)[1]
    assert [row["file"] for row in log(bench) if row["what"] in ("aligned", "sent")] == [
        *("B2.face-a.hpgl", "B2.face-b.aligned.hpgl", "B2.face-b.aligned.hpgl")
    ]


def test_marks_are_typed_one_by_one(bench, machine):
    rows = list(csv.DictReader(io.StringIO((bench / "B2.marks.csv").read_text(encoding="utf-8"))))
    places = [
        f"{float(row['nominal x']) + 1.5:.2f} {float(row['nominal y']) - 2:.2f}" for row in rows
    ]
    inches = [f"{float(part) / 25.4:.4f} in" for part in places[2].split()]
    typed = ["type", places[0], "twelve", places[1], " ".join(inches), "", places[4], "done"]
    said = [*ANSWERS[:5], *typed, *ANSWERS[6:]]
    done = cut(bench, "KM", *said, to=machine.to)
    assert done.exit_code == 0, done.output
    assert '"twelve": write x and y with a blank between' in done.output
    assert f"cross 1: planned at {rows[0]['nominal x']} {rows[0]['nominal y']} (mm)" in done.output
    (aligned,) = [row for row in log(bench) if row["what"] == "aligned"]
    assert "turned -0.000°" in aligned["note"] or "turned 0.000°" in aligned["note"]
    assert bytes(machine.jobs[1]) == (bench / "B2.face-b.aligned.hpgl").read_bytes()
    assert bytes(machine.jobs[1]) != passes(bench)[1]


def test_too_few_typed_marks_are_asked_for_again(bench, machine):
    done = cut(bench, "KM", *ANSWERS[:5], "type", "1 2", "done", "type", "no", to=machine.to)
    assert done.exit_code == 1
    assert "at least three of" in done.output
    assert done.output.count("Measured? Or the name") == 2
    assert len(machine.jobs) == 1
    assert not [*bench.glob("*.aligned.*")]


def test_files_that_no_line_carries_are_refused_before_anything_is_asked(bench, machine):
    cutter = find_cutter("desktop-knife")
    slip = sample("B2")
    deliver(make(slip, cutter=cutter, formats=["svg"], paper=None), bench, replace=True)
    words = ["cut", str(bench / "B2.plan.json"), "--to", machine.to]
    done = CliRunner().invoke(cli, words, input="KM\n")
    assert done.exit_code == 1
    assert "a line carries HP-GL or G-code" in done.output
    assert "Initials" not in done.output
    assert machine.jobs == []


def test_wrong_marks_are_asked_for_again(bench, machine):
    write_marks(bench, lambda x, y: (x + 200, -y))
    said = [*ANSWERS[:5], "yes", "nowhere.csv", "yes", "no"]
    done = cut(bench, "KM", *said, to=machine.to)
    assert done.exit_code == 1
    assert done.output.count("refused:") == 3
    assert "nowhere.csv" in done.output
    assert len(machine.jobs) == 1
    misfit = bench / "B2.face-b.misfit.svg"
    assert done.output.count(f"look at: {misfit}") == 2  # again where it stands already
    assert b"REFUSED" in misfit.read_bytes()
    write_marks(bench, lambda x, y: (x + 1, y + 1), most=6)
    done = cut(bench, "KM", "go on", "yes", "yes", to=machine.to)
    assert len(machine.jobs) == 2
    assert bytes(machine.jobs[1]) == (bench / "B2.face-b.aligned.hpgl").read_bytes()
    assert not misfit.exists()


def test_marks_that_fit_beyond_the_bed_are_not_drawn_as_misfits(bench, machine):
    write_marks(bench, lambda x, y: (x - 100, y))
    done = cut(bench, "KM", *ANSWERS[:5], "yes", "no", to=machine.to)
    assert done.exit_code == 1
    assert "beyond the bed's corner" in done.output
    assert "misfit" not in done.output
    assert not [*bench.glob("*.misfit.svg")]
    assert len(machine.jobs) == 1


def test_an_aligned_pass_that_was_changed_is_not_sent(bench, machine):
    write_marks(bench, lambda x, y: (x + 1.5, y - 2.0))
    cut(bench, "KM", *ANSWERS[:5], "yes", "no", to=machine.to)
    file = bench / "B2.face-b.aligned.hpgl"
    file.write_bytes(passes(bench)[1])
    done = cut(bench, "KM", "go on", "yes", to=machine.to)
    assert done.exit_code == 1
    assert "was changed since it was made" in done.output
    assert len(machine.jobs) == 1


# -- other sheets ---------------------------------------------------------------------------------


def test_a_coupon_is_led_through_as_well(tmp_path, monkeypatch):
    monkeypatch.setattr("cutfiles.cli.cut.at_keyboard", lambda: True)
    words = ["coupon", "post", "--cutter", "wide-roll-knife", "--to", str(tmp_path), "--no-cards"]
    assert CliRunner().invoke(cli, words).exit_code == 0
    (plan,) = tmp_path.glob("*.plan.json")
    steps = [step.key for step in steps_of(open_record(plan).plan)]
    words_said = dict(zip(STEPS, ANSWERS, strict=True))
    said = ["KM", *(words_said[step] for step in steps)]
    done = CliRunner().invoke(cli, ["cut", str(plan)], input="".join(f"{one}\n" for one in said))
    assert done.exit_code == 0, done.output


@pytest.fixture
def sheets(tmp_path, monkeypatch):
    """The sheets of an exhibit of one book, the folder one is in."""
    monkeypatch.setattr("cutfiles.cli.cut.at_keyboard", lambda: True)
    text = "No.,Title,H,W,Spine,Opens to\nB1,Poems,120 mm,80 mm,20 mm,120°\n"
    (tmp_path / "list.csv").write_text(text, encoding="utf-8")
    words = ["exhibit", tmp_path / "list.csv", "--to", tmp_path / "out", "--workers", "1"]
    words += ["--cutter", "wide-roll-knife", "--format", "svg", "--no-cards"]
    assert CliRunner().invoke(cli, [str(word) for word in words]).exit_code == 0
    monkeypatch.chdir(tmp_path / "out" / "sheets")
    return tmp_path / "out" / "sheets"


def test_a_sheet_of_an_exhibit_is_marked_as_cut(sheets):
    said = "".join(f"{one}\n" for one in ["KM", *ANSWERS])
    done = CliRunner().invoke(cli, ["cut", "sheet-001.plan.json"], input=said)
    assert done.exit_code == 0, done.output
    assert "sheet-001 is marked as cut" in done.output
    stages = (sheets.parent / "stages.csv").read_text(encoding="utf-8")
    assert re.search("sheet-001.*cut.*KM", stages)
    again = CliRunner().invoke(cli, ["cut", "sheet-001.plan.json"], input="KM\nno\n")
    assert "found a sheet that is marked as cut" in again.output


def test_a_sheet_marked_as_cut_is_neither_cut_nor_sent(sheets):
    out, by = str(sheets.parent), ["--date", "2026-03-02", "--initials", "AB"]
    send = ["send", "sheet-001.face-a.hpgl", "--cutter", "wide-roll-knife", "--to", "file:sent"]
    for marked, words in (("cut", ["sheet-001"]), ("planned", ["sheet-001"])):
        assert CliRunner().invoke(cli, ["mark", out, marked, *words, *by]).exit_code == 0
        for command in (["cut", "sheet-001.plan.json"], send):
            done = CliRunner().invoke(cli, command, input="no\n")
            said = "sheet-001: found a sheet that is marked as cut, on 2026-03-02 by AB"
            assert (said in done.output) == (marked == "cut"), done.output
            assert (sheets / "sent").exists() == (marked == "planned" and command is send)


def test_on_a_memory_card_each_pass_is_a_file(bench):
    """Also once more, for new film; a file that holds something else is told before all."""
    card = bench / "card"
    done = cut(bench, to=f"file:{card}")
    assert "one file for 2 passes" in done.output
    assert "Initials" not in done.output
    card.mkdir()
    for said in (["KM", *ANSWERS], ["KM", "yes", *ANSWERS]):
        done = cut(bench, *said, to=f"file:{card}")
        assert done.exit_code == 0, done.output
        assert "that starts nothing. Write it?" in done.output
        assert "Carry B2.face-a.hpgl to the machine, and start it there." in done.output
        assert [(card / f"B2.face-{key}.hpgl").read_bytes() for key in "ab"] == passes(bench)
    (card / "B2.face-b.hpgl").write_bytes(b"another's")
    done = cut(bench, "KM", "yes", *ANSWERS, to=f"file:{card}")
    assert done.exit_code == 1
    assert "B2.face-b.hpgl, which is not what this plan wrote" in done.output
    assert "Initials" not in done.output
    assert (card / "B2.face-b.hpgl").read_bytes() == b"another's"


@pytest.mark.parametrize("aligned", [True, False])
def test_what_this_plan_wrote_for_a_spoilt_sheet_is_written_over(bench, aligned):
    """The same pass, or one aligned by the marks of the sheet before: the log has its sum."""
    card = bench / "card"
    card.mkdir()
    assert cut(bench, "KM", *ANSWERS[:3], "spoilt", to=f"file:{card}").exit_code == 1
    if aligned:
        (card / "B2.face-a.hpgl").write_bytes(b"aligned for other film")
        table = (bench / "B2.cutting.csv").read_text(encoding="utf-8")
        mine = hashlib.sha256(passes(bench)[0]).hexdigest()
        other = hashlib.sha256(b"aligned for other film").hexdigest()
        (bench / "B2.cutting.csv").write_text(table.replace(mine, other), encoding="utf-8")
        assert other in (bench / "B2.cutting.csv").read_text(encoding="utf-8")
    done = cut(bench, "KM", "yes", *ANSWERS, to=f"file:{card}")
    assert done.exit_code == 0, done.output
    assert (card / "B2.face-a.hpgl").read_bytes() == passes(bench)[0]


def test_what_is_no_plan_is_refused(bench):
    done = CliRunner().invoke(cli, ["cut", str(bench / "B2.json")])
    assert done.exit_code == 1
    assert ".plan.json" in done.output
