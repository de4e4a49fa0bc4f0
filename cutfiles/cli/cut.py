"""`cutfiles cut`: through the passes of one sheet, a question at a time."""

import os
import sys
from contextlib import suppress
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, NoReturn

import click

from cutfiles.cli import opening
from cutfiles.cli.common import REFUSED, cutter_of, indented, refuse
from cutfiles.cli.options import GroupedCommand, option
from cutfiles.cli.remedies import told
from cutfiles.cli.sending import account, line_options, sending, stopped_told
from cutfiles.dataclass import dataclass
from cutfiles.errors import AlignError, CutfilesError, LineError

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from cutfiles.job.asked import Question
    from cutfiles.job.cut_record import CutRecord, Row
    from cutfiles.job.cutting import Cutting, Taken
    from cutfiles.line.check import Job
    from cutfiles.line.flow import Flow
    from cutfiles.machine.cutter import Cutter


@click.command("cut", cls=GroupedCommand, no_args_is_help=True)
@click.argument("plan_path", metavar="PLAN", type=click.Path())
@line_options
@option("--open", help="show the picture that belongs to the pass")
@click.option("--by-hand", is_flag=True, help="send nothing: say which file to open or carry")
@option("--cutter", help="the profile as it is now, held against the plan")
def command(
    plan_path: str,
    to: str | None,
    by_hand: bool,
    cutter: str | None,
    flow: "Flow",
    baud: int,
    stall: float,
    open_it: bool,
) -> None:
    """Go through the cutting of one sheet at the machine, one question at a time.

    PLAN is the file that ends in .plan.json, of a support, its straps, a sheet of an exhibit or a
    coupon, made with --cutter. It says what to load, which face is up, how to turn the sheet,
    where to measure the marks, with which settings each pass is worked; before each pass its file
    is held once more against plan and record. Nothing starts before you write yes, and "no" stops
    at every question. Stopped? The same command goes on where it was. Beside the plan it keeps
    NUMBER.cutting.json, where the sheet stands, and NUMBER.cutting.csv, what was done when, by
    whom, from which film lot.

    \b
    cutfiles cut out/A1.plan.json                            hands the files over
    cutfiles cut out/A1.plan.json --to serial:/dev/ttyUSB0   sends them
    cutfiles cut out/A1.plan.json --to file:CARD             writes a file each

    \b
    Knives: stand to cut, free hand out of the blade's path.
    Lasers: extraction on, watch the whole run. The machine's manual comes first.
    """
    from cutfiles.exhibit.mark import require_uncut
    from cutfiles.job.course import take_up
    from cutfiles.job.pass_files import checked_files, job_for, pictures_of

    try:
        if not at_keyboard():
            raise LineError(
                "no keyboard at this terminal",
                "somebody at the machine answers, and can say no",
                "start it in a terminal",
            )
        record, profile = take_up(plan_path), cutter_of(cutter)
        require_uncut(record.folder, record.plan.number)
        reach = _Reach("" if by_hand or not to else to, flow, baud, stall)
        passes = [checked_files(record, one, profile) for one in record.plan.passes]
        jobs = [job_for(record, files) for files in passes] if reach.to else []
        _require_room(reach, jobs, record.log)
        if pictures := pictures_of(record):
            opening.show(record.folder / pictures[0])
        _Course(record, profile, reach).run()
    except CutfilesError as error:
        refuse(error)
    except KeyboardInterrupt:
        _stop("\nstopped here")


def at_keyboard() -> bool:
    """Whether somebody can answer."""
    return sys.stdin is not None and sys.stdin.isatty()


def _stop(said: str) -> NoReturn:
    click.echo(f"{said}; the same command goes on from here", err=True)
    sys.exit(REFUSED)


@dataclass(frozen=True, slots=True)
class _Reach:
    """How the machine is reached; no line where files are handed over."""

    to: str
    flow: "Flow"
    baud: int
    stall: float

    @property
    def file(self) -> str:
        """The file or folder that passes are written to; empty where a machine takes them."""
        kind, _, path = self.to.partition(":")
        return path if kind == "file" else ""

    def path_of(self, job: "Job") -> str:
        """Return the file that a pass is written to: in a folder, one of its own name."""
        return os.path.join(self.file, job.name) if os.path.isdir(self.file) else self.file

    def has(self, job: "Job", log: "Path") -> bool:
        """Whether the file that a pass goes to is one that was written here: it is written anew.

        Args:
            job: the pass.
            log: of the plan, which has the checksums of all that was sent.

        """
        from cutfiles.disk.system import sum_of

        path = self.path_of(job)
        if not os.path.isfile(path):
            return False
        with suppress(OSError), open(path, "rb") as file:
            data = file.read()
            told = log.read_text(encoding="utf-8") if log.is_file() else ""
            return data == job.data or sum_of(data) in told
        return False


def _require_room(reach: _Reach, jobs: "Sequence[Job]", log: "Path") -> None:
    """Refuse, before film is loaded, one file for several passes, and files of something else."""
    if not reach.file:
        return
    if len(jobs) > 1 and not os.path.isdir(reach.file):
        raise LineError(
            f"{reach.to}, one file for {len(jobs)} passes",
            "each pass is a file of its own",
            "name a folder that there is, as in file:CARD",
        )
    for job in jobs:
        path = reach.path_of(job)
        if os.path.lexists(path) and not reach.has(job, log):
            raise LineError(
                f"{path}, which is not what this plan wrote",
                "a pass is written over nothing else",
                "move it away, or name another folder",
            )


@dataclass(slots=True)
class _Course:
    """One run: asks, reads, does what follows."""

    record: "CutRecord"
    cutter: "Cutter | None"
    reach: _Reach

    def run(self) -> None:
        """Ask until the sheet is done, spoilt, or somebody stops."""
        from cutfiles.job.asked import ask
        from cutfiles.job.course import setup_of
        from cutfiles.job.cutting import take

        if self.record.made_anew:
            click.echo("the plan was made anew since a sheet was begun here: take new film")
        while True:
            question = ask(self.record.cutting, setup_of(self.record, self.reach.to))
            _show(question, str(self.record.folder))
            taken = take(self.record.cutting, _read_line(question))
            try:
                self._do(taken)
            except CutfilesError as error:
                click.echo(f"refused: {indented(told(error))}", err=True)
                if isinstance(error, AlignError):
                    self._show_misfit(taken)
                if self.record.cutting.step.key != "measure":
                    sys.exit(REFUSED)
                again = replace(self.record.cutting, typed=None)
                self.record = replace(self.record, cutting=again)

    def _do(self, taken: "Taken") -> None:
        """Do what an answer asks for."""
        from cutfiles.job.course import go_on

        if taken.doing == "stop":
            _stop(taken.said)
        if taken.doing == "work" and self.reach.to:
            self._send(taken.cutting)
            return
        gone = go_on(self.record, taken, _now(), self.cutter)
        self.record = gone.record
        if gone.said:
            click.echo(gone.said, err=taken.doing == "spoilt")
        for file in () if gone.aligned is None else gone.aligned.files:
            if file.verified is None:
                click.echo(f"  look at: {os.path.join(self.record.folder, file.name)}")
        for handed in gone.files:
            click.echo(f"  {handed.path}")
        if taken.doing == "spoilt":
            sys.exit(REFUSED)
        if taken.doing == "done":
            self._mark_cut()
            sys.exit(0)

    def _show_misfit(self, taken: "Taken") -> None:
        """Put the picture of marks that do not fit beside the plan, and say where it is."""
        from cutfiles.job.aligned import deliver_aligned
        from cutfiles.job.course import misfit

        record = self.record
        shown = misfit(record, taken)
        if shown is not None:
            try:
                deliver_aligned(record.plan_path, record.plan, shown.files)
            except CutfilesError as error:
                click.echo(f"no picture of it: {indented(told(error))}", err=True)
                return
            click.echo(f"  look at: {os.path.join(record.folder, shown.files[0].name)}", err=True)

    def _mark_cut(self) -> None:
        """Mark a sheet of an exhibit as cut: no later run lays it anew."""
        from cutfiles.exhibit.mark import mark_sheet

        record = self.record
        marked = mark_sheet(record.folder, record.plan.number, _now(), record.cutting.initials)
        if marked:
            said = f"{record.plan.number} is marked as cut in {marked}: it stays as it is"
            click.echo(said)

    def _change(self, broken: str) -> None:
        self.record = replace(self.record, cutting=replace(self.record.cutting, broken=broken))

    def _keep(self, cutting: "Cutting", row: "Row | None" = None) -> None:
        from cutfiles.job.cut_record import keep

        self.record = keep(self.record, cutting, _now(), row)

    def _send(self, started: "Cutting") -> None:
        """Send a pass; first of all it is kept that it may have begun."""
        from cutfiles.job.cut_record import Row
        from cutfiles.job.pass_files import checked_files, job_for
        from cutfiles.line.lines import open_line

        record, before = self.record, self.record.cutting
        one, reach = before.one, self.reach
        assert one is not None
        files = checked_files(record, one, self.cutter, aligned=before.is_aligned)
        job = job_for(record, files)
        sent_file = tuple(file.named for file in files if file.path.name == job.name)
        self._keep(started, Row("sending", one.name, sent_file, reach.to))
        try:
            to = f"file:{reach.path_of(job)}" if reach.file else reach.to
            again = reach.has(job, record.log)
            line = open_line(to, reach.flow, reach.baud, replace=again)
        except CutfilesError:
            self._keep(before, Row("not sent", one.name, sent_file))
            raise
        try:
            sent = sending(job, line, reach.stall)
        except LineError as error:
            self._broken(one.name, error.fault.found, str(error))
            return
        if sent.stopped:
            self._broken(one.name, stopped_told(sent), stopped_told(sent))
            return
        said = account(sent, line.taker)
        self._keep(self.record.cutting, Row("sent", one.name, sent_file, said))
        click.echo(f"{job.name}: {said}")

    def _broken(self, name: str, short: str, whole: str) -> None:
        from cutfiles.job.cut_record import Row

        click.echo(whole, err=True)
        self._change(broken=short)
        self._keep(self.record.cutting, Row("broken off", name, note=short))


def _now() -> str:
    return datetime.now().astimezone().isoformat(timespec="minutes")


def _show(question: "Question", folder: str) -> None:
    click.echo(f"\n{question.title}")
    for line in question.lines:
        click.echo(f"  {line}")
    for name in question.shows:
        click.echo(f"  look at: {os.path.join(folder, name)}")


def _read_line(question: "Question") -> str | None:
    """Return what was answered; None at the end of the input."""
    words = f" ({', '.join(question.answers)})" if question.answers else ""
    _forget_typed()
    click.echo(f"{question.asks}{words}: ", nl=False)
    sys.stdout.flush()
    said = sys.stdin.readline()
    return said if said else None


def _forget_typed() -> None:
    """Forget what was typed before a question stood there: least of all does it start a pass."""
    if not at_keyboard():
        return
    if sys.platform == "win32":
        import msvcrt

        while msvcrt.kbhit():
            msvcrt.getwch()
        return
    import termios

    with suppress(termios.error, OSError):  # no terminal after all
        termios.tcflush(sys.stdin, termios.TCIFLUSH)
