"""Film at hand: kinds of film, what of them lies on the shelf, and what exhibits took of it."""

from dataclasses import replace
from typing import Literal, NamedTuple, get_args

from cutfiles.bench.film import MODULUS, Coating, Film, Layers
from cutfiles.dataclass import dataclass

Form = Literal["sheet", "roll", "unknown"]
Grain = Literal["long", "short", "none", "unknown"]
SupplyForm = Literal["offcut", "sheet", "roll"]
Creases = Literal["any", "along", "across"]

LEAST_SIDE = 140.0
"""A smaller piece of film holds no check line and marks, mm."""
USUAL_WIDTH = 1016.0
"""How wide a roll is where nothing says so, mm (40 in; common practice, no source)."""
_GAUGE_STEP = 0.0005


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmKind:
    """One kind of film.

    Attributes:
        name: what slips call it.
        gauge: thickness, mm.
        modulus: short-term modulus of elasticity, MPa.
        coating: whether it has a coat.
        form: flat sheets, or a roll.
        sizes: width and height of each sheet, mm; of a roll its width, and 0 for as long as it is.
        grain: the stiffer direction of a sheet.
        price: as written.
        source: where the numbers come from.
        square_metre: what 1 m² of it costs, by the cheapest on the shelf; None where none says.

    """

    name: str
    gauge: float
    modulus: float = MODULUS
    coating: Coating = "unknown"
    form: Form = "unknown"
    sizes: tuple[tuple[float, float], ...] = ()
    grain: Grain = "unknown"
    price: str = ""
    source: str = ""
    square_metre: float | None = None

    def film(self, layers: Layers) -> Film:
        """Return a film of this kind, so many times on itself."""
        return Film(
            gauge=self.gauge,
            layers=layers,
            modulus=self.modulus,
            coating=self.coating,
            name=self.name,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """What lies on the shelf: a roll, sheets of one size, or an offcut.

    Attributes:
        form: offcut, sheet or roll.
        name: how people call it.
        gauge: mm, 0 stands for any.
        width: across, mm.
        length: mm; of a roll what is left on it, or None where that does not matter.
        count: how many there are, None for as many as needed.
        price: of a sheet or offcut, or of a metre of a roll, or None.
        creases: how the creases may run to its length.
        left_by: which exhibit left this offcut, or empty.

    """

    form: SupplyForm
    name: str
    gauge: float
    width: float
    length: float | None
    count: int | None = None
    price: float | None = None
    creases: Creases = "any"
    left_by: str = ""

    def holds(self, gauge: float) -> bool:
        """Whether it is film of this gauge."""
        return self.gauge == 0 or abs(self.gauge - gauge) < _GAUGE_STEP

    @property
    def endless(self) -> "Supply":
        """The same film, as though there were as much of it as anyone needs."""
        return replace(self, count=None, length=None if self.form == "roll" else self.length)

    @property
    def ways(self) -> tuple[bool, ...]:
        """Whether a pattern may lie as drawn (False), turned a quarter (True), or both.

        The length of film runs up; the creases of a pattern run up too.
        """
        match self.creases:
            case "any":
                return (False, True)
            case "along":
                return (False,)
            case "across":
                return (True,)


class Taken(NamedTuple):
    """What an exhibit took of a supply: pieces, or mm of a roll."""

    by: str
    name: str
    amount: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmAtHand:
    """All film at hand.

    Attributes:
        kinds: by gauge.
        shelf: what lies there, in the order of the file.
        taken: what exhibits took of it.
        head: what the user wrote, as it stands.
        checksum: of the file when it was read; empty where it was read from none.

    """

    kinds: tuple[FilmKind, ...] = ()
    shelf: tuple[Supply, ...] = ()
    taken: tuple[Taken, ...] = ()
    head: str = ""
    checksum: str = ""

    def for_exhibit(self, exhibit: str) -> tuple[Supply, ...]:
        """Return what an exhibit finds: without what others took, offcuts first.

        An exhibit that was made before begins with the film of its first run. So neither its own
        offcuts are there nor those of exhibits that came after it: they may be cut from its own.
        """
        booked = list(dict.fromkeys(who for who, _, _ in self.taken))
        later = {exhibit, *booked[booked.index(exhibit) :]} if exhibit in booked else {exhibit}
        out = []
        for one in self.shelf:
            if one.left_by and one.left_by in later:
                continue
            gone = sum(n for who, name, n in self.taken if name == one.name and who != exhibit)
            if one.form == "roll":
                length = None if one.length is None else max(0.0, one.length - gone)
                out.append(replace(one, length=length))
            else:
                count = None if one.count is None else max(0, one.count - round(gone))
                out.append(replace(one, count=count))
        return tuple(sorted(out, key=lambda one: get_args(SupplyForm).index(one.form)))


USUAL_SHELF = FilmAtHand(
    shelf=(Supply(form="roll", name="roll 1016 mm", gauge=0.0, width=USUAL_WIDTH, length=None),)
)
"""Where none is named: rolls 1016 mm wide of any gauge (common practice, no source)."""
