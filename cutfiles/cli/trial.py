"""`cutfiles trial`: how to prove a support, and the record of how tests ended."""

from typing import Any

import click

from cutfiles.cli.common import films_at, refuse, slip_of, trials_from
from cutfiles.cli.options import GroupedCommand, option
from cutfiles.cli.taken import print_data, units_here
from cutfiles.errors import CutfilesError

NEEDED = {
    "crease": ("weight", "measured", "arm", "turned"),
    "post": ("weight", "measured", "ended"),
    "corner": ("measured", "bow"),
}
"""Which options the record of each coupon needs."""


@click.command("trial", cls=GroupedCommand, no_args_is_help=True)
@click.argument("slip", metavar="[SLIP]", type=click.Path(), required=False)
@option("--trials")
@option("--films")
@click.option("--weight", metavar="WEIGHT", help='of the dummy that lay on it, as in "962 g"')
@click.option("--hours", type=click.FloatRange(0, 100_000), help="how long it lay there")
@click.option(
    "--ended", type=click.Choice(["stood", "collapsed"]), help="what happened to the support"
)
@click.option(
    "--fell", type=click.Choice(["left", "right"]), help="which leg collapsed, if one alone did"
)
@click.option("--date", default="", help="the day, as you write it")
@option("--lot", help="the film lot, as written on the roll")
@click.option("--measured", metavar="GAUGE", help="thickness of one film, if you measured it")
@click.option("--note", default="", help="what was seen")
@click.option("--initials", default="", help="of who saw it")
@click.option(
    "--coupon",
    type=click.Choice([*NEEDED]),
    help="record a coupon instead of a support (see: cutfiles coupon); needs --measured",
)
@click.option("--arm", metavar="LENGTH", help="crease coupon: from the crease to the weight")
@click.option("--turned", metavar="ANGLE", help='crease coupon: by how much it turned, as in "28°"')
@click.option("--bow", metavar="LENGTH", help="corner coupon: how far the inmost layer stood off")
@option("--json")
def command(slip: str | None, coupon: str | None, **given: Any) -> None:
    """Say which bags to lay on a support for how long; then record how it ended.

    Without a weight nothing is recorded. What stood 1.5 times its book for 24 hours is proved: that
    piece, that book, that opening, below 30 °C. Three tests or more of a construction count for
    others made like it; one that collapsed too early warns of them all. Give the table to check,
    make and exhibit with --trials.

    \b
    cutfiles trial A1.toml
    cutfiles trial A1.toml --trials trials.csv --weight "962 g" --hours 24 \\
        --ended stood
    cutfiles check A1.toml --trials trials.csv

    \b
    cutfiles trial --coupon post --trials trials.csv --measured "5 mil" \\
        --weight "810 g" --ended collapsed
    cutfiles trial --coupon crease --trials trials.csv --measured "5 mil" \\
        --weight "1.2 g" --arm "38 mm" --turned "27°"
    cutfiles trial --coupon corner --trials trials.csv --measured "5 mil" \\
        --bow "3.4 mm" --note shifted

    Bags or a dummy, never the book; hands and anything fragile away from under the boards. A
    conservator decides what lies on a support.
    """
    if (slip is None) == (coupon is None):
        raise click.UsageError("name a slip, or a coupon with --coupon")
    try:
        if coupon is not None:
            _record_coupon(coupon, given)
        elif _asked(given):
            _record(slip or "", given)
        else:
            _plan(slip or "", given)
    except CutfilesError as error:
        refuse(error)


def _asked(given: dict[str, Any]) -> bool:
    """Return whether a test of a support is to be recorded."""
    for name in ("arm", "turned", "bow"):
        if given[name] is not None:
            raise click.UsageError(f"--{name} belongs to --coupon")
    told = [given[name] is not None for name in ("weight", "hours", "ended")]
    if any(told) and not all(told):
        raise click.UsageError("--weight, --hours and --ended belong together")
    if given["fell"] is not None and given["ended"] != "collapsed":
        raise click.UsageError("--fell tells which leg collapsed: --ended collapsed")
    if all(told):
        _require_table(given)
    return all(told)


def _require_table(given: dict[str, Any]) -> None:
    if given["trials_path"] is None:
        raise click.UsageError("--trials names the table that the record is written to")


def _plan(slip: str, given: dict[str, Any]) -> None:
    from cutfiles.job.order import Order, drafted
    from cutfiles.report.text.trial import trial_plan

    order = Order(trials=trials_from(given["trials_path"]), films=films_at(given["films_path"]))
    draft = drafted(slip_of(slip, order.films, units_here())(), order)
    click.echo(trial_plan(draft), nl=False)


def _record(slip: str, given: dict[str, Any]) -> None:
    import os
    from dataclasses import replace

    from cutfiles.job.order import Order, drafted
    from cutfiles.job.trial import record, rows_for
    from cutfiles.report.text.trial import Recorded, trial_data, trial_told
    from cutfiles.units import read_length, read_weight

    path, measured = given["trials_path"], given["measured"]
    known = trials_from(path) if os.path.lexists(path) else ()
    order = Order(trials=known, films=films_at(given["films_path"]))
    read = slip_of(slip, order.films, units_here())()
    before = drafted(read, order)
    rows = rows_for(
        before,
        read_weight(given["weight"]),
        60 * given["hours"],
        given["ended"],
        gauge=None if measured is None else read_length(measured),
        fell=given["fell"],
        **_noted(given),
    )
    order = replace(order, trials=record(path, rows))
    made = Recorded(rows, before, drafted(before.slip, order), drafted(read, order))
    _tell(given, trial_data(made), trial_told(made))


def _record_coupon(coupon: str, given: dict[str, Any]) -> None:
    import math

    from cutfiles.bench.film import MODULUS
    from cutfiles.job.trial import coupon_row, record
    from cutfiles.report.text.coupon import coupon_data, coupon_told
    from cutfiles.support.trials import COUPONS
    from cutfiles.units import read_angle, read_length, read_weight

    name = next(one for one in COUPONS if one == coupon)
    _require_table(given)
    for one in ("weight", "measured", "arm", "turned", "bow", "ended", "fell"):
        if (given[one] is None) == (one in NEEDED[coupon]):
            asked = "needs" if one in NEEDED[coupon] else "has no"
            raise click.UsageError(f"the record of a {coupon} coupon {asked} --{one}")
    row = coupon_row(
        name,
        read_length(given["measured"]),
        grams=0.0 if given["weight"] is None else read_weight(given["weight"]),
        minutes=1.0 if given["hours"] is None else 60 * given["hours"],
        result=given["ended"] or "read",
        arm=0.0 if given["arm"] is None else read_length(given["arm"]),
        turned=0.0 if given["turned"] is None else math.radians(read_angle(given["turned"])),
        bow=0.0 if given["bow"] is None else read_length(given["bow"]),
        **_noted(given),
    )
    trials = record(given["trials_path"], (row,))
    kinds = films_at(given["films_path"])
    modulus = next((k.modulus for k in kinds if abs(k.gauge - row.gauge) < 0.001), MODULUS)
    data = coupon_data(name, row, trials, modulus)
    _tell(given, data, coupon_told(name, row, trials, modulus))


def _noted(given: dict[str, Any]) -> dict[str, str]:
    """Return what is written into a record as it was given."""
    return {name: given[name] for name in ("date", "lot", "note", "initials")}


def _tell(given: dict[str, Any], data: dict[str, Any], text: str) -> None:
    """Print what was recorded, as data or as text."""
    if given["as_json"]:
        print_data([data])
    else:
        click.echo(text, nl=False)
