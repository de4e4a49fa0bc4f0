"""`cutfiles desk`: a page in the browser of this machine."""

import shlex
import sys
from typing import TYPE_CHECKING, Any

import click

from cutfiles.cli.common import refuse
from cutfiles.cli.grouped import GroupedCommand, GroupedOption
from cutfiles.cli.options import options, order_from
from cutfiles.cli.planned import PLAN, plan_from
from cutfiles.errors import CutfilesError, FileError

if TYPE_CHECKING:
    from cutfiles.exhibit.plan import ExhibitPlan

_NEEDED = ("starlette", "uvicorn", "jinja2", "python_multipart")


@click.command("desk", cls=GroupedCommand)
@click.option(
    "--folder",
    cls=GroupedOption,
    help="the only folder that a page puts anything into",
    default=".",
    metavar="DIR",
    show_default="this folder",
    type=click.Path(file_okay=False),
)
@click.option(
    "--port",
    cls=GroupedOption,
    help="of this machine; default: a free one",
    type=click.IntRange(0, 65535),
    default=0,
)
@click.option("--no-browser", cls=GroupedOption, is_flag=True, help="only print the address")
@click.option(
    "--starter",
    cls=GroupedOption,
    is_flag=True,
    help="write a file to double-click into the folder, which opens the desk, and end",
)
@options("--films", "--trials", "--paper", "--cutter", "--machine", *PLAN)
def command(folder: str, port: int, no_browser: bool, starter: bool, **given: Any) -> None:
    """Open a page in the browser of this machine: measure, see it stand, take the files.

    Only this machine reaches it, with the key in the address that is printed. It ends with Ctrl-C,
    or two minutes after its last page is closed.

    \b
    cutfiles desk
    cutfiles desk --folder cut-files
    """
    from dataclasses import replace

    order = order_from(given)
    try:
        _require()
        if starter:
            _start_by_hand(folder)
            return
        _run(folder, port, no_browser, replace(plan_from(given), order=order))
    except CutfilesError as error:
        refuse(error)
    except KeyboardInterrupt:
        click.echo("the desk is closed")


def _require() -> None:
    """Refuse where what the desk is made of is not installed."""
    from importlib.util import find_spec

    if absent := [name for name in _NEEDED if find_spec(name) is None]:
        raise FileError(
            f"no {', '.join(absent)} here",
            "the desk is an extra of its own",
            "install it with: pip install 'cutfiles[desk]'",
        )


def _start_by_hand(folder: str) -> None:
    """Write what this system opens by a double click: it runs this very Python, for this folder."""
    from cutfiles.disk.files import folder_at, let_run, write_new

    to = folder_at(folder).resolve()
    name, text = _starter(sys.platform, sys.executable, str(to))
    write_new(to / name, text.encode(), "a starter is written as a new file")
    let_run(to / name)
    click.echo(f"{to / name}: double-click it to open the desk")


def _starter(system: str, python: str, folder: str) -> tuple[str, str]:
    """Return the name and the text of a starter.

    >>> print(_starter("darwin", "/opt/my python", "/home/a's books")[1])
    #!/bin/sh
    exec '/opt/my python' -m cutfiles desk --folder '/home/a'"'"'s books'
    <BLANKLINE>
    >>> print(_starter("win32", "C:/py.exe", "C:/100% books")[1].splitlines()[1])
    "C:/py.exe" -m cutfiles desk --folder "C:/100%% books"
    """
    if system == "win32":
        parts = [f'"{part.replace("%", "%%")}"' for part in (python, folder)]
        return "desk.cmd", f"@echo off\r\n{parts[0]} -m cutfiles desk --folder {parts[1]}\r\n"
    run = f"{shlex.quote(python)} -m cutfiles desk --folder {shlex.quote(folder)}"
    # both are the same; files of the first name are opened in a terminal by a double click
    name = "desk.command" if system == "darwin" else "desk.sh"
    return name, f"#!/bin/sh\nexec {run}\n"


def _run(folder: str, port: int, no_browser: bool, plan: "ExhibitPlan") -> None:
    from cutfiles.desk.desk import Desk
    from cutfiles.desk.guard import Guard
    from cutfiles.desk.serve import line_at, serve, show
    from cutfiles.disk.files import folder_at

    desk, line = Desk(folder_at(folder).resolve(), plan), line_at(port)

    def begun(guard: Guard) -> None:
        click.echo(f"the desk: {guard.door}")
        if not no_browser and not show(guard.door_once):
            click.echo("no browser was found: open the address yourself", err=True)
        click.echo("it ends with Ctrl-C, or two minutes after its last page is closed")

    serve(desk, line, begun)
    click.echo("the desk is closed")
