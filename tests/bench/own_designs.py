"""The scenario books, by the tool's own designs: what is chosen of all constructions, and made.

    python tests/bench/own_designs.py

Weights as estimated in the list. "Of all" chooses among every way that is judged; "made" is what
is chosen among those that the slip allows, or the nearest to adequate.
"""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))
from scenarios import scenario_slips

from cutfiles.errors import CutfilesError
from cutfiles.support.choose import choose, fewest_kinds
from cutfiles.support.design import design
from cutfiles.support.settle import settled
from cutfiles.support.verdict import assess
from cutfiles.words.made import way_text


def rows():
    """Yield number, kind, load (N) and verdict of each book, and what is chosen of all; or why."""
    for number, slip in scenario_slips().items():
        try:
            found = settled(slip)
            support = design(found.slip)
        except CutfilesError as error:
            yield number, None, str(error.faults[0].found), ()
            continue
        yield number, support, assess(support, ways=found.ways), found.ways


def main():
    print(f"{'no.':4} {'kind':20} {'load N':>6}  {'of all':52} {'C/F':>6}  made, and its verdict")
    judged = {}
    for number, support, verdict, ways in rows():
        if support is None:
            print(f"{number:4} {verdict}")
            continue
        judged[number] = ways
        choice = choose(ways)
        load = max((leg.load for leg in verdict.made.legs), default=0.0)
        best = choice.chosen if choice else None
        told = way_text(best.way, best.legs) if best else "none"
        ratio = f"{best.sure:6.2f}" if best else "     –"
        made = way_text(verdict.made.way, verdict.made.legs)
        why = verdict.governing.name
        print(
            f"{number:4} {support.kind:20} {load:6.2f}  {told:52} {ratio}  "
            f"{made}, {verdict.made.sure:.2f}: {verdict.state} ({why})"
        )
    kinds = fewest_kinds(judged)
    print(
        f"fewest kinds of film for all that can be served: {', '.join(kinds.films)}, "
        f"{kinds.cost:.0f} g; not served: {', '.join(kinds.unserved) or 'none'}"
    )


if __name__ == "__main__":
    main()
