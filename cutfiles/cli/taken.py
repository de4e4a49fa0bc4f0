"""What a command takes from workshop files where no option says it, and how that is told."""

import re
import sys
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import click
from click.core import ParameterSource

from cutfiles.cli.common import print_json, refuse
from cutfiles.errors import CutfilesError

if TYPE_CHECKING:
    from cutfiles.job.workshop import Workshop
    from cutfiles.units import Units

FIELDS = {
    "cutter": "cutter",
    "machine": "machine",
    "films_path": "films",
    "shelf": "shelf",
    "trials_path": "trials",
    "memory_path": "memory",
    "paper": "paper",
    "units": "units",
    "spares": "spares",
    "fold_minutes": "fold_minutes",
    "open_it": "open",
    "folder": "folder",
    "to": "line",
    "flow": "flow",
    "baud": "baud",
}
"""Parameter of a command to the field of a workshop file that fills it."""
MACHINE = ("bed", "pens", "machine")
"""Who describes the machine by one of these wants no cutter of the workshop."""
_BESIDE = (("fold", "folder"), ("edits", "folder"))
"""Page and picture go beside the file that is read."""
_HELP = ("--help", "-h")
_KEPT = "cutfiles.workshop"
_PRINTING = ("slip", "films", "send")
"""Commands whose output may be a file: what they took is told beside it."""


def prepare(command: click.Command, ctx: click.Context, args: Sequence[str]) -> None:
    """Read what holds for the slips or the list that are named, and let it fill what is not."""
    told = not args and command.no_args_is_help
    wanted = not told and fills(command) and not ctx.resilient_parsing and not {*args} & {*_HELP}
    given = _given(command, ctx, args) if wanted else None
    if given is None or given.get("no_workshop"):
        return
    from cutfiles.job.workshop import read_workshop

    sources = _sources(command, given)
    try:
        shops = [read_workshop(folder) for folder in _folders(sources)]
    except CutfilesError as error:
        refuse(error)
    if any(shop != shops[0] for shop in shops):
        raise click.UsageError(
            "these slips lie beside different workshop files; make those of each by themselves"
        )
    ctx.meta[_KEPT] = shops[0]
    ctx.default_map = {**(ctx.default_map or {}), **_defaults(command, given, shops[0])}


def _given(
    command: click.Command, ctx: click.Context, args: Sequence[str]
) -> Mapping[str, Any] | None:
    """Return what the command line itself says; None where it is told wrong by who parses it."""
    try:
        return command.make_parser(ctx).parse_args(list(args))[0]
    except click.ClickException:
        return None


def fills(command: click.Command) -> bool:
    """Whether a workshop file may fill an option of a command."""
    return any(one.name in FIELDS for one in command.params)


def _sources(command: click.Command, given: Mapping[str, Any]) -> list[str]:
    """Return the slips or the list that were named; of the desk its folder, where its slips lie."""
    if command.name == "desk" and given.get("folder"):
        return [f"{given['folder']}/"]
    named: list[str] = []
    for one in command.params:
        value = given.get(one.name or "")
        if _told_as(one) in ("SLIP", "LIST"):
            # an argument that was not given is neither
            named += [value] if isinstance(value, str) else []
            named += value if isinstance(value, tuple | list) else ()
    return named


def _told_as(one: click.Parameter) -> str:
    """Return what help calls that which a parameter names, with no brackets or dots: SLIP, LIST."""
    return re.sub(r"\W", "", one.metavar or "")


def _folders(sources: Sequence[str]) -> list[str]:
    """Return the folders they lie in; where none is named, the one we stand in."""
    import os

    return list(dict.fromkeys(os.path.dirname(one) or "." for one in sources)) or ["."]


def _defaults(command: click.Command, given: Mapping[str, Any], shop: "Workshop") -> dict[str, Any]:
    """Return parameters to what the workshop says of them."""
    found: dict[str, Any] = {}
    for one in command.params:
        name = one.name or ""
        if FIELDS.get(name) not in shop.values:
            continue
        if (command.name, name) not in _BESIDE and not _not_begun(command, name, shop):
            found[name] = _worded(name, one, shop.values[FIELDS[name]])
    if any(given.get(name) for name in MACHINE):
        found.pop("cutter", None)
    if "units" in found and not _bare(command, shop):
        del found["units"]
    return found


def _not_begun(command: click.Command, name: str, shop: "Workshop") -> bool:
    """Whether it is a table of trials that is not there yet: the first record begins it."""
    import os

    begins = command.name == "trial"
    return name == "trials_path" and not begins and not os.path.lexists(shop.values["trials"])


def _worded(name: str, one: click.Parameter, value: Any) -> Any:
    if name == "open_it":
        return value == "yes"
    return [value] if getattr(one, "multiple", False) else value


def _bare(command: click.Command, shop: "Workshop") -> bool:
    """Whether the workshop's unit fills the option: a slip says its own, or has `units_here`.

    A list comes from elsewhere: only a file beside it knows what its numbers count in.
    """
    told = {_told_as(one) for one in command.params}
    if "LIST" in told:
        return shop.sources["units"] != shop.own
    return "SLIP" not in told


# -- what was taken -------------------------------------------------------------------------------


def workshop_here() -> "Workshop | None":
    """Return what holds for the command that runs; None where nothing was read."""
    ctx = click.get_current_context(silent=True)
    return ctx.meta.get(_KEPT) if ctx else None


def units_here() -> "Units | None":
    """Return what bare numbers of slips count in, where a workshop says it."""
    shop = workshop_here()
    return None if shop is None else shop.values.get("units")


def taken() -> dict[str, tuple[str, str]]:
    """Return the fields that this run took from workshop files: value and file."""
    ctx, shop = click.get_current_context(), workshop_here()
    if shop is None:
        return {}
    used = [
        FIELDS[one.name or ""]
        for one in ctx.command.params
        if one.name in FIELDS and is_taken(one.name)
    ]
    if "units" in shop.values and "units" not in used and _counts_units(ctx):
        used.append("units")
    return {name: (str(shop.values[name]), shop.sources[name]) for name in used}


def _counts_units(ctx: click.Context) -> bool:
    """Whether a slip is read here that may leave the unit to the workshop."""
    slips = [one for one in ctx.command.params if _told_as(one) == "SLIP"]
    named = any(ctx.params.get(one.name or "") for one in slips)
    return named or (bool(slips) and ctx.params.get("height") is not None)


def is_taken(parameter: str) -> bool:
    """Whether a workshop file filled a parameter of the command that runs."""
    source = click.get_current_context().get_parameter_source(parameter)
    return source is ParameterSource.DEFAULT_MAP


def print_data(results: Sequence[dict[str, Any]], several: bool = False) -> None:
    """Print results as data, each with what was taken from workshop files."""
    said = taken_data()
    found = [{**one, "workshop": said} for one in results]
    print_json(found if several else found[0])


def taken_data() -> dict[str, dict[str, str]]:
    """Return the same as data."""
    return {name: {"value": value, "from": file} for name, (value, file) in taken().items()}


def tell_taken(ctx: click.Context) -> None:
    """Tell in one line what was taken from where, and in another what does not count there."""
    by_file: dict[str, list[str]] = {}
    for name, (value, file) in taken().items():
        rule = " where a slip says none" if name == "units" else ""
        by_file.setdefault(file, []).append(f"{name} {value}{rule}")
    aside = bool(ctx.params.get("as_json")) or ctx.command.name in _PRINTING
    if by_file:
        said = "; ".join(f"{', '.join(all_)} (from {file})" for file, all_ in by_file.items())
        click.echo(f"workshop: {said}", err=aside)
    shop = workshop_here()
    trials = "" if shop is None else shop.values.get("trials", "")
    if trials and "trials_path" in ctx.params and not ctx.params["trials_path"]:
        click.echo(f"workshop: no trials yet: {trials} is not there", err=True)
    if shop is not None and shop.left:
        click.echo(f"workshop: not taken: {left_told(shop)}", err=True)
    sys.stdout.flush()


def left_told(shop: "Workshop") -> str:
    """Return what stands in a file beside slips or a list and does not count there."""
    file = next(iter(shop.left.values()))
    left = ", ".join(shop.left)
    return f"{left} in {file}: what goes elsewhere is said in your own file only, {shop.own}"
