"""Film that is left: the narrowest section of legs and boards goes into the strength check.

A panel bears as its narrowest section does: what a leg surely carries shrinks, and a board sags
more, by the share of the designed width that is left there. That counts every cut as if it ran
through the whole panel, and so is on the safe side.
"""

from collections.abc import Iterator

from cutfiles.draft import Draft
from cutfiles.edits.cover import area_of, changed, film_of, least_width, within_box
from cutfiles.edits.edit import Edit, State
from cutfiles.edits.scene import panel_box
from cutfiles.plane.measure import box_of
from cutfiles.plane.shapes import Box, Path, rectangle
from cutfiles.support.constructions.plate import Construction
from cutfiles.support.limits import Check
from cutfiles.support.states import SAFE, reach, strength_state
from cutfiles.support.states import State as Verdict
from cutfiles.words.bench import panels_text

_HALF = 0.5
"""A panel narrower than half of what it was is another panel (common practice, no source)."""
_BARE = 0.75
"""A panel with less of its film than this is to be looked at (common practice, no source)."""
_MOST_SHARE = 1.0 - 1e-3

Film = tuple[Path, tuple[Path, ...]]
"""Outline and holes, mm in the pattern."""


def net_check(check: Check, share: float, layers: int, construction: Construction) -> Check:
    """Return the check of a leg or board of which only a share of the width is left.

    Args:
        check: ``leg``, ``sag`` or ``riser``, as designed.
        share: of the designed width at the narrowest section, 0 to 1.
        layers: how many films lie on one another.
        construction: of the leg.

    """
    if check.name == "leg":
        sure = check.measured * share
        most = reach(construction, layers)
        used = SAFE / sure if sure > 0 else float("inf")
        return check._replace(measured=sure, share=used, state=strength_state(sure, most))
    worse = check.measured / share if share > 0 else float("inf")
    state: Verdict = "adequate" if worse <= check.limit else "another support"
    used = worse / check.limit if check.limit > 0 else float("inf")
    return check._replace(measured=worse, share=used, state=state)


class LeastSection:
    """The film of each panel, as designed and as drawn."""

    def __init__(self, draft: Draft, meant: Film, drawn: Film) -> None:
        self.draft = draft
        self.meant, self.film = film_of(*meant), film_of(*drawn)
        self.places = [
            x
            for hole in drawn[1]
            for box in [box_of([hole])]
            for x in (box.left + 0.01, box.centre.x, box.right - 0.01)
        ]
        self.shares: dict[str, float] = {}

    def share(self, panel: str) -> float:
        """Return the share of a panel's width that is left at its narrowest section."""
        if panel not in self.shares:
            box = panel_box(self.draft.pattern, panel)
            self.shares[panel] = least_width(self.film, self.meant, box, self.places)
        return self.shares[panel]

    def area(self, panel: str) -> float:
        """Return the share of a panel's film that is left."""
        box = panel_box(self.draft.pattern, panel)
        whole = within_box(self.meant, box)
        return within_box(self.film, box) / whole if whole > 0 else 1.0

    def checks(self, panel: str) -> Iterator[Check]:
        """Yield the strength checks of a panel with the film that is left in it."""
        share = self.share(panel)
        made = self.draft.verdict.made
        legs = {leg.construction for leg in made.legs}
        construction: Construction = min(legs, default="plain")
        for check in self.draft.verdict.checks:
            if check.place == panel and check.name in ("leg", "sag", "riser"):
                yield net_check(check, share, made.way.layers, construction)

    def reasons(self, panel: str) -> Iterator[tuple[State, str]]:
        """Yield what is to be said of the film left in a panel that an edit lies on."""
        share = self.share(panel)
        if share >= _MOST_SHARE:
            return
        told = f"{share:.0%} of the {panels_text(panel)} is left at its narrowest"
        before = {c.name: c for c in self.draft.verdict.checks if c.place == panel}
        checked = False
        for check in self.checks(panel):
            checked = True
            if check.state == "adequate":
                yield "harmless", told
            elif check.state == before[check.name].state and share > 0.9:
                yield "look at it", f"{told}, and it was not sure before"
            elif check.state == "make a trial":
                yield "look at it", f"{told}: it is no longer sure to carry, make a trial"
            else:
                yield "breaks the support", f"{told}: it does not carry the book"
        if share < _HALF:
            yield "breaks the support" if checked else "look at it", told
        elif self.area(panel) < _BARE:
            yield (
                "look at it",
                f"{self.area(panel):.0%} of the film of the {panels_text(panel)} is left",
            )

    def moved(self, edit: Edit) -> tuple[float, float]:
        """Return how much film is gone where an edit lies, and how much is new, mm²."""
        box = box_of(edit.paths)
        near = area_of(_around(box))
        return changed(self.meant.intersection(near), self.film.intersection(near))


def _around(box: Box) -> Path:
    left, bottom, right, top = box
    return rectangle(Box(left - 30, bottom - 30, right + 30, top + 30))
