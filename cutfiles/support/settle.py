"""The film and the construction of a support: fixed by its slip, else chosen by what is sure.

>>> from cutfiles.bench.slip import slip_from
>>> slip = slip_from({"number": "A1", "units": "mm", "height": 140, "width": 100,
...                   "spine_width": 25, "opening_angle": 120, "weight": "200 g"})
>>> settle(slip).film.made_text
'7 mil in one layer'
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import Literal

from cutfiles.bench.at_hand import FilmKind
from cutfiles.bench.choices import Choices
from cutfiles.bench.film import Layers
from cutfiles.bench.films import usual_films
from cutfiles.bench.questions import weight_of
from cutfiles.bench.slip import Slip
from cutfiles.dataclass import dataclass
from cutfiles.support import construct
from cutfiles.support.choose import Choice, choose
from cutfiles.support.constructions.plate import Construction
from cutfiles.support.judge import Judged, Tested, judge_all, untested
from cutfiles.support.kinds.made import tab_most
from cutfiles.support.lay import lay_of
from cutfiles.support.standing import Support
from cutfiles.support.states import SAFE, STATES
from cutfiles.support.ways import AtHand, Way

FILM_GIVEN = ("support.gauge", "support.film", "support.layers")
"""What a slip says of its film."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """What a support is made of and how.

    Attributes:
        slip: with film and construction as they are made.
        ways: every way to make it from the films at hand, judged.
        choice: what was chosen and its runner-up; None where no way that the slip allows is
            adequate.

    """

    slip: Slip
    ways: tuple[Judged, ...]
    choice: Choice | None


def settle(slip: Slip, tested: Tested = untested) -> Slip:
    """Return a slip whose film and construction are settled; the same one if they are."""
    return slip if slip.settled else settled(slip, tested).slip


def settled(slip: Slip, tested: Tested = untested, ways: Sequence[Judged] | None = None) -> Settled:
    """Return what a support is made of and how, every way to make it judged.

    Film, layers, construction and edges that the slip fixes stay; the others are chosen. Where
    nothing allowed is adequate, the nearest to it is made, and its verdict says so.

    Args:
        slip: what was measured and set.
        tested: what a studio's tests say.
        ways: those to choose among, if judged before.

    """
    ways = judged_ways(slip, tested) if ways is None else tuple(ways)
    if slip.settled:
        return Settled(slip=slip, ways=ways, choice=None)
    allowed = [one for one in ways if allows(slip, one.way)]
    choice = choose(
        allowed,
        edges="folded" if slip.choices.edges == "folded" else "any",
        prefer=slip.choices.prefer,
    )
    made = choice.chosen if choice else nearest(allowed)
    return Settled(slip=as_made(slip, made), ways=ways, choice=choice)


def allows(slip: Slip, way: Way) -> bool:
    """Return whether a slip allows a way."""
    choices, given = slip.choices, slip.given
    if choices.construction not in ("chosen", way.construction):
        return False
    if fixes_film(slip) and not _is_own(slip, way.film):
        return False
    if "support.layers" in given and way.layers != slip.film.layers:
        return False
    if choices.edges == "any":
        return True
    return (way.edge == "cut") == (choices.edges == "cut")


def _is_own(slip: Slip, film: AtHand) -> bool:
    """Whether a film at hand is the one that a slip fixes: gauge, modulus, and its name if told."""
    own = slip.film
    same = abs(film.gauge - own.gauge) < 1e-9 and film.modulus == own.modulus
    return same and own.name in ("", film.name)


def fixes_film(slip: Slip) -> bool:
    """Return whether a slip fixes its film."""
    return "support.gauge" in slip.given or "support.film" in slip.given


def films_of(slip: Slip) -> tuple[FilmKind, ...]:
    """Return the kinds of film at hand for a slip: its own alone where it fixes one."""
    if fixes_film(slip) or slip.settled:
        film = slip.film
        name = film.name or film.gauge_text
        return (FilmKind(name=name, gauge=film.gauge, modulus=film.modulus, coating=film.coating),)
    return slip.films or usual_films()


def allowed_ways(slip: Slip, tested: Tested = untested) -> tuple[Judged, ...]:
    """Return every way to make a support that its slip allows, judged."""
    return judged_ways(slip, tested, lambda way: allows(slip, way))


def judged_ways(
    slip: Slip, tested: Tested = untested, keep: Callable[[Way], bool] | None = None
) -> tuple[Judged, ...]:
    """Return every way to make a slip's support from the films at hand, judged.

    Its own film is among them where it fixes another one. Those that are not wanted are left out.
    Posts are as few as are adequate, unless the slip says how many: a choice once made for one film
    does not bind another.
    """
    kinds = [*(slip.films or usual_films())]
    films = [AtHand(one.name, one.gauge, one.modulus, one.square_metre) for one in kinds]
    if fixes_film(slip) and not any(_is_own(slip, film) for film in films):
        films += [AtHand(one.name, one.gauge, one.modulus, None) for one in films_of(slip)]
    posts = slip.choices.posts if "support.posts" in slip.given else 0
    choices = replace(slip.choices, construction="chosen", posts=posts, tab_most=_tabs(slip))
    # only its tabs are settled: alike for every film
    wanted = replace(slip, choices=choices, settled=True)
    return judge_all(lay_of(wanted, weight_of(slip)[0]), films, tested, keep)


def _tabs(slip: Slip) -> float:
    return tab_most(slip, weight_of(slip)[0])


def nearest(ways: Iterable[Judged]) -> Judged | None:
    """Return the way nearest to what is adequate: the best state, then what holds most."""

    def holds(one: Judged) -> float:
        most = max((check.share for check in one.checks), default=0.0)
        return min(one.sure / SAFE, 1 / most if most > 0 else one.sure)

    return min(
        ways,
        key=lambda one: (STATES.index(one.state), -round(holds(one), 9), one.grams, one.way),
        default=None,
    )


def as_made(slip: Slip, made: Judged | None) -> Slip:
    """Return a slip with a way's film, construction, number of posts and length of tabs.

    Without a way it is as it stands, made plain if no construction is set; one that is set is made
    of one layer if none are.
    """
    slip = replace(slip, choices=replace(slip.choices, tab_most=_tabs(slip)))
    if made is None:
        construction, film = slip.choices.construction, slip.film
        if construction in ("lips", "posts") and "support.layers" not in slip.given:
            film = replace(film, layers=1)
        way_choices = _made_so(
            slip.choices, "plain" if construction == "chosen" else construction, slip.choices.edges
        )
        return replace(slip, film=film, choices=way_choices, settled=True)
    way = made.way
    layers: Layers = 3 if way.layers == 3 else 1
    if fixes_film(slip):
        film = replace(slip.film, layers=layers)
    else:
        film = next(one for one in films_of(slip) if one.name == way.film.name).film(layers)
        if "support.coating" in slip.given:
            film = replace(film, coating=slip.film.coating)
    edges: Literal["folded", "cut"] = "cut" if way.edge == "cut" else "folded"
    choices = replace(_made_so(slip.choices, way.construction, edges), posts=made.posts_each)
    return replace(slip, film=film, choices=choices, settled=True)


def as_stated(slip: Slip, stated: Slip, tested: Tested = untested) -> Slip:
    """Return a slip made as a file states that it was; unchanged where its slip allows no such way.

    Args:
        slip: what was measured and set; what it leaves open was chosen when the file was made,
            perhaps among other films or for a whole exhibit.
        stated: with film and construction as the file states them.
        tested: what a studio's tests say.

    """
    if slip.settled:
        return slip
    made = (as_made(slip, one) for one in allowed_ways(slip, tested))
    return next((one for one in made if _same_way(one, stated)), slip)


def _same_way(one: Slip, other: Slip) -> bool:
    """Whether two slips are of one film and construction, gauges as files state them."""
    return (
        abs(one.film.gauge - other.film.gauge) < 1e-4
        and one.film.layers == other.film.layers
        and one.choices.construction == other.choices.construction
        and one.choices.edges == other.choices.edges
    )


def _made_so(choices: Choices, construction: Construction, edges: str) -> Choices:
    kept: Literal["folded", "cut"] = "cut" if edges == "cut" else "folded"
    return replace(choices, construction=construction, edges=kept)


def way_of(support: Support) -> Way:
    """Return how a support is made."""
    film, (construction, edge) = support.film, construct.made_of(support)
    name = film.name or film.gauge_text
    return Way(AtHand(name, film.gauge, film.modulus), construction, edge)
