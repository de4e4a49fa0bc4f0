"""`cutfiles trial`: how to prove a support, and the record of how it ended."""

from typing import Any

import click

from cutfiles.cli.common import films_at, refuse, slip_of, trials_from
from cutfiles.cli.options import GroupedCommand, option
from cutfiles.errors import CutfilesError


@click.command("trial", cls=GroupedCommand, no_args_is_help=True)
@click.argument("slip", metavar="SLIP", type=click.Path())
@option("--trials")
@option("--films")
@click.option("--weight", metavar="WEIGHT", help='of the dummy that lay on it, as in "962 g"')
@click.option("--hours", type=click.FloatRange(0, 100_000), help="how long it lay there")
@click.option(
    "--ended", type=click.Choice(["stood", "collapsed"]), help="what happened to the support"
)
@click.option("--date", default="", help="the day, as you write it")
@option("--lot", help="the film lot, as written on the roll")
@click.option("--measured", metavar="GAUGE", help="thickness of one film, if you measured it")
@click.option("--note", default="", help="what was seen")
@option("--json")
def command(slip: str, **given: Any) -> None:
    """Say which bags to lay on a support for how long; then record how it ended.

    Without a weight nothing is recorded. What stood 1.5 times its book for 24 hours is proved: that
    piece, that book, that opening, below 30 °C. Three tests or more of a construction count for
    others made like it. Give the table to check, make and exhibit with --trials.

    \b
    cutfiles trial A1.toml
    cutfiles trial A1.toml --trials trials.csv --weight "962 g" --hours 24 \\
        --ended stood
    cutfiles check A1.toml --trials trials.csv

    Bags or a dummy, never the book; hands and anything fragile away from under the boards. A
    conservator decides what lies on a support.
    """
    told = [given[name] is not None for name in ("weight", "hours", "ended")]
    if any(told) and not all(told):
        raise click.UsageError("--weight, --hours and --ended belong together")
    if all(told) and given["trials_path"] is None:
        raise click.UsageError("--trials names the table that the record is written to")
    try:
        if all(told):
            _record(slip, given)
        else:
            _plan(slip, given)
    except CutfilesError as error:
        refuse(error)


def _plan(slip: str, given: dict[str, Any]) -> None:
    from cutfiles.draft import draft_of
    from cutfiles.report.text.trial import trial_plan

    trials = trials_from(given["trials_path"])
    draft = draft_of(slip_of(slip, films_at(given["films_path"]))(), trials)
    click.echo(trial_plan(draft), nl=False)


def _record(slip: str, given: dict[str, Any]) -> None:
    import os

    from cutfiles.draft import draft_of
    from cutfiles.job.trial import record, rows_for
    from cutfiles.report.text.trial import trial_data, trial_told
    from cutfiles.units import read_length, read_weight

    path, measured = given["trials_path"], given["measured"]
    known = trials_from(path) if os.path.lexists(path) else ()
    read = slip_of(slip, films_at(given["films_path"]))()
    before = draft_of(read, known)
    rows = rows_for(
        before,
        read_weight(given["weight"]),
        60 * given["hours"],
        given["ended"],
        date=given["date"],
        lot=given["lot"],
        note=given["note"],
        gauge=None if measured is None else read_length(measured),
    )
    after = draft_of(before.slip, record(path, rows))
    if given["as_json"]:
        import json

        data = trial_data(rows, before.verdict, after.verdict)
        click.echo(json.dumps(data, ensure_ascii=False, indent=2))
    else:
        click.echo(trial_told(rows, before.verdict, after.verdict), nl=False)
