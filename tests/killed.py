"""Kills the writing to a disk at any step: from the n-th call of the system on nothing works."""

import os
from contextlib import contextmanager

CALLS = ("mkdir", "open", "write", "replace", "link", "symlink", "unlink", "rmdir", "ftruncate")


class Killed(BaseException):
    """What the process would not live to see."""


@contextmanager
def killed_at(step, monkeypatch):
    """Within, the call with this number and all after it fail; yields a list of those made."""
    made = []

    def dying(name, real):
        def call(*args, **how):
            if len(made) >= step:
                raise Killed
            made.append(name)
            return real(*args, **how)

        return call

    with monkeypatch.context() as patch:
        for name in CALLS:
            patch.setattr(os, name, dying(name, getattr(os, name)))
        try:
            yield made
        except Killed:
            made.append("killed")
