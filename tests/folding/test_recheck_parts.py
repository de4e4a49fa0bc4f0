"""Files that hold no whole support are told as such, not called faulty."""

from pathlib import Path

import pytest

from cutfiles import find_cutter, fold_data, make, read_slip
from cutfiles.errors import FileError

SAMPLES = Path(__file__).parents[2] / "samples"


def test_straps_of_film_are_no_support_to_fold() -> None:
    data = (SAMPLES / "files" / "H2.straps.svg").read_bytes()
    slip = read_slip(str(SAMPLES / "H2.toml"))
    for given in (slip, None):
        with pytest.raises(FileError, match=r"straps, which do not fold; .*; check .* verify"):
            fold_data(data, "H2.straps.svg", given)


@pytest.mark.parametrize("face", ["face-a", "face-b"])
def test_one_pass_of_two_is_not_called_a_faulty_support(face: str) -> None:
    slip = read_slip(str(SAMPLES / "B2.toml"))
    made = make(slip, cutter=find_cutter("desktop-knife"))
    [data] = [file.data for file in made.files if file.name == f"B2.{face}.dxf"]
    with pytest.raises(FileError, match=r"pass .* by itself; .*; compare .* verify"):
        fold_data(data, f"B2.{face}.dxf", slip)
