"""How a cutter on a serial line holds us up when it is full."""

from typing import Literal

Flow = Literal["rtscts", "xonxoff", "none"]
"""By a wire of its own, by signs among the data, or not at all."""
