"""Hems, lips and posts in programs of others: rabbit-ear folds them alike, Chromium shows them."""

import json
import math

import pytest
import tilted
from browser import browse
from test_fold import fold_of, folded_by_ear
from test_page import DRAWN, STAGE

from cutfiles.draft import draft_of
from cutfiles.job.make import make

WAYS = {"hems": ("plain", "folded"), "lips": ("lips", "folded"), "posts": ("posts", "folded")}


def slip_of(number, way):
    construction, edges = WAYS[way]
    return tilted.slip_of(number, support={"construction": construction, "edges": edges})


def pieces(document):
    """Each piece as it lies, and folded: the strip, then its posts."""
    folded, *posts = document["file_frames"]
    return [(document, folded), *zip(posts[::2], posts[1::2], strict=True)]


@pytest.mark.parametrize(
    ("number", "way"),
    [("LEVEL", "hems"), ("RISER", "lips"), ("LAPPED", "posts"), ("RISER", "posts")],
)
def test_rabbit_ear_folds_each_piece_to_our_places(number, way):
    slip = slip_of(number, way)
    found = pieces(json.loads(fold_of(slip)))
    assert len(found) == 1 + len(draft_of(slip).pattern.posts)
    assert (len(found) > 1) == (way == "posts")
    for lying, standing in found:
        flat, ours = lying["vertices_coords"], standing["vertices_coords"]
        still = next(
            i
            for i, face in enumerate(lying["faces_vertices"])
            if all(math.dist(ours[v], (*flat[v][:2], 0.0)) < 1e-9 for v in face)
        )
        theirs = folded_by_ear(lying, still)
        for a, b in zip(ours, theirs, strict=True):
            assert math.dist(a, b) < 1e-5
        heights = [spot[2] for spot in ours]
        assert max(heights) - min(heights) > 5  # it did fold


@pytest.mark.parametrize(
    ("number", "way"), [("LEVEL", "hems"), ("LAPPED", "lips"), ("RISER", "posts")]
)
def test_the_folded_page_shows_each_construction(number, way, tmp_path):
    made = make(slip_of(number, way), formats=["svg"])
    (html,) = [one for one in made.files if one.name.endswith(".folded.html")]
    path = tmp_path / html.name
    path.write_bytes(html.data)
    steps = [["read", "standing", STAGE], ["read", "faces", DRAWN]]
    steps += [["focus", "#fold"], ["key", "Home"], ["read", "flat", STAGE]]
    read = browse(path, steps)
    assert (read["standing"], read["flat"]) == ("standing", "flat")
    pattern = made.draft.pattern
    least = len(pattern.panels) + len(pattern.flanges)
    assert int(read["faces"].split()[0]) >= least
