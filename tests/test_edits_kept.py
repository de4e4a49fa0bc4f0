"""Whatever is accepted: made again it verifies in every format, folds, and keeps its distances."""

import random
import sys
import tomllib

import pytest
from conftest import ROOT, drawn

sys.path.insert(0, str(ROOT / "tests" / "bench"))
from mutated_files import Svg
from mutations import Dice
from once import anew
from save_edits import DRAFT, PATTERN, SLIP, made

from cutfiles.bench.slip import slip_from
from cutfiles.edits.edit import STATES
from cutfiles.edits.keep import edits_from, origin, write_edits
from cutfiles.edits.replay import placed_anew
from cutfiles.errors import DesignError
from cutfiles.files.formats import FORMATS, write_drawing
from cutfiles.job.edits import edited
from cutfiles.job.make import make
from cutfiles.job.order import Order, drafted
from cutfiles.job.recheck import fold_data, verify_data
from cutfiles.machine.options import Options

DRAWN = ("svg", "dxf-r12", "dxf-r2000", "pdf", "hpgl")
VALUES = tomllib.loads((ROOT / "tests" / "edits" / "E7.toml").read_text(encoding="utf-8"))


def accepted(seed):
    """Return what a person accepted: the first drawing of this seed that may be."""
    dice = Dice(random.Random(seed))
    while True:
        file = Svg(made("svg").decode(), DRAFT.drawing.height)
        for _ in range(1 + dice.index(2)):
            shape = dice.shape(PATTERN.box)
            layer = dice.pick(("cut-holes", "label", "cut-outline"))
            file.draw(shape._replace(layer=layer, w=shape.w / 3, h=shape.h / 3), dice)
        found = edited(file.data, "E7.svg", SLIP)
        if found.kept.edits and found.found.state != STATES[-1]:
            return found


@pytest.fixture(scope="module", params=range(drawn(20)))
def one(request):
    found = accepted(request.param)
    kept = edits_from(tomllib.loads(write_edits(found.kept)), "E7.edits.toml")
    assert write_edits(kept) == write_edits(found.kept)
    return found, Order(edits={"E7": kept})


def test_it_verifies_in_every_format_and_folds(one):
    _, order = one
    keys = (*DRAWN, "fold")
    others = {form.key for form in FORMATS.values()} - {*keys}
    assert others == {"svg-plain", "gcode"}  # of the same ending as SVG; of a cutter alone
    files = [one for one in make(SLIP, order, formats=keys, paper=None).files if one.format in keys]
    assert len(files) == len(keys)
    for file in files:
        assert verify_data(file.data, file.name, SLIP, order) == (), file.name
        assert fold_data(file.data, file.name, SLIP, order).check.folds, file.name


def test_done_again_on_the_same_slip_it_is_the_same_bytes(one):
    found, order = one
    first, again = (draft(SLIP, order).drawing for draft in (drafted, anew(drafted)))
    for form in (FORMATS[key] for key in DRAWN):
        data = {write_drawing(form.prepared(one), form, Options()) for one in (first, again)}
        assert len(data) == 1
    seen = edited(data_of(first), "E7.svg", SLIP, order)
    assert seen.settled
    assert seen.gone == ()
    assert len([edit for edit in seen.found.edits if edit.accepted]) == len(found.kept.edits)


def data_of(drawing):
    return write_drawing(FORMATS["svg"].prepared(drawing), FORMATS["svg"], Options())


@pytest.mark.parametrize(("field", "by"), [("width", 5), ("height", -5), ("spine_width", 5)])
def test_on_a_slip_changed_by_5_mm_it_keeps_its_distance_to_its_crease(field, by, one):
    found, order = one
    slip = slip_from(VALUES | {field: VALUES[field] + by}, "E7.toml")
    draft, kept = drafted(slip, Order()), order.edits["E7"]
    were = [edit for edit in found.found.edits if edit.changes]
    placed = placed_anew(draft, kept)
    assert len(placed) == len(were) == len(kept.edits)
    for own, edit, before in zip(kept.edits, placed, were, strict=True):
        if not edit.changes:  # it finds no place: it is named, and nothing is made
            with pytest.raises(DesignError, match="no longer fit"):
                drafted(slip, order)
            continue
        was, now = (origin(d.pattern, own.anchor) for d in (found.draft, draft))
        assert edit.at.x - now.x == pytest.approx(before.at.x - was.x, abs=0.01)
        assert edit.at.y - now.y == pytest.approx(before.at.y - was.y, abs=0.01)
