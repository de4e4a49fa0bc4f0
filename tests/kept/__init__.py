"""What is kept byte for byte, a module for each part of the house; `test_bytes.py` asks for it.

Each module yields its groups from ``groups()`` and keeps their checksums in a file of its name.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
SAMPLES = ROOT / "samples"
Said = Callable[[Path], str]
"""Called with the folder of what is brought; what it returns is kept as if a command said it."""


def _nothing(folder: Path) -> Mapping[str, object]:
    del folder
    return {}


@dataclass(frozen=True, slots=True)
class Group:
    """What is run, and kept, together.

    Attributes:
        name: of the group.
        lines: of commands, with {} for the folder they write to and {name} for what is brought;
            or functions.
        brings: called with a folder to write to; returns what the lines need, by its names.

    """

    name: str
    lines: Sequence[Sequence[str] | Said]
    brings: Callable[[Path], Mapping[str, object]] = _nothing


def slips() -> list[str]:
    """Return the paths of all sample slips."""
    return [str(path) for path in sorted(SAMPLES.glob("*.toml"))]
