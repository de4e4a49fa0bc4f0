"""Sending at a terminal: a bar, keys that pause and stop it, and what is known of its end."""

import signal
import sys
import threading
import time
from contextlib import contextmanager
from typing import TYPE_CHECKING, get_args

import click

from cutfiles.cli.options import Command, GroupedOption
from cutfiles.line.flow import Flow

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from cutfiles.line.check import Job
    from cutfiles.line.lines import Line, Taker
    from cutfiles.line.send import Control, Sent


def line_options(command: Command) -> Command:
    """Add what says how a cutter is reached."""
    for one in reversed(_LINE):
        command = one(command)
    return command


_LINE = (
    click.option(
        "--to", cls=GroupedOption, metavar="LINE", help="serial:PORT, tcp:HOST:PORT or file:PATH"
    ),
    click.option(
        "--flow",
        type=click.Choice(get_args(Flow)),
        default="rtscts",
        show_default=True,
        help="serial: how the cutter holds us up when its buffer is full; "
        "without it data is lost, so none only if the manual says so",
    ),
    click.option("--baud", default=9600, show_default=True, help="serial: speed, 8N1"),
    click.option(
        "--stall",
        default=120.0,
        show_default=True,
        metavar="SECONDS",
        help="give up when the cutter takes nothing for so long",
    ),
)
_STOPS = ("SIGINT", "SIGTERM", "SIGHUP")
"""Signals after which the tool is lifted: Ctrl-C, an end that is asked for, a terminal closed."""
_GLANCE = 0.1
"""How long to wait for a key at a time, s."""


def sending(job: "Job", line: "Line", stall: float) -> "Sent":
    """Send a job, with a bar, keys to pause it, and Ctrl-C to stop it."""
    from cutfiles.line.send import Control, send

    control = Control()
    # not an exception: it might come between a write and the count of what was written
    asked = [s for name in _STOPS if (s := getattr(signal, name, None)) is not None]
    before = {one: signal.signal(one, lambda *_: control.stop()) for one in asked}
    try:
        with _listening(control), _bar(len(job.data), job.name) as show:
            return send(job, line, control=control, stall=stall, progress=show)
    finally:
        for one, handler in before.items():
            signal.signal(one, handler)


def account(sent: "Sent", taker: "Taker") -> str:
    """Return what is known of a sending that came to its end, and of whom."""
    match taker:
        case "file":
            return f"written, {sent.taken} bytes"
        case "port":
            return (
                f"{sent.taken} bytes have left this computer's port; a serial line does not say "
                "what the machine did: see that it has ended"
            )
        case "network":
            took = (
                f"{sent.taken} bytes were handed over; this system does not tell how many the "
                "other end's network acknowledged"
                if sent.acknowledged is None
                else f"the other end's network acknowledged {sent.acknowledged} of {sent.total} "
                "bytes"
            )
            end = (
                "it closed the line after the last"
                if sent.ended
                else "IT DID NOT CLOSE THE LINE: whether it has read them all it does not say"
            )
            return f"{took}; {end}; what the machine did only the machine shows"


def stopped_told(sent: "Sent") -> str:
    """Return what is known of a sending that was stopped."""
    known = "" if sent.acknowledged is None else f", {sent.acknowledged} of them acknowledged"
    said = (
        "the tool was told to lift"
        if sent.lifted
        else "NOBODY ACKNOWLEDGED THE STOP: the tool may be down or the beam on; use the "
        "machine's own stop"
    )
    return (
        f"stopped after {sent.taken} of {sent.total} bytes{known}: {said}; what the machine holds "
        "in its memory it still works: see that it stands"
    )


@contextmanager
def _bar(total: int, name: str) -> "Iterator[Callable[[int, int], None] | None]":
    """Show how much was taken, where somebody is looking."""
    if not sys.stderr.isatty():
        yield None
        return
    with click.progressbar(length=total, label=name, file=sys.stderr) as bar:

        def show(taken: int, total: int) -> None:
            bar.update(taken - bar.pos)
            if taken == total:
                click.echo(
                    "\nall is on its way; waiting for the other end (Ctrl-C ends the waiting)",
                    err=True,
                )

        yield show


@contextmanager
def _listening(control: "Control") -> "Iterator[None]":
    """Let Enter pause and go on meanwhile, where somebody sits at a keyboard."""
    over = threading.Event()
    if not sys.stdin.isatty():
        yield
        return

    def listen() -> None:
        while not over.is_set():
            if not _key_waits():
                continue
            sys.stdin.readline()
            if control.held:
                control.resume()
                click.echo("going on", err=True)
            else:
                control.pause()
                click.echo("pausing where the tool is next up; Enter goes on", err=True)

    thread = threading.Thread(target=listen, daemon=True)
    thread.start()
    try:
        yield
    finally:
        over.set()  # what is typed from now on answers the next question
        thread.join(2 * _GLANCE)


def _key_waits() -> bool:
    """Return, after a moment, whether a line was typed."""
    if sys.platform == "win32":
        import msvcrt

        time.sleep(_GLANCE)
        return msvcrt.kbhit()
    import select

    return bool(select.select([sys.stdin], [], [], _GLANCE)[0])
