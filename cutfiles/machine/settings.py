"""How each role is worked on one film: from the profile's material and what a coupon has shown."""

from collections.abc import Mapping
from dataclasses import field, replace

from cutfiles.bench.film import Film
from cutfiles.dataclass import dataclass
from cutfiles.errors import FileError, FormatError
from cutfiles.film.drawing import Drawing
from cutfiles.findings import Finding
from cutfiles.machine.cutter import Cutter, Judged, Setting
from cutfiles.machine.formats import FORMATS
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


def choose(drawing: Drawing, cutter: Cutter, lot: str = "") -> Chosen:
    """Return how each role of a sheet is worked.

    Raises:
        FileError: no coupon was judged for the film lot.
        FormatError: the machine takes programs that set its power, and the profile knows nothing
            of this film.

    """
    gauge = drawing.gauge
    material = cutter.material(gauge) if gauge is not None else None
    settings = {
        role.value: material.settings.get(work, Setting()) if material else Setting()
        for role, work in WORK.items()
    }
    findings = []
    if material is None:
        _require_unbound(cutter, gauge)
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
        settings = {
            role: _judged(setting, judged) if role in SCORES else setting
            for role, setting in settings.items()
        }
    return Chosen(settings, land, tuple(findings), lot)


def _require_unbound(cutter: Cutter, gauge: float | None) -> None:
    """Refuse a film of which nobody measured the settings, where a program must state them."""
    bound = next((FORMATS[key] for key in cutter.formats if FORMATS[key].bound), None)
    if bound is None:
        return
    film = "film of no known gauge" if gauge is None else f"film of {Film(gauge=gauge).gauge_text}"
    known = ", ".join(Film(gauge=one.gauge).gauge_text for one in cutter.materials) or "no film"
    raise FormatError(
        f"{film}, and a profile with a [[material]] of {known}",
        f"{bound.title} sets power and speed, and there are no usual ones",
        "add a [[material]] for this gauge with what the maker of film or machine gives to begin "
        "with, cut a coupon, and write what it showed",
        cutter.source,
    )


def _judged(setting: Setting, judged: Judged) -> Setting:
    """Return how a score is worked after a coupon was judged."""
    match judged.what:
        case "score_power":
            return replace(setting, power=judged.value)
        case "score_force":
            return replace(setting, force=judged.value)
        case "score_passes":
            return replace(setting, passes=int(judged.value))
        case "land":
            return setting
