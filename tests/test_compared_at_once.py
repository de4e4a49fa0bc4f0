"""What a file is accepted by at once, against pairing its lines one by one: they never differ."""

from dataclasses import replace

import pytest
from conftest import SAMPLES
from hypothesis import given, settings
from hypothesis import strategies as st
from test_verify import KEYS, OPTIONS

from cutfiles.bench.slip import read_slip
from cutfiles.draft import draft_of
from cutfiles.files import verify
from cutfiles.files.formats import FORMATS
from cutfiles.files.pairs import in_order

DRAWING = draft_of(read_slip(SAMPLES / "B1.toml")).drawing


def read(key):
    form = FORMATS[key]
    return form.read(form.write(form.prepared(DRAWING), OPTIONS))


READINGS = {key: read(key) for key in KEYS}
SHARES = (0.0, 0.6, -0.74, 0.76, -1.1, 3.0, 1e3, 1e-4)
"""Of a format's step, by which a place is moved: just within what is let pass, and just beyond."""


def moved(path, part, at, share, step):
    """Return a path with one of its points, or of its bends, moved."""
    places = list(getattr(path, part))
    if places:
        x, y = places[at % len(places)]
        places[at % len(places)] = (x + share * step, y - share * step / 3)
    return replace(path, **{part: tuple(places)})


def damaged(paths, how, a, b, share, step):
    """Return the paths of a file with one kind of damage."""
    paths = list(paths)
    i, j = a % len(paths), b % len(paths)
    match how:
        case "swapped":
            paths[i], paths[j] = paths[j], paths[i]
        case "left out":
            del paths[i]
        case "doubled":
            paths.insert(j, paths[i])
        case "in the place of another":
            paths[i] = paths[j]
        case "on another layer":
            paths[i] = replace(paths[i], layer=paths[j].layer)
        case "closed or opened":
            paths[i] = replace(paths[i], closed=not paths[i].closed)
        case "turned":
            paths[i] = replace(paths[i], points=paths[i].points[::-1], bends=paths[i].bends[::-1])
        case "a point less":
            paths[i] = replace(paths[i], points=paths[i].points[:-1] or paths[i].points)
        case part:
            bent = [k for k, path in enumerate(paths) if getattr(path, part)] or [i]
            k = bent[a % len(bent)]
            paths[k] = moved(paths[k], part, b, share, step)
    return tuple(paths)


HOW = st.sampled_from(
    (
        *("swapped", "left out", "doubled", "in the place of another", "on another layer"),
        *("closed or opened", "turned", "a point less", "points", "points", "bends", "bends"),
    )
)


def told(key, paths):
    form = FORMATS[key]
    reading = replace(READINGS[key], paths=paths)
    return tuple(verify.differences(DRAWING, reading, form, OPTIONS))


@pytest.mark.parametrize("key", KEYS)
def test_a_file_that_is_right_is_accepted_at_once(key, monkeypatch):
    asked = []
    monkeypatch.setattr(verify, "in_order", lambda *a: asked.append(in_order(*a)) or asked[-1])
    assert told(key, READINGS[key].paths) == ()
    assert asked == [True]


@settings(max_examples=250)
@given(
    st.sampled_from(KEYS),
    HOW,
    st.integers(0, 10**6),
    st.integers(0, 10**6),
    st.sampled_from(SHARES),
)
def test_damage_is_told_alike_at_once_and_line_by_line(key, how, a, b, share):
    paths = damaged(READINGS[key].paths, how, a, b, share, FORMATS[key].step)
    quick = told(key, paths)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(verify, "in_order", lambda *_: False)
        assert told(key, paths) == quick
