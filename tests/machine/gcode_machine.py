"""A small G-code interpreter for tests: written apart from writer and reader, by the beam's rules.

Source: NISTIR 6556 (from memory).
"""


class BeamError(AssertionError):
    pass


def burn(data):
    """Return burnt polylines [(S, F, [(x, y), …])]; fail where the beam is on and nothing moves."""
    on, s, f, x, y, motion = False, 0.0, 0.0, 0.0, 0.0, None
    burnt, open_, metric, absolute, ended = [], None, False, False, False
    for raw in data.decode("ascii").split("\n"):
        assert len(raw) <= 256
        code = raw.split("(")[0].strip()
        if not code:
            continue
        assert not ended, "words after M2"
        words = {}
        for word in code.split():
            words.setdefault(word[0], []).append(word[1:])
        gs = words.get("G", [])
        if "21" in gs:
            metric = True
        if "90" in gs:
            absolute = True
        s = float(words["S"][0]) if "S" in words else s
        f = float(words["F"][0]) if "F" in words else f
        for m in words.get("M", []):
            if m in ("3", "4"):
                on = True
            elif m == "5":
                on = False
            elif m == "2":
                ended = True
            else:
                raise BeamError(f"M{m}")
        move = "X" in words or "Y" in words
        for g in gs:
            motion = g if g in ("0", "1") else motion
            if g not in ("0", "1", "17", "21", "90", "94"):
                raise BeamError(f"G{g}")
        if on and s > 0 and not (move and motion == "1"):
            raise BeamError(f"beam on at rest: {raw}")
        if move:
            assert metric
            assert absolute
            to = (float(words.get("X", [x])[0]), float(words.get("Y", [y])[0]))
            if motion == "0" and on:
                raise BeamError(f"beam armed in travel: {raw}")
            if motion == "1":
                if not on or s <= 0 or f <= 0:
                    raise BeamError(f"a cut without beam or feed: {raw}")
                if (x, y) == to:
                    raise BeamError(f"beam on with no motion: {raw}")
                if open_ is None:
                    open_ = [(x, y)]
                    burnt.append((s, f, open_))
                open_.append(to)
            x, y = to
        if not on:
            open_ = None
    if not ended or on or (x, y) != (0.0, 0.0):
        raise BeamError("not left safe")
    return burnt
