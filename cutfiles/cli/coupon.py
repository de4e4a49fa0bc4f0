"""`cutfiles coupon`: a test piece for a film lot, and what it showed."""

import click

from cutfiles.cli.common import cutter_of, refuse, tell_old
from cutfiles.cli.options import GroupedCommand, option
from cutfiles.errors import CutfilesError


@click.command("coupon", cls=GroupedCommand, no_args_is_help=True)
@option("--cutter", required=True)
@click.option("--gauge", default="5 mil", show_default=True, help="thickness of the film")
@option("--to")
@click.option(
    "--judged",
    type=int,
    metavar="NUMBER",
    help="record the strip that folded best; needs --lot and a profile of your own",
)
@option("--lot", default=None, help="the film lot, as written on the roll")
@option("--replace")
def command(
    cutter: str, gauge: str, folder: str, judged: int | None, lot: str | None, replace: bool
) -> None:
    """Make a small test piece: scores at three to five settings, a cut square, a 50 mm bar.

    Cut it from every new film lot and after every change of blade. Fold each strip at its valley
    (towards the face the label reads on) and its mountain (away from it), look for cracks and
    whitening, and record the best: make --lot then uses it.

    \b
    cutfiles coupon --cutter our-knife.toml --gauge "5 mil" --to coupons
    cutfiles coupon --cutter our-knife.toml --lot 2026-03 --judged 3
    cutfiles make A1.toml --cutter our-knife.toml --lot 2026-03

    \b
    Knives: stand to cut, free hand out of the blade's path.
    Lasers: extraction on, watch the whole run; never film you cannot name.
    The machine's manual comes first.
    """
    from cutfiles.disk.files import put_recorded
    from cutfiles.disk.names import safe_name
    from cutfiles.files.passes import write_plan
    from cutfiles.machine.coupon import coupon, record_judged
    from cutfiles.report.text.plan import plan_table
    from cutfiles.units import read_length

    if (judged is None) != (lot is None):
        raise click.UsageError("--judged and --lot belong together")
    try:
        thickness = read_length(gauge)
        if judged is not None and lot is not None:
            trial = record_judged(cutter, lot, thickness, judged)
            click.echo(
                f"{cutter}: film lot {lot}, {trial.what.replace('_', ' ')} "
                f"{trial.values[judged - 1]:g}"
            )
            return
        machine = cutter_of(cutter)
        assert machine is not None
        made = coupon(machine, thickness)
        files = {file.name: file.data for file in write_plan(made)}
        done = put_recorded(folder, safe_name(made.number), files, replace=replace)
    except CutfilesError as error:
        refuse(error)
    click.echo(plan_table(made))
    for name in files:
        click.echo(f"  verified   {name}")
    tell_old(done.removed, done.left)
    click.echo(f"  varied     {dict(made.sheet.facts)['varied']}")
