"""The samples are rebuilt and compared, and stand for the cases they should stand for."""

import pytest
from conftest import SAMPLES, sample_slips

from cutfiles import make, read_slip
from cutfiles.job.deliver import deliver as deliver_to

FILES = SAMPLES / "files"
BYTES = {"H2": 240_000}
"""The most that all files of a sample take together, where it is more than `USUAL`: H2 is cut in
seven pieces, four posts and two straps beside the strip, the straps in drawings of their own."""
USUAL = 195_000


@pytest.mark.parametrize("path", sample_slips(), ids=lambda path: path.stem)
def test_sample_is_rebuilt(path, tmp_path):
    done = deliver_to(make(read_slip(path)), tmp_path)
    kept = {p.name: p.read_bytes() for p in FILES.glob(f"{path.stem}.*")}
    assert {p.name for p in done.files} == set(kept)
    for file in done.files:
        assert file.read_bytes() == kept[file.name], file.name


@pytest.mark.parametrize("stem", [path.stem for path in sample_slips()])
def test_all_files_of_a_sample_together_stay_small(stem):
    """A thousand books on one disk: what a change adds to each is seen here first."""
    sizes = {path.name: path.stat().st_size for path in FILES.glob(f"{stem}.*")}
    assert len(sizes) >= 11
    assert sum(sizes.values()) <= BYTES.get(stem, USUAL), sizes


def test_no_idle_files():
    stems = {path.stem for path in sample_slips()}
    assert {path.name.split(".")[0] for path in FILES.iterdir()} == stems
    assert len(stems) >= 6


def test_they_cover_the_cases():
    from cutfiles.support.design import design

    made = {path.stem: design(read_slip(path)) for path in sample_slips()}
    assert len(set(made["A1"].slopes)) == 1
    assert len(set(made["A4"].slopes)) == 2
    assert made["D1"].slip.book.cover == "limp"
    assert made["D1"].length("board", "left") > made["D1"].breadth
    assert made["B1"].breadth < 60
    assert made["B2"].kind == "level, crossed"
    assert made["B2"].film.layers == 1
    assert made["D1"].kind == "level, lapped"
    assert [made[name].kind for name in ("G1", "A2")] == ["riser", "riser"]
    assert [made[name].kind for name in ("A4", "E1")] == ["lone cover", "lone cover"]
    assert made["P2"].slip.opening.opening_angle == 95
    assert made["P2"].slip.joints.opening_angle == 160
    assert made["F3"].slip.units == "in"
    assert not made["A4"].half("right").stands
