"""Reads the measuring slip of one book at one opening; tells all its faults together."""

import os
from collections.abc import Mapping
from dataclasses import field, replace
from typing import Any

from cutfiles.bench.approximate import exact
from cutfiles.bench.at_hand import FilmKind
from cutfiles.bench.book import (
    SIDES,
    Board,
    Book,
    Case,
    Opening,
    SideName,
    cover_of,
    slope_from_rise,
)
from cutfiles.bench.choices import CHOSEN, Choices
from cutfiles.bench.fields import SLIP, STEEPEST_SLOPE
from cutfiles.bench.film import Film, Layers
from cutfiles.bench.films import usual_films
from cutfiles.bench.guess import Followed
from cutfiles.bench.heights import Joints
from cutfiles.bench.joints import resolve_joints
from cutfiles.bench.lie import followed, guess_told, known_heights, measured_of, rise_of
from cutfiles.dataclass import dataclass
from cutfiles.errors import Fault, Place, SlipError, place_from, shown
from cutfiles.findings import Finding
from cutfiles.lengths import Lengths
from cutfiles.tables.load import Wanted, load_toml
from cutfiles.tables.record import read_record
from cutfiles.units import Units

SLIP_FILE = Wanted(
    "a slip",
    "a measuring slip",
    "check its name and folder, or fill in a blank one",
    "put every text and every measure with a unit in quotation marks, "
    "inches in single ones: height = '5 1/4\"'",
    "slip",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """What a slip says, read and resolved.

    Attributes:
        source: where it came from: ``slip A1.toml``, a row of a list, or options.
        units: what people of this slip think in; "mm" where it names none.
        book: the book.
        opening: how the support carries it: its slopes follow the leaves where boards open wider.
        joints: how the boards were found to lie, and what contradicts what.
        followed: what was added to the slopes of the boards.
        film: the film chosen.
        choices: the settings chosen.
        findings: what was read in a way the reader of the slip should know.
        case: what is free inside the case.
        films: the films at hand; empty for the usual gauges.
        settled: whether film and construction are chosen, or still to be.
        given: what the slip says, field path to number (mm, g, degrees) or text.
        said: the same, as it stands in the slip.

    """

    source: Place
    units: Units
    book: Book
    opening: Opening
    joints: Joints
    followed: Followed
    film: Film
    choices: Choices
    findings: tuple[Finding, ...] = field(default=())
    case: Case = field(default=Case())
    films: tuple[FilmKind, ...] = field(default=())
    settled: bool = False
    given: Mapping[str, Any] = field(default_factory=dict, compare=False, repr=False)
    said: Mapping[str, Any] = field(default_factory=dict, compare=False, repr=False)


def read_slip(
    path: str | os.PathLike[str], films: tuple[FilmKind, ...] = (), units: Units | None = None
) -> Slip:
    """Return the slip in a TOML file.

    Args:
        path: of the file.
        films: the films at hand, if not the usual gauges.
        units: what its bare numbers count in, if it does not say so itself.

    Raises:
        FileError: the file cannot be read, or is no TOML.
        SlipError: the slip has faults; all of them are in it.

    """
    place = Place(file=f"slip {os.path.basename(os.fspath(path))}")
    values = load_toml(path, place, SLIP_FILE)
    return slip_from({"units": units, **values} if units else values, place, films)


def slip_from(
    values: Mapping[str, Any], source: Place | str = "slip", films: tuple[FilmKind, ...] = ()
) -> Slip:
    """Return the slip with these values, named as in a slip file.

    Args:
        values: fields to texts or numbers; settings in a mapping under ``support``.
        source: where it stands, or how messages call it.
        films: the films at hand, if not the usual gauges.

    Raises:
        SlipError: all faults together.

    >>> slip = slip_from({"number": "A1", "units": "mm", "height": 203, "width": 133,
    ...                   "spine_width": 34, "opening_angle": 120})
    >>> slip.opening.left.slope
    30.0

    """
    return _Reading(values, place_from(source), films).slip()


class _Reading:
    """One slip being read: collects values and faults, then makes the slip or refuses it."""

    def __init__(
        self, values: Mapping[str, Any], source: Place, films: tuple[FilmKind, ...]
    ) -> None:
        plain, told = exact(values)
        record = read_record(SLIP, plain, source)
        self.source, self.films = source, films
        self.values, self.raw, self.bad = record.values, record.said, record.bad
        self.units = record.units
        self.faults: list[Fault] = list(record.faults)
        self.findings: list[Finding] = list(told)

    def slip(self) -> Slip:
        """Return the slip, or raise all faults."""
        widths = self._widths()
        spine = self._spine()
        slopes = self._slopes(widths)
        settings = self._settings()
        film = self._film()
        joints = self._joints(widths, slopes, spine)
        if self.faults or joints is None:
            raise SlipError(tuple(self.faults))
        get = self.values.get
        known, *both = known_heights(joints, get("support.joints") == "guess", spine)
        raised = followed(slopes["left"], slopes["right"], self.values)
        left, right = (
            Board(width=widths[name], slope=slope, side=get(f"{name}_side"), joint=lie.joint)
            for name, slope, lie in zip(SIDES, (raised.left, raised.right), both, strict=True)
        )
        self.findings += [*joints.told, *guess_told(known, joints, self.values)]
        return Slip(
            source=self.source,
            units=self.units or "mm",
            book=self._book(),
            opening=Opening(
                label=get("opening", ""),
                left=left,
                right=right,
                spine_width=spine,
                page_angle=get("page_angle"),
                joints=known,
            ),
            joints=joints,
            followed=raised,
            film=film,
            choices=settings,
            findings=tuple(self.findings),
            case=Case(depth=get("case_depth"), width=get("case_width"), height=get("case_height")),
            films=self.films,
            given=self.values,
            said=self.raw,
        )

    def _fault(self, path: str, found: str, needed: str, remedy: str, key: str = "") -> None:
        self.faults.append(Fault(self.source.at(path), found, needed, remedy, key))

    def _advise(self, rule: str, place: str, message: str) -> None:
        self.findings.append(Finding(rule, place, message))

    # -- fields together -----------------------------------------------------------------------

    def _widths(self) -> dict[SideName, float]:
        """Return both widths; where one is missing or bad, 0 after a fault."""
        both = self.values.get("width")
        for name in SIDES:
            if "width" in self.raw and f"{name}_width" in self.raw:
                self._fault(
                    f"{name}_width",
                    f"width {shown(self.raw['width'])} and {name}_width "
                    f"{shown(self.raw[f'{name}_width'])}",
                    "width stands for both boards",
                    "give width, or left_width and right_width",
                )
        widths: dict[SideName, float] = {}
        given = {"width", "left_width", "right_width"} & self.raw.keys()
        if not given:
            self._no_width("width")
        for name in SIDES:
            widths[name] = self.values.get(f"{name}_width", both) or 0.0
            if given and not widths[name] and not self.bad & {"width", f"{name}_width"}:
                self._no_width(f"{name}_width")
        return widths

    def _no_width(self, path: str) -> None:
        self._fault(
            path,
            "nothing",
            "the width of each board is needed: joint to fore edge, outside",
            'write width = "133 mm", or left_width and right_width',
            "fill-in",
        )

    def _spine(self) -> float:
        if "spine_width" in self.values:
            if "thickness" in self.values:
                self._advise(
                    "overdetermined",
                    "thickness",
                    "the spine_width was used for the spine panel, not the thickness",
                )
            return float(self.values["spine_width"])
        if "thickness" in self.values and "spine_width" not in self.bad:
            self._advise(
                "spine-from-thickness",
                "spine_width",
                "no spine width was measured at this opening: the closed thickness is used",
            )
            return float(self.values["thickness"])
        if not self.bad & {"spine_width", "thickness"}:
            self._fault(
                "spine_width",
                "nothing",
                "the spine width at this opening, or the closed thickness, is needed",
                'write spine_width = "34 mm"',
                "fill-in",
            )
        return 0.0

    def _slopes(self, widths: dict[SideName, float]) -> dict[SideName, float]:
        """Return both slopes in degrees: from rises, else as given, else from the opening angle."""
        own = {name: self._own_slope(name, widths[name]) for name in SIDES}
        opening = self.values.get("opening_angle")
        known = [slope for slope in own.values() if slope is not None]
        if opening is None or len(known) == 2:
            if opening is not None:
                self._advise(
                    "overdetermined",
                    "opening_angle",
                    "the two sides were used, not the opening angle",
                )
            return {name: self._needed_slope(name, own[name]) for name in SIDES}
        if not known:
            return dict.fromkeys(SIDES, (180.0 - opening) / 2)
        return self._other_slope(own, 180.0 - opening - known[0])

    def _own_slope(self, name: SideName, width: float) -> float | None:
        rise, slope = rise_of(self.values, name), self.values.get(f"{name}_slope")
        if rise is None or rise < 0 or not width:
            return 0.0 if f"{name}_fore_edge" in self.values else slope
        field = f"{name}_rise" if f"{name}_rise" in self.values else f"{name}_fore_edge"
        measured = self._from_rise(field, rise, width)
        if measured is not None and slope is not None:
            self._advise("overdetermined", f"{name}_slope", f"{field} was used, not {name}_slope")
        return measured

    def _needed_slope(self, name: SideName, slope: float | None) -> float:
        told = {f"{name}_{one}" for one in ("rise", "slope", "fore_edge")} | {"opening_angle"}
        if slope is None and not told & (self.bad | self.values.keys()):
            self._fault(
                f"{name}_rise",
                "nothing",
                f"how far the {name} board opens is needed: a rise, a slope or the opening angle",
                f'write {name}_rise = "66 mm", {name}_slope = "30" or opening_angle = "120"',
                "opening",
            )
        return slope or 0.0

    def _other_slope(self, own: dict[SideName, float | None], rest: float) -> dict[SideName, float]:
        """Give the side without a measure of its own what the opening angle leaves for it."""
        name: SideName = "right" if own["right"] is None else "left"
        if self.bad & {f"{name}_rise", f"{name}_slope", f"{name}_fore_edge"}:
            return {"left": 0.0, "right": 0.0}
        if not 0 <= rest <= STEEPEST_SLOPE:
            self._fault(
                "opening_angle",
                f'"{self.raw["opening_angle"]}", which leaves {rest:.1f}° for the {name} side',
                f"a slope is from 0 to {STEEPEST_SLOPE:g}°",
                "measure both sides and the opening again",
            )
        self._advise(
            "slope-from-opening", f"{name}_slope", f"the opening angle leaves {rest:.1f}° for it"
        )
        return {"left": own["left"] or 0.0, "right": own["right"] or 0.0, name: rest}

    def _joints(
        self, widths: dict[SideName, float], slopes: dict[SideName, float], spine: float
    ) -> Joints | None:
        """Return how the boards lie; None where a measure that it takes is missing."""
        if not spine or not all(widths.values()):
            return None
        joints = resolve_joints(measured_of(self.values, widths, slopes, spine))
        told = {fault.place.path for fault in self.faults}
        self.faults += [
            doubt.fault(self.source)
            for doubt in joints.doubts
            if doubt.severity == "stop" and doubt.path not in told
        ]
        return joints

    def _from_rise(self, field: str, rise: float, width: float) -> float | None:
        text = f'"{self.raw[field]}"'
        remedy = "measure from the joint up, and along the board from joint to fore edge"
        if rise > width:
            shown = Lengths(self.units or "mm").both(width)
            self._fault(field, text, f"a rise is at most the board's width, {shown}", remedy)
            return None
        slope = slope_from_rise(rise, width)
        if slope > STEEPEST_SLOPE:
            self._fault(
                field,
                f"{text}, a slope of {slope:.1f}°",
                f"a slope is at most {STEEPEST_SLOPE:g}°",
                remedy + "; if it is right, choose another kind of support",
            )
            return None
        return slope

    def _film(self) -> Film:
        """Return the film chosen: by name or by gauge, with what the films at hand say of it."""
        layers: Layers = 1 if self.values.get("support.layers") == "1" else 3
        gauge, name = self.values.get("support.gauge"), self.values.get("support.film")
        film = Film(layers=layers) if gauge is None else Film(gauge=gauge, layers=layers)
        if name is not None:
            film = self._named_film(name, gauge, film)
        elif gauge is not None or self.films:
            film = self._film_of_gauge(film)
        coating = self.values.get("support.coating")
        return film if coating is None else replace(film, coating=coating)

    def _film_of_gauge(self, film: Film) -> Film:
        """Return what is sure of a film told by its gauge alone: the least of those at hand."""
        films = self.films or usual_films()
        same = [one for one in films if abs(one.gauge / film.gauge - 1) < 0.005]
        if not same:
            return replace(film, coating="unknown")
        if not self.films:
            return film
        if len(same) == 1:
            return same[0].film(film.layers)
        worst = next(c for c in ("coated", "unknown", "uncoated") if c in {s.coating for s in same})
        return replace(film, modulus=min(one.modulus for one in same), coating=worst)

    def _named_film(self, name: str, gauge: float | None, film: Film) -> Film:
        films = self.films or usual_films()
        known = next((s for s in films if s.name.casefold() == name.casefold()), None)
        if known is None:
            names = ", ".join(f'"{s.name}"' for s in films)
            self._fault(
                "support.film",
                f'"{name}"',
                f"the films at hand are {names}",
                "choose one of them, or name a table of your own",
                "own-films",
            )
            return film
        if gauge is not None and abs(gauge / known.gauge - 1) > 0.005:
            self._fault(
                "support.gauge",
                f'"{self.raw["support.gauge"]}"',
                f'the film "{known.name}" is {known.gauge:g} mm',
                "give the film's name or a gauge, not both",
            )
        return known.film(film.layers)

    def _settings(self) -> Choices:
        given = {one.name: self.values.get(one.path) for one in CHOSEN}
        return Choices(**{name: value for name, value in given.items() if value is not None})

    def _book(self) -> Book:
        get = self.values.get
        return Book(
            number=get("number", ""),
            height=get("height", 0.0),
            title=get("title", ""),
            shelf_mark=get("shelf_mark", ""),
            thickness=get("thickness"),
            weight=get("weight"),
            cover=cover_of(get("cover"), get("binding", "")),
            binding=get("binding", ""),
            note=get("note", ""),
            pages=get("pages"),
        )
