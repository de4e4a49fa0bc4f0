"""The record that lies beside a file, and what it says of the file."""

import json
from pathlib import Path
from typing import Any, NamedTuple

from cutfiles.machine.plan_data import SUFFIX as PLAN

RECORD = ".json"
"""What follows the number of a support in the name of its record."""


class Recorded(NamedTuple):
    """A file as a record tells it.

    Attributes:
        path: of the record.
        entry: of the file in it.
        values: all that the record holds.

    """

    path: Path
    entry: dict[str, Any]
    values: dict[str, Any]


def recorded(file: Path) -> Recorded | None:
    """Return what the records beside a file say of it; None where none knows it."""
    for path in sorted(file.parent.glob(f"*{RECORD}")):
        if path.name.endswith(PLAN):
            continue
        try:
            values = json.loads(path.read_text(encoding="utf-8"))
            for entry in values["files"]:
                if entry["path"] == file.name:
                    return Recorded(path, entry, values)
        except (OSError, ValueError, KeyError, TypeError, RecursionError):
            continue
    return None
