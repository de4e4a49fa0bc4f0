"""How each role is worked on one film: from the profile's material and what a coupon has shown."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from cutfiles.errors import FileError
from cutfiles.film.drawing import Drawing
from cutfiles.findings import Finding
from cutfiles.machine.cutter import Cutter, Setting
from cutfiles.machine.passes import WORK
from cutfiles.pattern.pattern import Role

SCORES = (Role.VALLEY, Role.MOUNTAIN)


@dataclass(frozen=True, slots=True)
class Chosen:
    """The settings for one sheet.

    Attributes:
        settings: role to how it is worked.
        land: perforate: least film between cuts, mm.
        findings: what is worth knowing.
        lot: the film lot, or empty.
        lands: name of a score to a land of its own, mm.

    """

    settings: Mapping[str, Setting]
    land: float
    findings: tuple[Finding, ...]
    lot: str = ""
    lands: Mapping[str, float] = field(default_factory=dict)


def gauge_of(sheet: Drawing) -> float | None:
    """Return the thickness of the sheet's film as its facts state it, mm, or None."""
    match = re.match(r"([\d.]+) mm", dict(sheet.facts).get("gauge", ""))
    return float(match[1]) if match else None


def choose(sheet: Drawing, cutter: Cutter, lot: str = "") -> Chosen:
    """Return how each role of a sheet is worked.

    Raises:
        FileError: no coupon was judged for the film lot.

    """
    gauge = gauge_of(sheet)
    material = cutter.material(gauge) if gauge is not None else None
    settings = {
        role.value: material.settings.get(work, Setting()) if material else Setting()
        for role, work in WORK.items()
    }
    findings = []
    if cutter.materials and material is None:
        said = "no gauge" if gauge is None else f"no entry for film of {gauge:g} mm"
        findings.append(
            Finding("material", cutter.name, f"the profile has {said}: set the machine by hand")
        )
    land = cutter.land
    if lot:
        judged = cutter.judged_lot(lot, gauge or 0.0)
        if judged is None:
            lots = [one.lot for one in cutter.judged if abs(one.gauge - (gauge or 0.0)) < 0.001]
            known = ", ".join(dict.fromkeys(lots)) or "none"
            raise FileError(
                f'the film lot "{lot}"',
                f"lots the profile knows of film of {gauge or 0:g} mm: {known}",
                "cut a coupon of this lot and record what it showed",
                cutter.source,
                "coupon",
            )
        if judged.what == "land":
            land = judged.value
        else:
            settings = _judged(settings, judged.what, judged.value)
    return Chosen(settings, land, tuple(findings), lot)


def _judged(settings: dict[str, Setting], what: str, value: float) -> dict[str, Setting]:
    name = what.removeprefix("score_")
    chosen = {name: int(value) if name == "passes" else value}
    return {
        role: replace(setting, **chosen) if role in SCORES else setting  # type: ignore[arg-type]
        for role, setting in settings.items()
    }
