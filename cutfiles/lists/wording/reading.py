"""Reads the wording of a size to height, width and thickness, or says what must be asked.

Nothing is skipped: a word that nobody can place, a second size, a number without a unit, sides in
an order that is no book's are questions, not guesses.
"""

from dataclasses import replace
from typing import Literal

from cutfiles.dataclass import dataclass
from cutfiles.lists.wording.checks import (
    ASKS,
    LARGEST,
    Ask,
    contradict,
    contradiction,
    in_two_units,
    length_of,
    mixed,
    questions,
    readable,
    unknown,
)
from cutfiles.lists.wording.clauses import Clause, Size, clauses_of, is_weight, ways_of
from cutfiles.lists.wording.senses import AXES, Axis, counts
from cutfiles.lists.wording.tokens import LONGEST, tokens_of
from cutfiles.units import LENGTH

_OTHERS = frozenset(("other", "opened", "held"))
"""What a size is of where it is not of the closed book."""
Order = Literal["", "labels", "header", "catalogue", "convention"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wording:
    """A size as it was read.

    Attributes:
        height: of the closed book, number and unit; empty where nothing says it.
        width: the same.
        thickness: the same.
        weight: the same.
        order: what says which number is which: labels beside them, the column's header, the rule
            of library catalogues (height x width), or only the convention (height first).
        about: it says of itself that it is not exact.
        ask: what must be asked before it is used, None where it can be used as it is.

    """

    height: str = ""
    width: str = ""
    thickness: str = ""
    weight: str = ""
    order: Order = ""
    about: bool = False
    ask: Ask | None = None

    @property
    def wide(self) -> bool:
        """Whether it is wider than tall by convention alone: width may well stand first."""
        return (
            self.order == "convention"
            and bool(self.width)
            and length_of(_size(self.width)) > length_of(_size(self.height))
        )


def read_wording(text: str, bare: str = "", order: tuple[Axis, ...] = ()) -> Wording:
    """Return what a wording says of a closed book's size.

    Args:
        text: as it stands in a list.
        bare: the unit of bare numbers, where the column or the user says it.
        order: which way each number measures, where the column's header says it.

    >>> read = read_wording("Overall (closed): 8 1/2 × 5 1/2 × 1 1/4 in. (21.6 × 14 × 3.2 cm)")
    >>> read.height, read.width, read.thickness, read.order
    ('8 1/2 in', '5 1/2 in', '1 1/4 in', 'convention')
    >>> read_wording("42 x 30 cm, folded to 15 x 11 cm").ask.key
    'folded'
    >>> read = read_wording("85 pages ; 22 cm")
    >>> read.ask.key, read.height
    ('height', '22 cm')

    """
    if len(text) > LONGEST:
        return Wording(ask=ASKS["long"])
    clauses = clauses_of(tokens_of(text))
    weight = _weighed(clauses)
    _give_units(clauses, bare)
    about = any("about" in clause.senses for clause in clauses) or text.lstrip()[:1] in "~≈"
    found = Wording(weight=weight, about=about)
    for key in questions(clauses):
        return replace(found, ask=ASKS[key])
    if not all(readable([*c.sizes, *c.again]) for c in clauses):
        return replace(found, ask=ASKS["number"])
    rule = any(c.described or _extent(c) for c in clauses)
    sized = _merged([clause for clause in clauses if clause.sizes])
    chosen = _chosen(sized, clauses)
    if isinstance(chosen, Ask):
        return replace(found, ask=chosen)
    oblong = any("oblong" in clause.senses for clause in clauses)
    return _oblong(_measured(found, chosen, order, rule), oblong)


def _extent(clause: Clause) -> bool:
    """Whether leaves or volumes are counted, as a library catalogue does."""
    return "[]" in clause.words or any(counts(word) for _, word in clause.counted)


def _oblong(read: Wording, oblong: bool) -> Wording:
    """Hold a size against a word that says it is wider than tall."""
    if not oblong or not read.width or read.order in ("labels", "header"):
        return read
    if length_of(_size(read.width)) <= length_of(_size(read.height)):
        return replace(read, ask=read.ask or ASKS["order"])
    return replace(read, order="labels")


def _size(text: str) -> Size:
    number, _, unit = text.rpartition(" ")
    return Size(number, unit)


def _weighed(clauses: list[Clause]) -> str:
    """Take weights out of the clauses and return the first."""
    weights = [size.text for clause in clauses for size in clause.sizes if is_weight(size)]
    for clause in clauses:
        clause.sizes = [size for size in clause.sizes if not is_weight(size)]
    return weights[0] if len(weights) == 1 else ""


def _give_units(clauses: list[Clause], bare: str) -> None:
    """Give numbers before a unit that unit, and bare ones theirs where none says any."""
    stated = any(size.unit for clause in clauses for size in clause.sizes)
    for clause in clauses:
        for sizes in (clause.sizes, clause.again):
            unit = "" if stated else bare
            for index in reversed(range(len(sizes))):
                unit = sizes[index].unit or unit
                sizes[index] = replace(sizes[index], unit=unit)


def _merged(clauses: list[Clause]) -> list[Clause]:
    """Return clauses of sizes, those of one size in two units and of labels alone made one."""
    found: list[Clause] = []
    for clause in clauses:
        last = found[-1] if found else None
        if last and not last.again and in_two_units(last.sizes, clause.sizes):
            last.again = clause.sizes
            last.words += clause.words
            last.flaws += clause.flaws
        elif last and _only_labels(last) and _only_labels(clause) and _other_ways(last, clause):
            last.sizes = [*last.sizes, *clause.sizes]
            last.words += clause.words
        elif last and (_adds_thickness(last, clause) or _adds_thickness(clause, last)):
            last.sizes = sorted([*last.sizes, *clause.sizes], key=lambda size: bool(size.way))
            last.words += clause.words
        else:
            found.append(clause)
    return found


def _only_labels(clause: Clause) -> bool:
    return (
        all(size.way for size in clause.sizes)
        and not clause.again
        and not clause.senses & {"other"}
        and not clause.unknown
    )


def _adds_thickness(faces: Clause, clause: Clause) -> bool:
    """Whether a clause is the thickness, by its label, to two sizes without any."""
    return (
        [size.way for size in clause.sizes] == ["thickness"]
        and [size.way for size in faces.sizes] == [None, None]
        and not faces.again
        and _only_labels(clause)
    )


def _other_ways(one: Clause, other: Clause) -> bool:
    return not {size.way for size in one.sizes} & {size.way for size in other.sizes}


def _chosen(sized: list[Clause], clauses: list[Clause]) -> Clause | Ask:
    """Return the clause of the closed book, or the question where none or several may be."""
    held = any("held" in c.senses for c in clauses if not c.described)
    other = ASKS["held" if held else "other"]
    others = [c for c in sized if c.senses & _OTHERS or _is_of_leaf(c)]
    books = [c for c in sized if c not in others and c.senses & {"book", "closed"}]
    closed = [c for c in books if "closed" in c.senses]
    rest = [c for c in sized if c not in others and c not in books]
    beside = any(c.senses & _OTHERS for c in clauses if not c.sizes and not c.described)
    if beside:
        return other
    for group in (closed, books, rest):
        if len(group) > 1:
            return _same(group) or ASKS["words" if any(map(unknown, group)) else "several"]
        if group:
            sole = group[0]
            if group is rest and others and len(sole.sizes) < len(AXES):
                return other  # only what is bound has a thickness
            strange = [c for c in (sole, *(c for c in clauses if not c.sizes)) if unknown(c)]
            return ASKS["words"] if strange else sole
    return other


def _same(group: list[Clause]) -> Clause | None:
    """Return the first of clauses that all say the same."""
    texts = {tuple(size.text for size in clause.sizes) for clause in group}
    return group[0] if len(texts) == 1 and not any(map(unknown, group)) else None


def _is_of_leaf(clause: Clause) -> bool:
    """Whether a size is said of a leaf: the word that counts leaves, without a number."""
    named = [word for word in clause.words if counts(word)]
    return (
        bool(named)
        and not clause.counted
        and "[]" not in clause.words
        and any("leaves" in Clause([word]).senses for word in named)
    )


def _measured(found: Wording, clause: Clause, order: tuple[Axis, ...], rule: bool) -> Wording:
    if len(clause.sizes) > len(AXES):
        return replace(found, ask=ASKS["several"])
    if mixed(clause.sizes) or mixed(clause.again):
        return replace(found, ask=ASKS["units"])
    if clause.again and contradict(clause.sizes, clause.again):
        return replace(found, ask=ASKS["units"])
    if any(size.again and contradiction(size, size.again) for size in clause.sizes):
        return replace(found, ask=ASKS["units"])
    ways, said = _ways(clause, order, rule)
    if not ways:
        round_ = any(size.way == "round" for size in clause.sizes)
        return replace(found, ask=ASKS["round" if round_ else "order"])
    texts = dict(zip(ways, map(_written, clause.sizes), strict=True))
    lengths = dict(zip(ways, map(length_of, clause.sizes), strict=True))
    return replace(
        found,
        height=texts.get("height", ""),
        width=texts.get("width", ""),
        thickness=texts.get("thickness", ""),
        order=said,
        ask=_last_doubt(lengths),
    )


def _ways(clause: Clause, order: tuple[Axis, ...], rule: bool) -> tuple[list[Axis], Order]:
    """Return which way each size measures, and what says so; none where that cannot be known."""
    count = len(clause.sizes)
    labelled = {*clause.order, *(size.way for size in clause.sizes)} & {"height", "width"}
    said: Order = "labels" if labelled else "catalogue" if rule else "convention"
    if clause.order and len(clause.order) != count:
        named = tuple(axis for way in clause.order for axis in AXES if axis == way)
        return _fitted(named, count), said
    ways = ways_of(clause)
    if ways is not None:
        return ways, said
    return (_fitted(order, count), "header") if order else (list(AXES[:count]), said)


def _fitted(order: tuple[Axis, ...], count: int) -> list[Axis]:
    """Return the order of so many sizes where one is told of more or fewer; none if it is open.

    >>> _fitted(("width", "height"), 3), _fitted(("width", "height", "thickness"), 2)
    (['width', 'height', 'thickness'], ['width', 'height'])
    >>> _fitted(("width", "height"), 1)
    []
    """
    if len(order) == count:
        return list(order)
    faces = set(order[:2]) == {"height", "width"}
    if faces and count == 3:
        return [*order, "thickness"]
    if faces and count == 2:
        return list(order[:2])
    return ["height"] if count == 1 and order[:1] == ("height",) else []


def _written(size: Size) -> str:
    """Return a size with its unit as slips write it."""
    unit = LENGTH.names.get(size.unit, size.unit)
    return f"{size.number} {'in' if unit == 'inch' else unit}"


def _last_doubt(lengths: dict[Axis, float]) -> Ask | None:
    if max(lengths.values()) > LARGEST:
        return ASKS["large"]
    if set(lengths) <= {"height"}:
        return ASKS["height"]
    if not {"height", "width"} <= set(lengths):
        return ASKS["order"] if len(lengths) > 1 else ASKS["height"]
    thickness = lengths.get("thickness", 0.0)
    if thickness > min(lengths["height"], lengths["width"]):
        return ASKS["order"]
    return None
