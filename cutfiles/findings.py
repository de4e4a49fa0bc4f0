"""Findings: what a check measured, against which limit, and what it means."""

from typing import Literal

from cutfiles.dataclass import dataclass

Severity = Literal["advise", "ask", "stop"]


@dataclass(frozen=True, slots=True)
class Finding:
    """One result of one check.

    Attributes:
        rule: the check's name, one or two words with a hyphen.
        place: panel, crease, field or layer.
        message: one sentence of the trade.
        measured: the number found, or None where there is none.
        limit: the number it is held against, or None.
        severity: ``advise`` (made all the same), ``ask`` (a question to who measured; made all
            the same unless questions count as refusals) or ``stop`` (nothing is delivered).

    """

    rule: str
    place: str
    message: str
    measured: float | None = None
    limit: float | None = None
    severity: Severity = "advise"
