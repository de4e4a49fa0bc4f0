"""`cutfiles align`: a pass corrected by marks measured after turning."""

import os
from collections.abc import Mapping
from typing import TYPE_CHECKING

import click

from cutfiles.cli import opening
from cutfiles.cli.common import indented, refuse, tell_old
from cutfiles.cli.options import GroupedCommand, options
from cutfiles.cli.remedies import told
from cutfiles.errors import AlignError, CutfilesError
from cutfiles.machine.align import LIMIT

if TYPE_CHECKING:
    from cutfiles.machine.marks import Measured
    from cutfiles.machine.passes import CutPlan


@click.command("align", cls=GroupedCommand, no_args_is_help=True)
@click.argument("plan_path", metavar="PLAN", type=click.Path())
@click.option(
    "--measured",
    metavar="CSV",
    type=click.Path(),
    help="the table of marks, filled in; default: the one beside the plan",
)
@click.option("--limit", default=LIMIT, show_default=True, help="largest residual allowed, mm")
@options("--open", "--replace")
def command(
    plan_path: str, measured: str | None, limit: float, open_it: bool, replace: bool
) -> None:
    """Correct passes by marks measured after the sheet was turned over or shifted.

    PLAN is the file that ends in .plan.json, written by make --cutter. Beside it lies the table of
    marks, NUMBER.marks.csv: write into its columns x and y where the machine finds each mark, as
    it shows it; its unit and axes stand in the same row. The simplest move that fits is used: a
    turn and a shift; else with a change of size; else with one of its own along each axis. A sheet
    turned the wrong way, wrong axes or units, exchanged marks and one bad mark are named and
    refused. Look at the picture that comes with the pass before you cut.

    \b
    cutfiles align out/A1.plan.json
    """
    from cutfiles.disk.refusals import read
    from cutfiles.job.aligned import align_passes, deliver_aligned
    from cutfiles.machine.endings import MARKS, PLAN
    from cutfiles.machine.marks import read_marks
    from cutfiles.machine.plan_data import plan_from
    from cutfiles.report.text.plan import lying_text

    stem = plan_path.removesuffix(PLAN)
    table = measured or stem + MARKS
    try:
        plan = plan_from(read(plan_path, "a plan that can be read"), plan_path)
        text = read(table, "measured marks").decode("utf-8", errors="replace")
        marks = read_marks(text, plan, os.path.basename(table))
        given = plan, marks, os.path.basename(stem), limit
        try:
            done = align_passes(*given)
        except AlignError:
            _show_misfits(plan_path, given, replace)
            raise
        files = [file for one in done for file in one.files]
        put = deliver_aligned(plan_path, plan, files, replace=replace)
    except CutfilesError as error:
        refuse(error)
    for one in done:
        click.echo(f"{one.one.name}, {lying_text(one.found)}")
        for name, off in one.found.residuals.items():
            click.echo(f"  {name:<12} {off:.3f} mm")
        for file in one.files:
            click.echo(f"  {'verified' if file.verified else 'picture':<10} {file.name}")
    tell_old(put.removed, put.left)
    opening.show_of(os.path.dirname(plan_path), files)


def _show_misfits(
    plan_path: str, given: "tuple[CutPlan, Mapping[str, Measured], str, float]", replace: bool
) -> None:
    """Put the pictures of marks that do not fit beside the plan, and say where they are."""
    from cutfiles.job.aligned import deliver_aligned, misfits

    folder = os.path.dirname(plan_path)
    files = [file for one in misfits(*given) for file in one.files]
    if not files:
        return
    try:
        deliver_aligned(plan_path, given[0], files, replace=replace)
    except CutfilesError as error:
        click.echo(f"no picture of it: {indented(told(error))}", err=True)
        return
    for file in files:
        click.echo(f"look at: {os.path.join(folder, file.name)}", err=True)
    opening.show_of(folder, files)
