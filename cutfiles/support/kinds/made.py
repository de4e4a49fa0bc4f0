"""From a slip to what a strip is laid out for, and from the strip laid out to the support."""

import math
import re
from collections.abc import Callable, Iterator
from dataclasses import replace

from cutfiles.bench.book import SIDES, SideName
from cutfiles.bench.choices import Choices
from cutfiles.bench.slip import Slip
from cutfiles.errors import DesignError
from cutfiles.findings import Finding
from cutfiles.plane.shapes import Point
from cutfiles.support.constructions.left_out import left_out
from cutfiles.support.constructions.strip import CLEAR, DEPTH
from cutfiles.support.contacts import NARROW_TAPE, WIDEST_TAPE
from cutfiles.support.kinds.laid import BoardLie, Laid, Wanted
from cutfiles.support.limits import check_tape
from cutfiles.support.loads import leg_force
from cutfiles.support.lone import loads, lone_side
from cutfiles.support.profile import Profile
from cutfiles.support.spare import with_spare
from cutfiles.support.standing import Bearing, Half, Support, board_of
from cutfiles.support.steps import all_steps

SHORTEST_PANEL = 5.0
"""A shorter board panel carries no board, mm (common practice, no source)."""
LEAST_FILM = 1.0
"""What a hole, a gap or a corner leaves of the film beside it, mm (common practice, no source)."""
LIFT_APART = 0.5
"""A lift may differ so far from what lies under the joints: measured ones do, mm."""
TAPE_USED = 0.95
"""So much of its tape's strength a tab that we size uses at most: no rounding reads as too much."""

LayOut = Callable[[Wanted], Laid]


def wanted_of(slip: Slip) -> Wanted:
    """Return what the strip of a slip is laid out for.

    Raises:
        DesignError: a board is too narrow.

    """
    choices = slip.choices
    left, right = (_board(slip, side) for side in SIDES)
    return Wanted(
        left=left,
        right=right,
        spine=slip.opening.spine_width + choices.spine_clearance,
        step=slip.opening.step,
        stack=slip.film.stack,
        tape=choices.tape_thickness,
        deck_lift=choices.deck_lift,
        least_rise=choices.least_rise,
        tab_most=tab_most(slip),
        tab_least=min(choices.tab_least, choices.tab_most),
        tab_gap=choices.tab_gap,
        tape_inset=choices.tape_inset,
    )


def tab_most(slip: Slip, estimated: float | None = None) -> float:
    """Return the longest tab a slip gets, mm: longer where its book's weight wants wider tape.

    Tape keeps a foot from sliding out: `limits.check_tape` of the heavier side, on tabs narrow
    enough to lie between hems, used to `TAPE_USED` of it. What is settled, or set, stays.

    Args:
        slip: what was measured.
        estimated: weight of a book that nobody weighed, g.

    """
    usual = slip.choices.tab_most
    weight = estimated if slip.book.weight is None else slip.book.weight
    if slip.settled or weight is None or "support.tab_most" in slip.given:
        return usual
    beside = slip.choices.end_inset + DEPTH + CLEAR + slip.choices.tape_inset
    length = slip.book.height - 2 * beside
    if length <= 0:
        return usual
    forces = (
        leg_force(load, board.width, max(SHORTEST_PANEL, board.width - slip.choices.fore_inset))
        for load, board in zip(
            loads(slip, weight), (slip.opening.left, slip.opening.right), strict=True
        )
    )
    least, both = check_tape("tab", max(forces), length, 1.0).share, 2 * slip.choices.tape_inset
    if least <= usual - both:
        return usual
    return max(usual, math.ceil(10 * (min(WIDEST_TAPE, least / TAPE_USED) + both)) / 10)


def _board(slip: Slip, side: SideName) -> BoardLie:
    board = board_of(slip, side)
    length = board.width - slip.choices.fore_inset
    if length < SHORTEST_PANEL:
        raise DesignError(
            f"a board panel of {length:.1f} mm",
            f"it is at least {SHORTEST_PANEL:g} mm long",
            "check the width, or make fore_inset smaller",
            slip.source.at(f"{side}_width"),
        )
    return BoardLie(panel=length, slope=math.radians(board.slope), rise=board.rise)


def support_of(slip: Slip, lay: LayOut, name: str = "") -> Support:
    """Return the support of a slip, laid out by a kind.

    Args:
        slip: what was measured.
        lay: the kind's way to lay out a strip.
        name: of the kind in words, where it is not how it meets the table.

    Raises:
        DesignError: no support follows from the measures; says which one, and what to do.

    """
    wanted = wanted_of(slip)
    _refuse_closed(slip, wanted)
    _refuse_small(slip)
    laid = _placed(slip, lay, wanted)
    slip, told = _layers(slip, laid)
    if told:  # one layer only: what lies under the joints is thinner
        laid = _placed(slip, lay, wanted_of(slip))
    _refuse_settings(slip, laid.profile)
    halves = tuple(_half(slip, laid, side) for side in SIDES)
    made = Support(
        slip=slip,
        kind=name or (laid.kind if laid.step else f"level, {laid.kind}"),
        breadth=slip.book.height - 2 * slip.choices.end_inset,
        deck_lift=laid.lift,
        profile=laid.profile,
        places=laid.places,
        halves=halves,
        bearings=tuple(_bearings(laid.profile)),
        contacts=laid.contacts,
        steps=all_steps(slip.film, laid.steps),
        step=laid.step,
        tilt=laid.tilt,
        lone=lone_side(slip),
        told=(*laid.told, *told, *_long_tabs(slip), *_lifted(slip, lay, laid)),
    )
    return with_spare(made)


def _lifted(slip: Slip, lay: LayOut, laid: Laid) -> Iterator[Finding]:
    """Yield that a lift which a slip gives is not that of the film and tape under the joints.

    Raises:
        DesignError: what lies under the joints there must be taped to a board panel itself.

    """
    given = slip.choices.deck_lift
    if given is None:
        return
    own = _placed(slip, lay, replace(wanted_of(slip), deck_lift=None)).lift
    apart = given - own
    if abs(apart) <= LIFT_APART:
        return
    under = f"{own:.2f} mm of film and tape lie under the joints"
    if apart > 0 and laid.kind == "crossed":
        raise DesignError(
            f"{given:.2f} mm",
            f"{under}, and crossed tabs are taped to the board panels: nothing fits between",
            "leave deck_lift out",
            slip.source.at("support.deck_lift"),
        )
    remedy = (
        f"tape a board of {apart:.2f} mm between, or leave deck_lift out"
        if apart > 0
        else "the joints come to lie higher than drawn; leave deck_lift out"
    )
    said = f"deck_lift is {given:.2f} mm, and {under}: {remedy}"
    yield Finding("lift", "support.deck_lift", said, given, own, "ask")


def _long_tabs(slip: Slip) -> Iterator[Finding]:
    long, usual = tab_most(slip), Choices().tab_most
    if long > usual and "support.tab_most" not in slip.given:
        said = (
            f"the weight wants tape wider than {NARROW_TAPE:g} mm: tabs of up to {long:.1f} mm "
            f"instead of {usual:g}, where there is room"
        )
        yield Finding("tabs", "tape", said, long, usual)


def _placed(slip: Slip, lay: LayOut, wanted: Wanted) -> Laid:
    """Return the strip laid out; a refusal names the slip."""
    try:
        return lay(wanted)
    except DesignError as error:
        fault = error.fault
        raise DesignError(
            fault.found, fault.needed, fault.remedy, slip.source.at(fault.place.path)
        ) from None


def _layers(slip: Slip, laid: Laid) -> tuple[Slip, tuple[Finding, ...]]:
    """Return the slip with as many layers as its kind of strip can have, and what is told of it.

    Raises:
        DesignError: it asks for three, and this kind is made in one.

    """
    out = left_out("plain", "thirds", laid.kind, slip.book.cover)
    if out is None or (slip.film.layers == 1 and "support.layers" in slip.given):
        return slip, ()
    name = "a riser" if laid.kind == "riser" else f"{laid.kind} tabs"
    if "support.layers" in slip.given:
        raise DesignError(
            f"three layers with {name}",
            f"it is made in one layer: {out.why}",
            'write layers = "1" under [support], or leave it out',
            slip.source.at("support.layers"),
        )
    said = f"one layer of film, for {name} cannot be folded in three: {out.why}"
    return replace(slip, film=replace(slip.film, layers=1)), (Finding("layers", "film", said, 1.0),)


def _half(slip: Slip, laid: Laid, side: SideName) -> Half:
    profile, places = laid.profile, laid.places
    i = profile.index(f"{side} board")
    joint, apex = (places[i + 1], places[i]) if side == "left" else (places[i], places[i + 1])
    return Half(
        side=side,
        slope=math.atan2(apex.y - joint.y, abs(apex.x - joint.x)),
        joint=joint,
        apex=apex,
        book=_book(slip, laid, side),
        stands=any(panel.name == f"{side} leg" for panel in profile.panels),
    )


def _book(slip: Slip, laid: Laid, side: SideName) -> Point:
    """Return where the joint of the book's board lies, as high as its panel's.

    The spine, narrower than its panel by the clearance, lies in the middle of a level one; on a
    tilted one its low joint lies on the panel's and the high one inwards of it.
    """
    profile, places = laid.profile, laid.places
    try:
        i = profile.index("spine")
    except KeyError:  # no spine panel: both joints lie in the one crease
        i = profile.index(f"{side} board")
        return places[i + 1] if side == "left" else places[i]
    left, right = places[i : i + 2]
    step = left.y - right.y
    spine = max(abs(step), profile.panels[i].length - slip.choices.spine_clearance)
    spare = right.x - left.x - math.sqrt(spine**2 - step**2)
    low = "right" if step > 0 else "left"
    inwards = spare / 2 if not laid.step else 0.0 if side == low else spare
    return Point(left.x + inwards, left.y) if side == "left" else Point(right.x - inwards, right.y)


def _bearings(profile: Profile) -> Iterator[Bearing]:
    """Yield the upright panels, left before right: each leg outside the riser of its side."""
    names = {panel.name for panel in profile.panels}
    for name, side, at in (
        ("left leg", "left", "fore edge"),
        ("left riser", "left", "joint"),
        ("right riser", "right", "joint"),
        ("right leg", "right", "fore edge"),
    ):
        if name in names:
            yield Bearing(name, side, at)  # type: ignore[arg-type]


# -- refusals --------------------------------------------------------------------------------------


def _refuse_closed(slip: Slip, wanted: Wanted) -> None:
    """Refuse a closed book in its own words; any other that lies flat, its kind refuses."""
    if any(wanted.stands(side) for side in SIDES) or abs(wanted.step) >= wanted.least_riser:
        return
    if re.search(r"\bclosed\b", slip.opening.label, re.IGNORECASE):
        raise DesignError(
            f'a closed book ("{slip.opening.label}")',
            "a cradle carries an open book",
            "a closed book stands on a wedge or lies flat: choose another kind of support",
            slip.source.at("opening"),
        )


def _refuse_small(slip: Slip) -> None:
    breadth = slip.book.height - 2 * slip.choices.end_inset
    least = 2 * slip.choices.corner_radius + SHORTEST_PANEL
    if breadth < least:
        raise DesignError(
            f"a finished breadth of {breadth:.1f} mm",
            f"it is at least {least:g} mm, for the corners to be rounded",
            "check height, end_inset and corner_radius",
            slip.source.at("height"),
        )


def _refuse_settings(slip: Slip, profile: Profile) -> None:
    """Refuse a setting that its panels have no room for, each within its own range though it is."""
    for name, most, why in _limits(slip, profile):
        value = getattr(slip.choices, name)
        if value > most:
            raise DesignError(
                f"{value:g} mm",
                f"{name} is at most {math.floor(most * 10) / 10:g} mm here, for {why}",
                "make it smaller, or leave it out",
                slip.source.at(f"support.{name}"),
            )


def _limits(slip: Slip, profile: Profile) -> Iterator[tuple[str, float, str]]:
    """Yield setting, largest value and reason; what bounds another one stands before it."""
    choices, film = slip.choices, slip.film
    breadth = slip.book.height - 2 * choices.end_inset
    pieces = [
        sum(panel.length for panel in profile.panels[first:end]) for first, end in profile.pieces()
    ]
    # on the flaps a foot comes nearer to the end of the strip: by the half of its own fold
    nearer = (film.layers - 1) * film.gauge * choices.nesting * math.pi / 4
    ends = min(pieces[0], pieces[-1])
    yield "corner_radius", ends - nearer, "a rounded corner ends before the first crease"
    lowest = 0.0
    if film.layers == 3:
        room = breadth - 2.5 * film.gauge - LEAST_FILM
        yield "fold_gap", room, "the inner flap is what it leaves of the breadth"
        yield "edge_gap", room, "the outer flap is what it leaves of the breadth"
        least = min(room / 2, room - choices.fold_gap, room - choices.edge_gap)
        yield "score_gap", least, "a score needs some length on each third of the strip"
        if choices.relief_diameter:
            least = min(pieces) - nearer - LEAST_FILM
            yield "relief_diameter", least, "holes stand apart at the ends of the shortest panel"
        lowest = choices.edge_gap
    most = (breadth - lowest - LEAST_FILM) / 2
    yield "tape_inset", most, "tape has room between its edges"
