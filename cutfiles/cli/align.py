"""`cutfiles align`: a pass corrected by marks measured after turning."""

import math
import os

import click

from cutfiles.cli.common import refuse, tell_old
from cutfiles.cli.options import GroupedCommand, option
from cutfiles.errors import CutfilesError


@click.command("align", cls=GroupedCommand, no_args_is_help=True)
@click.argument("plan_path", metavar="PLAN", type=click.Path())
@click.option(
    "--measured",
    required=True,
    metavar="CSV",
    type=click.Path(),
    help="mark, x, y of at least three marks, as the machine finds them, mm",
)
@click.option(
    "--pass",
    "pass_name",
    metavar="NAME",
    default="face-b",
    show_default=True,
    help="which pass to correct, as in its file's name",
)
@click.option("--limit", default=0.3, show_default=True, help="largest residual allowed, mm")
@option("--replace")
def command(plan_path: str, measured: str, pass_name: str, limit: float, replace: bool) -> None:
    """Correct a pass by marks measured after the sheet was turned over.

    PLAN is the file that ends in .plan.json, written by make --cutter. The simplest move that fits
    is used: a turn and a shift; else with a change of size; else with one of its own along each
    axis. A sheet turned the wrong way, exchanged marks or one bad mark are named and refused.

    \b
    cutfiles align out/A1.plan.json --measured marks.csv
    """
    from cutfiles.disk.refusals import read
    from cutfiles.files.passes import write_aligned
    from cutfiles.job.aligned import deliver_aligned
    from cutfiles.machine.align import align, aligned, read_marks
    from cutfiles.machine.plan_data import SUFFIX, plan_from

    try:
        plan = plan_from(read(plan_path, "a plan that can be read"), plan_path)
        one = next((p for p in plan.passes if p.name == pass_name), None)
        if one is None:
            known = ", ".join(p.name for p in plan.passes)
            raise click.BadParameter(f'"{pass_name}"; the plan has {known}', param_hint="--pass")
        text = read(measured, "measured marks").decode("utf-8", errors="replace")
        found = align(one, read_marks(text, os.path.basename(measured)), limit)
        files = write_aligned(
            plan, aligned(one, found), os.path.basename(plan_path).removesuffix(SUFFIX)
        )
        done = deliver_aligned(plan_path, files, replace=replace)
    except CutfilesError as error:
        refuse(error)
    move = found.move
    click.echo(
        f"{move.kind}: turned {math.degrees(move.angle):.3f}°, shifted {move.e:.2f} mm and "
        f"{move.f:.2f} mm, size {move.scales[0]:.5f} × {move.scales[1]:.5f}"
    )
    for name, off in found.residuals.items():
        click.echo(f"  {name:<12} {off:.3f} mm")
    for file in files:
        click.echo(f"  verified   {file.name}")
    tell_old(done.removed, done.left)
