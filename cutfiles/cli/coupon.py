"""`cutfiles coupon`: test pieces for a film lot, and for what creases, posts and layers do."""

from typing import TYPE_CHECKING, Any

import click

from cutfiles.cli import opening
from cutfiles.cli.common import refuse, tell_old
from cutfiles.cli.options import GroupedCommand, option, options, order_from
from cutfiles.errors import CutfilesError

if TYPE_CHECKING:
    from cutfiles.job.coupon import CouponMade

SCORE = "score"


@click.command("coupon", cls=GroupedCommand, no_args_is_help=True)
@click.argument(
    "what",
    metavar="[score|crease|post|corner]",
    default=SCORE,
    type=click.Choice([SCORE, "crease", "post", "corner"]),
)
@click.option("--gauge", default="5 mil", show_default=True, help="thickness of the film")
@options("--to", "--open", "--format", "--paper", "--no-cards")
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
    from cutfiles.job.coupon import make_coupon, make_score_coupon
    from cutfiles.support.trials import COUPONS
    from cutfiles.units import read_length

    del given["open_it"]
    judged, folder, given["lot"] = given.pop("judged"), given.pop("folder"), given["lot"] or ""
    if judged is not None and what != SCORE:
        raise click.UsageError("--judged is for score coupons; write this one into --trials")
    if what == SCORE and given["cutter"] is None:
        raise click.UsageError("Missing option '--cutter': a score coupon tries its settings")
    try:
        thickness = read_length(gauge)
        if what == SCORE and (judged is not None or given["lot"]):
            _judge(given["cutter"], given["lot"], thickness, judged)
            return
        order = order_from(given)
        if order.cutter is not None and what == SCORE:
            made = make_score_coupon(order.cutter, thickness, order)
        else:
            made = make_coupon(next(c for c in COUPONS if c == what), thickness, order)
        _deliver(made, folder, replace=order.replace)
    except CutfilesError as error:
        refuse(error)


def _judge(cutter: str, lot: str, gauge: float, judged: int | None) -> None:
    from cutfiles.machine.coupon import record_judged

    if judged is None or not lot:
        raise click.UsageError("--judged and --lot belong together")
    trial = record_judged(cutter, lot, gauge, judged)
    click.echo(
        f"{cutter}: film lot {lot}, {trial.what.replace('_', ' ')} {trial.values[judged - 1]:g}"
    )


def _deliver(made: "CouponMade", folder: str, *, replace: bool) -> None:
    from cutfiles.job.deliver_files import deliver_files
    from cutfiles.report.text.made import file_line
    from cutfiles.report.text.plan import plan_table

    done = deliver_files(folder, made.name, made.files, made.plan, replace=replace).put
    click.echo(made.title if made.plan is None else plan_table(made.plan))
    for file in made.files:
        click.echo(file_line(file))
    for said in made.left:
        click.echo(f"  note       {said}")
    tell_old(done.removed, done.left)
    if made.plan is not None and (varied := dict(made.plan.drawing.facts).get("varied")):
        click.echo(f"  varied     {varied}")
    click.echo(f"  in         {folder}")
    opening.show_of(folder, made.files)
