"""Works for a desk's processes: each imports this, so it imports little itself."""

import os
import time

from cutfiles.errors import ChangedError, CutfilesError


def echo(value):
    """Return what is given."""
    return value


def pid_in_a_while():
    """Return this process's number, so late that another work begins meanwhile."""
    time.sleep(0.3)
    return os.getpid()


def refuse():
    """Refuse as a reader does."""
    raise CutfilesError("this", "that", "do so", "here")


def refuse_as_changed():
    """Refuse as where another run has written in the meantime."""
    raise ChangedError("a changed file", "that", "look again", "here")


def count(tell, to):
    """Tell how far it is, and hang at the end where that is wanted."""
    for i in range(to):
        tell(i)
    if to > 2:
        time.sleep(60)
    return to
