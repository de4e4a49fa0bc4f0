"""How a support carries, as data: its strip with hems, lips and posts, and the steps they add.

A kind tells what stands; the settings `construction`, `edges` and `posts` tell how its edges and
legs are made. All that is laid flat, folded and told at the bench is read off the one `Piece`.
"""

import math
from collections.abc import Iterator
from dataclasses import replace

from cutfiles.errors import DesignError
from cutfiles.findings import Finding
from cutfiles.support.constructions import hems, lips
from cutfiles.support.constructions.outline import Piece, Standing, lay_out
from cutfiles.support.constructions.plate import Construction, Edge
from cutfiles.support.constructions.posts import (
    THINNEST,
    TURN,
    post_blank,
    post_counts,
    post_fits,
    post_places,
)
from cutfiles.support.constructions.strip import Panel, Part, Strip
from cutfiles.support.profile import Profile
from cutfiles.support.standing import Half, Support
from cutfiles.support.steps import FoldStep, FoldTo

_PARTS: dict[str, Part] = {
    "tab": "tab",
    "spare": "tab",
    "low tab": "low tab",
    "riser tab": "riser tab",
    "riser": "riser",
    "ramp": "ramp",
    "run-on": "run on",
    "base": "base",
    "leg": "leg",
    "board": "board",
    "spine": "spine",
}
"""What the panels of a support are to its construction; others are as broad as a base."""
Made = tuple[Construction, Edge]
"""How legs and edges are made."""
PAST = math.radians(-120.0)
"""A lip is folded past the square first, so that it does not spring back beyond it."""
_FIRST = ("Lay", "Turn over", "Tuck", "Cover")
"""Steps before any hem, lip or post."""


def strip_of(profile: Profile, breadth: float) -> Strip:
    """Return the strip as the constructions see it, its finished breadth in mm."""
    panels, folds = profile.panels, {f.after: f.angle for f in profile.folds}
    ramp = any(panel.part == "ramp" for panel in panels)
    return Strip(
        tuple(
            Panel(
                panel.name,
                "low tab" if ramp and panel.part == "tab" else _PARTS.get(panel.part, "base"),
                panel.length,
            )
            for panel in panels
        ),
        tuple(folds.get(i) for i in range(1, len(panels))),
        breadth,
    )


def made_of(support: Support) -> Made:
    """Return how the legs and the edges of a support are made."""
    choices = support.choices
    way: Construction = "plain" if choices.construction == "chosen" else choices.construction
    edge: Edge = "cut"
    if support.film.layers == 3:
        edge = "thirds"
    elif choices.edges == "folded":
        edge = "hemmed"
    return (way, edge)


def piece_of(support: Support) -> Piece:
    """Return the strip of a support with its hems, lips and posts."""
    way, edge = made_of(support)
    strip = strip_of(support.profile, support.breadth)
    posts = tuple(_posts(support, strip)) if way == "posts" else ()
    return lay_out(strip, support.film.gauge, way, edge, posts)


def _posts(support: Support, strip: Strip) -> Iterator[Standing]:
    """Yield the posts of each leg that has the height and the room for them."""
    choices, film = support.choices, support.film
    counts = post_counts(
        support.breadth, limp=support.slip.book.cover == "limp", wanted=choices.posts
    )
    if not counts:
        return
    for leg in strip.legs():
        half = _over(support, strip.panels[leg].name)
        blank = post_blank(
            strip.panels[leg].length, strip.slope_at(leg), film.gauge, choices.tape_thickness
        )
        if half is not None and post_fits(blank, room(support, half)):
            for y in post_places(support.breadth, counts[0]):
                yield Standing(leg, y, blank)


def _over(support: Support, leg: str) -> Half | None:
    """Return the half whose board rests on a leg."""
    sides = {bearing.panel: bearing.side for bearing in support.bearings}
    return support.half(sides[leg]) if leg in sides else None


def room(support: Support, half: Half) -> float:
    """Return how much of the base under a board is free for posts, mm: less what is stuck there."""
    ends = [half.joint.x]
    for tape in support.contacts.tapes:
        on_base = tape.to == f"{half.side} base" and tape.to_face == "table"
        if on_base or tape.to == f"{half.side} board":
            ends += [place.x for place in support.ends_of(tape.panel)]
    return min(abs(half.apex.x - x) for x in ends)


def constructed(support: Support) -> Support:
    """Return a support with the steps of its construction among its steps.

    Raises:
        DesignError: the film or the layers chosen do not go with the construction.

    """
    _refuse(support)
    piece = piece_of(support)
    first = [step for step in support.steps if step.verb in _FIRST]
    then = [step for step in support.steps if step.verb not in _FIRST]
    told = (*support.told, *_told(support, piece))
    return replace(support, steps=(*first, *_steps(piece), *then), told=told)


def _told(support: Support, piece: Piece) -> Iterator[Finding]:
    """Yield what of the construction asked for is left out on this strip."""
    way, edge = made_of(support)
    if edge == "hemmed":
        runs = {one.first for one in piece.flanges if one.kind == "hem"}
        panels = piece.strip.panels
        for i, panel in enumerate(panels):
            cut = panel.part == "spine" and i not in runs and _alone(piece.strip, i)
            if cut or (not piece.hemmed and panel.part == "board"):
                why = "too short for hems" if piece.hemmed else "too narrow for hems"
                yield Finding(
                    "hems", panel.name, f"the {panel.name} panel is {why}: its edges stay cut"
                )
    if way != "plain":
        having = {one.first for one in piece.flanges if one.kind == "lip"}
        having |= {post.leg for post in piece.posts}
        for leg in piece.strip.legs():
            if leg not in having:
                name = piece.strip.panels[leg].name
                yield Finding(way, name, f"the {name} has no room for {way}: it is plain")


def _alone(strip: Strip, index: int) -> bool:
    """Return whether a panel is a flat run by itself, a crease at each end."""
    return (index, index) in strip.runs()


def _refuse(support: Support) -> None:
    choices, film = support.choices, support.film
    way = choices.construction
    if way in ("lips", "posts") and film.layers == 3:
        raise DesignError(
            f"{way} on a strip folded in three",
            f"{way} are made of one layer",
            'set layers = 1 under [support], or construction = "plain"',
            support.slip.source.at("support.construction"),
        )
    if way == "posts" and film.gauge < THINNEST:
        raise DesignError(
            f"posts of {film.gauge_text}",
            "a post is made of film of 4 mil or thicker",
            "choose thicker film, or lips",
            support.slip.source.at("support.gauge"),
        )


def flange_name(piece: Piece, first: int, kind: str, end: str) -> str:
    """Return what a hem or lip is called: ``left board hem, head``."""
    return f"{piece.strip.panels[first].name} {kind}, {end}"


def flange_names(piece: Piece, kind: str) -> Iterator[str]:
    """Yield the names of hems (with end hems) or lips, from left to right, tail before head."""
    for one in piece.flanges:
        if one.kind == kind:
            yield from (flange_name(piece, one.first, kind, end) for end in ("tail", "head"))
    if kind == "hem":
        for end in piece.end_hems:
            yield flange_name(piece, end.panel, "hem", "end")


POST_FOLDS = ("A|B", "B|C", "C|lap")
"""The creases of a post's blank, in the order in which they are folded."""


def post_names(piece: Piece) -> tuple[str, ...]:
    """Return what the posts are called, in their order: ``left post 1``, ``left post 2``."""
    names: list[str] = []
    for post in piece.posts:
        side = piece.strip.panels[post.leg].name.removesuffix(" leg")
        count = sum(name.startswith(side) for name in names)
        names.append(f"{side} post {count + 1}")
    return tuple(names)


def _steps(piece: Piece) -> Iterator[FoldStep]:
    if names := tuple(flange_names(piece, "hem")):
        yield FoldStep("Hem", tuple(FoldTo(name, hems.FOLD) for name in names))
    if names := tuple(flange_names(piece, "lip")):
        past = tuple(FoldTo(name, PAST) for name in names)
        yield FoldStep("Lip", (*past, *(FoldTo(name, lips.FOLD) for name in names)), in_turn=True)
    if piece.posts:
        folds = tuple(
            FoldTo(f"{name}, {fold}", TURN) for name in post_names(piece) for fold in POST_FOLDS
        )
        yield FoldStep("Post", folds, in_turn=True)
