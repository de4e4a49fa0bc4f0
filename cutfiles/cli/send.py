"""`cutfiles send`: a pass file down the line to a cutter."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cutfiles.cli.common import REFUSED, cutter_of, refuse
from cutfiles.cli.options import GroupedCommand, option
from cutfiles.cli.sending import account, line_options, sending, stopped_told
from cutfiles.errors import CutfilesError, LineError

if TYPE_CHECKING:
    from cutfiles.line.check import Job
    from cutfiles.line.flow import Flow


@click.command("send", cls=GroupedCommand, no_args_is_help=True)
@click.argument("path", metavar="FILE", type=click.Path())
@line_options
@option("--cutter", required=True, help="the profile it was made with")
@click.option(
    "--earlier-done",
    is_flag=True,
    help="the passes that come before this one were worked on this sheet",
)
@option("--replace", help="file: also replace a file that exists")
@click.option("--dry-run", is_flag=True, help="print what would go, and send nothing")
def command(
    path: str,
    to: str | None,
    cutter: str,
    flow: "Flow",
    baud: int,
    stall: float,
    earlier_done: bool,
    replace: bool,
    dry_run: bool,
) -> None:
    """Send a pass file, in a format that the cutter reads by itself.

    Refused is a file that was changed since it was made, was made for another cutter or with a
    profile that was changed since, or does not fit the bed. Enter pauses where the tool is next
    up, and goes on; Ctrl-C stops and lifts the tool. Few bytes are under way at a time, and at
    the end it is said what the other end acknowledged; what the machine did only the machine
    shows. What it has taken into its own memory it still works: in danger use the stop on the
    machine.

    \b
    cutfiles send A1.face-a.hpgl --cutter our-knife.toml --to serial:/dev/ttyUSB0
    cutfiles send A1.face-a.hpgl --cutter our-knife.toml --to tcp:192.0.2.7:9100

    \b
    Knives: stand to cut, free hand out of the blade's path.
    Lasers: extraction on, watch the whole run. The machine's manual comes first.
    """
    from cutfiles.exhibit.mark import require_uncut
    from cutfiles.line.check import check_job
    from cutfiles.line.lines import open_line
    from cutfiles.report.text.plan import CAUTIONS

    if to is None:
        raise click.UsageError("Missing option '--to': the line to the cutter")
    try:
        machine = cutter_of(cutter)
        assert machine is not None
        job = check_job(path, machine)
        if dry_run:
            click.echo(job.data.decode("ascii"), nl=False)
            click.echo(
                f"{job.name}: {len(job.data)} bytes in {len(job.reading.paths)} lines would "
                f"go to {to}; nothing was sent",
                err=True,
            )
            return
        require_uncut(Path(path).parent, job.name.partition(".")[0])
        _require_ready(job, earlier_done)
        click.echo(f"{CAUTIONS[machine.kind]}; the machine's manual comes first", err=True)
        line = open_line(to, flow, baud, replace=replace)
        sent = sending(job, line, stall)
    except CutfilesError as error:
        refuse(error)
    if sent.stopped:
        click.echo(stopped_told(sent), err=True)
        sys.exit(REFUSED)
    click.echo(f"{job.name}: {account(sent, line.taker)}")


def _require_ready(job: "Job", earlier_done: bool) -> None:
    """Refuse, before a line is opened, what could not be stopped or comes out of its order."""
    if sys.stdin is None:
        raise LineError(
            "no input at this terminal",
            "somebody can pause and stop the sending",
            "start it in a terminal, or give it an empty input",
            job.name,
        )
    if job.before and not earlier_done:
        raise LineError(
            f"a pass that comes after {', '.join(job.before)}",
            "the passes of a sheet are worked in their order",
            "send them first; if this sheet has them, say so with --earlier-done",
            job.name,
        )
