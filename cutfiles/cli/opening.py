"""Shows the picture that belongs to what was made, in the viewer this desktop has for it."""

import os
import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from cutfiles.cli.common import refuse
from cutfiles.cli.taken import is_taken
from cutfiles.errors import FileError

if TYPE_CHECKING:
    from cutfiles.files.made import File


_STARTS = 1.0
"""A viewer that is still there after so long shows the file, s."""
FIRST = ("alignment", "standing", "coupon-card", "passes", "bench")
"""What is looked at first, by the formats of files; after them any picture, card or page."""


def require_one(count: int) -> None:
    """Refuse to show several pictures; where only the workshop asks for it, show none."""
    if wanted() and count > 1:
        if not is_taken("open_it"):
            raise click.UsageError("--open shows one picture: name one slip or file")
        click.get_current_context().params["open_it"] = False


def wanted() -> bool:
    """Whether a picture is to be shown: asked for, or usual here and somebody looks on."""
    asked = bool(click.get_current_context().params.get("open_it"))
    return asked and (not is_taken("open_it") or _looked_at())


def _looked_at() -> bool:
    return sys.stdout.isatty()


def show_of(folder: str | os.PathLike[str], files: "Sequence[File]") -> None:
    """Show what of these files a person looks at first."""
    if not wanted():
        return
    seen = [file for file in files if file.name.endswith((".svg", ".pdf", ".html"))]
    ranked = sorted(seen, key=lambda file: FIRST.index(file.format) if file.format in FIRST else 99)
    if not ranked:
        click.echo("nothing to show: no picture or card was made", err=True)
        return
    show(os.path.join(folder, ranked[0].name))


def show(path: str | os.PathLike[str]) -> None:
    """Show a picture, page or card that was made, where that is wanted."""
    if not wanted():
        return
    whole = os.path.abspath(path)
    try:
        opened = _open(whole)
    except OSError:
        opened = False
    if not opened:
        refuse(
            FileError(
                "no program here that shows pictures",
                "a desktop with a viewer shows it; the files are made all the same",
                "open it yourself, on a machine with a screen",
                whole,
            )
        )


def _open(whole: str) -> bool:
    """Hand a file to the desktop; return whether there is one."""
    import shutil  # both only where a file is opened
    import subprocess

    if sys.platform == "win32":
        os.startfile(whole)
        return True
    mac = sys.platform == "darwin"
    program = shutil.which("open" if mac else "xdg-open")
    screen = mac or os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")
    if program is None or not screen:
        return False
    quiet = subprocess.DEVNULL
    viewer = subprocess.Popen(
        [program, whole], stdin=quiet, stdout=quiet, stderr=quiet, start_new_session=True
    )
    try:
        return viewer.wait(_STARTS) == 0  # it hands the file over and ends, or is the viewer itself
    except subprocess.TimeoutExpired:
        return True
