"""`cutfiles coupon`: test pieces for a film lot, and for what creases, posts and layers do."""

from typing import Any

import click

from cutfiles.cli.common import cutter_of, refuse, tell_old
from cutfiles.cli.options import GroupedCommand, option, options, order_from
from cutfiles.errors import CutfilesError

SCORE = "score"


@click.command("coupon", cls=GroupedCommand, no_args_is_help=True)
@click.argument(
    "what",
    metavar="[score|crease|post|corner]",
    default=SCORE,
    type=click.Choice([SCORE, "crease", "post", "corner"]),
)
@click.option("--gauge", default="5 mil", show_default=True, help="thickness of the film")
@options("--to", "--format", "--paper", "--no-cards")
@click.option(
    "--judged",
    type=int,
    metavar="NUMBER",
    help="score: record the strip that folded best; needs --lot and a profile of your own",
)
@options("--replace", "--machine", "--cutter")
@option("--lot", default=None, help="the film lot, as written on the roll")
def command(what: str, gauge: str, **given: Any) -> None:
    """Make a small test piece that says what film, folds and laps do.

    \b
    score    which setting of a cutter scores best: cut it from every new
             film lot and after every change of blade (needs --cutter)
    crease   how stiff a crease is: fold, slide a small weight, read an angle
    post     whether the lap and folds of a hollow post hold: press on a scale
    corner   whether inner layers bow, as they should, or slip

    Score: fold each strip at its valley (towards the face the label reads on) and its mountain
    (away from it), look for cracks and whitening, and record the best: make --lot then uses it.
    The others come with a card that tells how to fold and load them, what to read off and what
    to expect; write what you read with cutfiles trial --coupon.

    \b
    cutfiles coupon --cutter our-knife.toml --gauge "5 mil" --to coupons
    cutfiles coupon --cutter our-knife.toml --lot 2026-03 --judged 3
    cutfiles make A1.toml --cutter our-knife.toml --lot 2026-03
    cutfiles coupon post --gauge "5 mil" --to coupons
    cutfiles trial --coupon post --trials trials.csv --weight "810 g" \\
        --ended collapsed

    \b
    Knives: stand to cut, free hand out of the blade's path.
    Lasers: extraction on, watch the whole run; never film you cannot name.
    The machine's manual comes first.
    """
    from cutfiles.units import read_length

    try:
        thickness = read_length(gauge)
        if what == SCORE:
            _score(thickness, **given)
        else:
            _tried(what, thickness, given)
    except CutfilesError as error:
        refuse(error)


def _score(
    gauge: float,
    *,
    cutter: str | None,
    folder: str,
    judged: int | None,
    lot: str | None,
    replace: bool,
    **_: Any,
) -> None:
    from cutfiles.disk.files import put_recorded
    from cutfiles.disk.names import safe_name
    from cutfiles.files.passes import write_plan
    from cutfiles.machine.coupon import coupon, record_judged
    from cutfiles.report.text.plan import plan_table

    if cutter is None:
        raise click.UsageError("Missing option '--cutter': a score coupon tries its settings")
    if (judged is None) != (lot is None):
        raise click.UsageError("--judged and --lot belong together")
    if judged is not None and lot is not None:
        trial = record_judged(cutter, lot, gauge, judged)
        click.echo(
            f"{cutter}: film lot {lot}, {trial.what.replace('_', ' ')} {trial.values[judged - 1]:g}"
        )
        return
    machine = cutter_of(cutter)
    assert machine is not None
    made = coupon(machine, gauge)
    files = {file.name: file.data for file in write_plan(made)}
    done = put_recorded(folder, safe_name(made.number), files, replace=replace)
    click.echo(plan_table(made))
    for name in files:
        click.echo(f"  verified   {name}")
    tell_old(done.removed, done.left)
    click.echo(f"  varied     {dict(made.drawing.facts)['varied']}")


def _tried(what: str, gauge: float, given: dict[str, Any]) -> None:
    from cutfiles.disk.files import put_recorded
    from cutfiles.job.coupon import make_coupon
    from cutfiles.report.text.plan import plan_table
    from cutfiles.support.trials import COUPONS

    if given.pop("judged") is not None:
        raise click.UsageError("--judged is for score coupons; write this one into --trials")
    folder, given["lot"] = given.pop("folder"), given["lot"] or ""
    order = order_from(given)
    name = next(one for one in COUPONS if one == what)
    made = make_coupon(name, gauge, order)
    files = {file.name: file.data for file in made.files}
    done = put_recorded(folder, made.name, files, replace=order.replace)
    if made.plan is not None:
        click.echo(plan_table(made.plan))
    else:
        click.echo(f"{made.coupon.number}, {made.coupon.film.gauge_text}")
    for file in made.files:
        click.echo(f"  {'verified' if file.verified else 'to print':<10} {file.name}")
    for said in made.left:
        click.echo(f"  note       {said}")
    tell_old(done.removed, done.left)
    click.echo(f"  in         {folder}")
