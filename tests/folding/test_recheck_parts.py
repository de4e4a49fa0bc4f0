"""Files that hold no whole support are told as such, not called faulty."""

from pathlib import Path

import pytest

from cutfiles import find_cutter, fold_data, make, read_slip, slip_from, verify_data
from cutfiles.errors import FileError
from cutfiles.job.make import make_cards
from cutfiles.support.settle import allowed_ways, as_made, settle

SAMPLES = Path(__file__).parents[2] / "samples"


def test_straps_of_film_are_no_support_to_fold() -> None:
    data = (SAMPLES / "files" / "H2.straps.svg").read_bytes()
    slip = read_slip(str(SAMPLES / "H2.toml"))
    for given in (slip, None):
        with pytest.raises(FileError, match=r"straps, which do not fold; .*; compare straps"):
            fold_data(data, "H2.straps.svg", given)


@pytest.mark.parametrize("face", ["face-a", "face-b"])
def test_one_pass_of_two_is_not_called_a_faulty_support(face: str) -> None:
    slip = read_slip(str(SAMPLES / "B2.toml"))
    made = make(slip, cutter=find_cutter("desktop-knife"))
    [data] = [file.data for file in made.files if file.name == f"B2.{face}.dxf"]
    with pytest.raises(FileError, match=r"pass .* by itself; .*; compare a pass with its slip"):
        fold_data(data, f"B2.{face}.dxf", slip)


def test_a_number_that_looks_like_a_pass_is_no_pass(by_hand: dict[str, object]) -> None:
    slip = slip_from({**by_hand, "number": "MS.face-1.straps.x"})
    cutter = find_cutter("desktop-knife")
    made = make(slip, cutter=cutter, formats=["svg"], paper=None)
    for file in made.files:
        if file.verified and not file.name.endswith(".json"):
            assert verify_data(file.data, file.name, slip, cutter=cutter) == (), file.name


def test_straps_that_should_not_exist_are_refused(by_hand: dict[str, object]) -> None:
    slip = slip_from(by_hand)
    [file] = [f for f in make(slip, formats=["svg"], paper=None).files if f.format == "svg"]
    name = f"{slip.book.number}.straps.svg"
    with pytest.raises(FileError, match="has no straps of film"):
        verify_data(file.data, name, slip)


def test_the_card_is_compared_as_it_is_made_whatever_cuts_the_film() -> None:
    slip = read_slip(str(SAMPLES / "B2.toml"))
    cutter = find_cutter("desktop-knife")
    made = make_cards(slip, ("end-view",), cutter=cutter)
    [card] = [file for file in made.files if file.name == "B2.end-view.svg"]
    assert verify_data(card.data, card.name, slip, cutter=cutter) == ()


def test_what_a_slip_leaves_open_is_as_its_file_states(by_hand: dict[str, object]) -> None:
    """An exhibit chose other film for this book than it would be given by itself."""
    slip = slip_from({**by_hand, "support": {}})
    usual = settle(slip)
    ways = [as_made(slip, one) for one in allowed_ways(slip)]
    other = next(one for one in ways if one.film.gauge != usual.film.gauge)
    for file in make(other, formats=["svg", "hpgl", "fold"], paper=None).files:
        if file.verified:
            assert verify_data(file.data, file.name, slip) == (), file.name
            assert fold_data(file.data, file.name, slip).check.folds
            assert verify_data(file.data, file.name, usual) != (), "the slip fixes its film"


def test_film_that_is_not_at_hand_is_a_difference(by_hand: dict[str, object]) -> None:
    odd = slip_from({**by_hand, "support": {"gauge": "0.137 mm"}})
    [file] = [f for f in make(odd, formats=["svg"], paper=None).files if f.format == "svg"]
    said = [
        str(one) for one in verify_data(file.data, file.name, slip_from({**by_hand, "support": {}}))
    ]
    assert any("statement gauge" in one for one in said)
