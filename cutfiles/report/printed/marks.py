"""The verdict's mark on paper: its shape, and its word beside it."""

from cutfiles.report.printed.content import Place
from cutfiles.report.printed.paper import INK, WHITE, Paper
from cutfiles.support.states import State
from cutfiles.words.marks import MARKS


def draw_mark(paper: Paper, state: State, centre: Place, radius: float) -> None:
    """Draw the shape of a state's mark, of this radius, mm."""
    x, y = centre
    for shape in MARKS[state].shapes:
        grey = INK if shape.black else WHITE
        if shape.disc:
            paper.disc(centre, radius * shape.disc, grey)
        else:
            places = [(x + radius * px, y + radius * py) for px, py in shape.points]
            paper.line(places, closed=True, fill=grey, grey=None)
